"""The table and the sheets that lie on it: soft shadow, paper, page, hairline edge and title."""

from __future__ import annotations

import math
from functools import cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QImage, QPainter, QPen, QPixmap

from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.layout import LaidSheet
from loomfolio.desk.table.paper_ink import PaperInk
from loomfolio.desk.table.scene import Scene
from loomfolio.desk.table.tiles import PaperTiles

SHADOW_PX, SHADOW_DROP_PX = 14, 3
SHADOW_DEPTH_LIGHT, SHADOW_DEPTH_DARK = 0.22, 0.55
SMALLEST_TITLED_PX = 48.0
FADED_INK = 0.25
"""What stays of everything that is not followed."""


def paint_table(painter: QPainter, canvas: Canvas) -> None:
    """Fill the window with the table."""
    painter.fillRect(canvas.area, canvas.theme.colour("table"))


def paint_sheet(painter: QPainter, canvas: Canvas, laid: LaidSheet, tiles: PaperTiles) -> None:
    """Paint one sheet: shadow, paper, page and edge; while the page loads the paper is blank."""
    box = canvas.rect(laid.box)
    _paint_shadow(painter, box, is_dark=canvas.theme.is_dark)
    painter.fillRect(box, PaperInk.of(canvas.theme).paper)
    if not tiles.paint(painter, canvas, laid):
        _paint_note(painter, canvas, box, tiles.fault_of(laid.sheet) or "Loading the page …")
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    pen = QPen(canvas.theme.tint("table", "hairline", 0.8), 1.0 / canvas.ratio)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    half = 0.5 / canvas.ratio  # through the middle of a device px, so that no rounding moves it
    painter.drawRect(box.adjusted(half, half, -half, -half))


def veil(painter: QPainter, canvas: Canvas, laid: LaidSheet) -> None:
    """Fade all that lies on a sheet to a quarter."""
    haze = PaperInk.of(canvas.theme).paper
    haze.setAlphaF(1.0 - FADED_INK)
    painter.fillRect(canvas.rect(laid.box), haze)


def paint_title(painter: QPainter, canvas: Canvas, laid: LaidSheet, scene: Scene) -> None:
    """Write the title above a sheet, what it shows, and whether it is for another vehicle."""
    box = canvas.rect(laid.box)
    if box.width() < SMALLEST_TITLED_PX:
        return
    theme = canvas.theme
    font = theme.font("small", is_bold=True)
    room = canvas.view.px_per_mm * 18.0
    height = QFontMetricsF(font).height()
    if height > room:
        font.setPixelSize(max(round(font.pixelSize() * room / height), 8))
        height = QFontMetricsF(font).height()
    line = QRectF(box.left(), box.top() - height - min(6.0, room / 6), box.width(), height)
    line.setLeft(max(line.left(), min(8.0, line.right())))
    misfits = laid.sheet.valid_for.misfits(scene.project.job.vehicle)
    if misfits:
        line.setLeft(_paint_caution(painter, canvas, line, misfits[0]))
    metrics = QFontMetricsF(font)
    title = metrics.elidedText(laid.sheet.title, Qt.TextElideMode.ElideRight, line.width())
    painter.setFont(font)
    painter.setPen(theme.colour("text"))
    painter.drawText(line, Qt.AlignmentFlag.AlignVCenter, title)
    rest = line.adjusted(metrics.horizontalAdvance(title) + 10, 0, 0, 0)
    font.setBold(False)
    if laid.sheet.kind != "circuit" and rest.width() > 60:
        painter.setFont(font)
        painter.setPen(theme.colour("second text"))
        painter.drawText(rest, Qt.AlignmentFlag.AlignVCenter, laid.sheet.kind)


def _paint_caution(painter: QPainter, canvas: Canvas, line: QRectF, reason: str) -> float:
    """Write on yellow why a sheet does not fit the vehicle; return where the title goes on."""
    theme = canvas.theme
    font = theme.font("small")
    font.setPixelSize(max(round(line.height() * 0.72), 8))
    metrics = QFontMetricsF(font)
    text = metrics.elidedText(
        f"not this vehicle: {reason}", Qt.TextElideMode.ElideRight, line.width() * 0.6
    )
    plate = QRectF(line.left(), line.top(), metrics.horizontalAdvance(text) + 8, line.height())
    painter.fillRect(plate, theme.colour("caution"))
    painter.setFont(font)
    painter.setPen(theme.colour("caution text"))
    painter.drawText(plate, Qt.AlignmentFlag.AlignCenter, text)
    return plate.right() + 8


def _paint_note(painter: QPainter, canvas: Canvas, box: QRectF, text: str) -> None:
    """Say in the middle of a blank sheet why it is blank."""
    inner = box.adjusted(12, 12, -12, -12)
    if inner.width() < 80:
        return
    painter.setFont(canvas.theme.font("body"))
    painter.setPen(canvas.theme.on_paper("second text"))
    flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
    painter.drawText(inner, int(flags), text)


def _paint_shadow(painter: QPainter, box: QRectF, *, is_dark: bool) -> None:
    """Lay a soft shadow round a sheet, a little below it, from eight pieces of one picture."""
    picture, reach = _shadow(is_dark=is_dark), SHADOW_PX
    outer = box.translated(0, SHADOW_DROP_PX).adjusted(-reach, -reach, reach, reach)
    corner = 2.0 * reach
    if outer.width() < 2 * corner or outer.height() < 2 * corner:
        return
    side = picture.width()
    xs = (outer.left(), outer.left() + corner, outer.right() - corner, outer.right())
    ys = (outer.top(), outer.top() + corner, outer.bottom() - corner, outer.bottom())
    cuts = (0.0, corner, side - corner, float(side))
    for row in range(3):
        for column in range(3):
            if (row, column) != (1, 1):
                painter.drawPixmap(
                    QRectF(QPointF(xs[column], ys[row]), QPointF(xs[column + 1], ys[row + 1])),
                    picture,
                    QRectF(
                        QPointF(cuts[column], cuts[row]), QPointF(cuts[column + 1], cuts[row + 1])
                    ),
                )


@cache
def _shadow(*, is_dark: bool) -> QPixmap:
    """The blurred shadow of a square: along each axis a smooth step, and their product."""
    side = 6 * SHADOW_PX
    depth = SHADOW_DEPTH_DARK if is_dark else SHADOW_DEPTH_LIGHT
    steps = [_rise(min(i + 0.5, side - i - 0.5) / (2 * SHADOW_PX)) for i in range(side)]
    image = QImage(side, side, QImage.Format.Format_ARGB32)
    for y in range(side):
        for x in range(side):
            alpha = round(255 * depth * steps[x] * steps[y])
            image.setPixelColor(x, y, QColor(0, 0, 0, alpha))
    return QPixmap.fromImage(image)


def _rise(share: float) -> float:
    """A smooth step from 0 to 1."""
    held = min(max(share, 0.0), 1.0)
    return 0.5 - 0.5 * math.cos(math.pi * held)
