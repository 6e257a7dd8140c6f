"""One drawing written as PDF by three programs that know nothing of each other.

A drawing is a list of marks in mm, top-left origin (`accuracy.marks`); each writer returns the bytes
of a PDF with that one page. What the writers do with a line is theirs: frames, forms, clips, curves.
"""

from __future__ import annotations

import io
import math
from collections.abc import Callable, Sequence
from typing import Any

import typst
from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMarginsF, QPointF, QSizeF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontDatabase,
    QFontMetricsF,
    QPageSize,
    QPainter,
    QPdfWriter,
    QPen,
    QPolygonF,
)
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from accuracy.marks import Lettering, Mark, Rgb, Stroke
from accuracy.paint import painted_width_mm
from loomfolio.basics import asset_path

_POINTS_PER_MM = 72 / 25.4
_CAP_HEIGHT = 0.72  # of the font size, in Helvetica
_NARROW = 0.72

Writer = Callable[[Sequence[Mark], float, float], bytes]


def by_reportlab(marks: Sequence[Mark], width_mm: float, height_mm: float) -> bytes:
    """Write a drawing with reportlab: one flat page of path operators and base fonts."""
    file = io.BytesIO()
    size = (width_mm * _POINTS_PER_MM, height_mm * _POINTS_PER_MM)
    canvas = Canvas(file, pagesize=size, invariant=True)
    canvas.setLineCap(0)
    canvas.setLineJoin(0)
    for mark in marks:
        if isinstance(mark, Stroke):
            _stroke_by_reportlab(canvas, mark, size[1])
        else:
            _letters_by_reportlab(canvas, mark, size[1])
    canvas.showPage()
    canvas.save()
    return file.getvalue()


def _stroke_by_reportlab(canvas: Canvas, mark: Stroke, height: float) -> None:
    path = canvas.beginPath()
    for k, (x, y) in enumerate(mark.points):
        (path.lineTo if k else path.moveTo)(x * _POINTS_PER_MM, height - y * _POINTS_PER_MM)
    if mark.closed:
        path.close()
    canvas.setStrokeColorRGB(*_shares(mark.colour))
    canvas.setLineWidth(mark.width_mm * _POINTS_PER_MM)
    if mark.fill is not None:
        canvas.setFillColorRGB(*_shares(mark.fill))
    canvas.drawPath(path, stroke=int(mark.width_mm > 0), fill=int(mark.fill is not None))


def _letters_by_reportlab(canvas: Canvas, mark: Lettering, height: float) -> None:
    size = mark.height_mm / _CAP_HEIGHT * _POINTS_PER_MM
    # As wide as on the painted page, so that the same room is left beside a text.
    wide = painted_width_mm(mark) * _POINTS_PER_MM
    stretch = wide / max(stringWidth(mark.text, "Helvetica", size), 1e-6)
    canvas.saveState()
    canvas.translate(mark.at[0] * _POINTS_PER_MM, height - mark.at[1] * _POINTS_PER_MM)
    canvas.rotate(90 if mark.turned else 0)
    canvas.setFillColorRGB(*_shares(mark.colour))
    text = canvas.beginText(-wide / 2, -mark.height_mm * _POINTS_PER_MM / 2)
    text.setFont("Helvetica", size)
    text.setHorizScale(100 * stretch)
    text.textOut(mark.text)
    canvas.drawText(text)
    canvas.restoreState()


def by_qt(marks: Sequence[Mark], width_mm: float, height_mm: float) -> bytes:
    """Write a drawing with Qt's QPdfWriter: everything under one frame, fonts embedded by glyph.

    A QGuiApplication must be running, for the fonts.
    """
    held = QByteArray()
    buffer = QBuffer(held)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(1200)
    writer.setPageSize(QPageSize(QSizeF(width_mm, height_mm), QPageSize.Unit.Millimeter))
    writer.setPageMargins(QMarginsF(0, 0, 0, 0))
    painter = QPainter(writer)
    painter.scale(1200 / 25.4, 1200 / 25.4)
    for mark in marks:
        if isinstance(mark, Stroke):
            _stroke_by_qt(painter, mark)
        else:
            _letters_by_qt(painter, mark)
    painter.end()
    buffer.close()
    return bytes(held.data())


def _stroke_by_qt(painter: QPainter, mark: Stroke) -> None:
    pen = QPen(QColor(*mark.colour), mark.width_mm)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    painter.setPen(pen if mark.width_mm > 0 else QPen(Qt.PenStyle.NoPen))
    painter.setBrush(QBrush(QColor(*mark.fill)) if mark.fill else QBrush(Qt.BrushStyle.NoBrush))
    polygon = QPolygonF([QPointF(x, y) for x, y in mark.points])
    if mark.closed:
        painter.drawPolygon(polygon)
    else:
        painter.drawPolyline(polygon)


def _letters_by_qt(painter: QPainter, mark: Lettering) -> None:
    font = QFont(_own_font())
    font.setPixelSize(100)
    metrics = QFontMetricsF(font)
    painter.save()
    painter.translate(*mark.at)
    painter.rotate(-90 if mark.turned else 0)
    scale = mark.height_mm / metrics.capHeight()
    painter.scale(scale * (_NARROW if mark.narrow else 1.0), scale)
    painter.setFont(font)
    painter.setPen(QColor(*mark.colour))
    wide = metrics.horizontalAdvance(mark.text)
    painter.drawText(QPointF(-wide / 2, metrics.capHeight() / 2), mark.text)
    painter.restore()


def _own_font() -> str:
    file = asset_path("fonts") / "AtkinsonHyperlegibleNext-Regular.ttf"
    number = QFontDatabase.addApplicationFont(str(file))
    return QFontDatabase.applicationFontFamilies(number)[0]


def by_typst(marks: Sequence[Mark], width_mm: float, height_mm: float) -> bytes:
    """Write a drawing with typst: each mark placed in a frame of its own."""
    lines = [
        f"#set page(width: {width_mm}mm, height: {height_mm}mm, margin: 0mm)",
        '#set text(font: "Atkinson Hyperlegible Next", top-edge: "cap-height", bottom-edge: "baseline")',
    ]
    lines += [
        _stroke_in_typst(mark) if isinstance(mark, Stroke) else _letters_in_typst(mark)
        for mark in marks
    ]
    source = "\n".join(lines).encode()
    written: Any = typst.compile(source, font_paths=[str(asset_path("fonts"))], format="pdf")
    return bytes(written)


def _stroke_in_typst(mark: Stroke) -> str:
    first, *others = [f"({x:.4f}mm, {y:.4f}mm)" for x, y in mark.points]
    steps = ", ".join(f"curve.line({point})" for point in others)
    close = ', curve.close(mode: "straight")' if mark.closed else ""
    stroke = "none"
    if mark.width_mm > 0:
        stroke = (
            f"(paint: {_in_typst(mark.colour)}, thickness: {mark.width_mm}mm,"
            ' cap: "butt", join: "miter", miter-limit: 10)'
        )
    fill = _in_typst(mark.fill) if mark.fill else "none"
    curve = f"curve(stroke: {stroke}, fill: {fill}, curve.move({first}), {steps}{close})"
    return f"#place(top + left, {curve})"


def _letters_in_typst(mark: Lettering) -> str:
    # The cap height of the program's own font is 0.668 of its size.
    text = f'text(size: {mark.height_mm / 0.668}mm, fill: {_in_typst(mark.colour)}, "{mark.text}")'
    stretch = _NARROW if mark.narrow else 1.0
    text = f"scale(x: {100 * stretch}%, reflow: true, {text})"
    if mark.turned:
        text = f"rotate(-90deg, reflow: true, {text})"
    x, y = mark.at
    frame = f"box(width: 200mm, height: 200mm, align(center + horizon, {text}))"
    return f"#place(top + left, dx: {x - 100}mm, dy: {y - 100}mm, {frame})"


def _in_typst(colour: Rgb) -> str:
    return f"rgb({colour[0]}, {colour[1]}, {colour[2]})"


def _shares(colour: Rgb) -> tuple[float, float, float]:
    return colour[0] / 255, colour[1] / 255, colour[2] / 255


def circle(centre: tuple[float, float], radius: float, pieces: int = 48) -> tuple[Any, ...]:
    """Return the corners of a circle as a polygon."""
    angles = [2 * math.pi * k / pieces for k in range(pieces)]
    return tuple(
        (centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles
    )


WRITERS: dict[str, Writer] = {"reportlab": by_reportlab, "Qt": by_qt, "typst": by_typst}
