"""Paints what a running gesture shows: the box, the line, the link, what the pointer holds on to."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from loomfolio.desk.table import forms
from loomfolio.desk.table.labels import paint_label, text_size
from loomfolio.desk.table.layout import SheetPlace, TableBox, TablePoint
from loomfolio.desk.table.lit import Bench, paint_conductor
from loomfolio.desk.table.pin_run import PinRun
from loomfolio.desk.table.preview import DrawnBox, DrawnLine, Preview
from loomfolio.desk.table.resting import paint_pin
from loomfolio.desk.table.snapping import Grip
from loomfolio.desk.table.things import Thing
from loomfolio.project import Anchor, BodyMark, LineMark


def paint_preview(painter: QPainter, bench: Bench, preview: Preview) -> None:
    """Paint a gesture's preview over everything."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for number in preview.lit_conductors:
        paint_conductor(painter, bench, number)
    for turn, place in enumerate(preview.lit, 1):
        _paint_badge(painter, bench, place, str(turn))
    if preview.box is not None:
        _paint_box(painter, bench, preview.box)
    if preview.line is not None:
        _paint_line(painter, bench, preview.line)
    if preview.link is not None:
        end = bench.canvas.point(preview.link.end)
        if preview.grip is not None:
            end = _px(bench, preview.grip.place) or end
        paint_arc(painter, bench, _px(bench, preview.link.start), end)
    if preview.grip is not None and not preview.lit:
        _paint_grip(painter, bench, preview.grip)
    if preview.sheet_at is not None:
        _paint_lifted(painter, bench, *preview.sheet_at)


def paint_arc(painter: QPainter, bench: Bench, start: QPointF | None, end: QPointF | None) -> None:
    """A dashed arc over the table from one end of a link to the other."""
    if start is None or end is None:
        return
    colour = bench.canvas.theme.colour("followed")
    across = end - start
    bow = min(abs(across.x()) + abs(across.y()), 400.0) * 0.18
    path = QPainterPath(start)
    path.quadTo((start + end) / 2 + QPointF(0, -bow), end)
    for pen in (QPen(bench.canvas.theme.colour("table"), 5.0), QPen(colour, 2.0)):
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        if pen.widthF() < 3:
            pen.setDashPattern([4.0, 3.0])
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(path)
    forms.paint_ring(painter, end, 5.0, colour, 2.0)


def paint_link_ends(painter: QPainter, bench: Bench, thing: Thing) -> None:
    """Where the link under the pointer goes on."""
    for end in bench.scene.link_ends.get(thing.sheet, ()):
        if end.link.id == thing.record and end.here == thing.at and end.there is not None:
            there = SheetPlace(end.there.sheet, end.there.at)
            paint_arc(painter, bench, _px(bench, thing.place), _px(bench, there))


def paint_run(painter: QPainter, bench: Bench, sheet_id: str, run: PinRun) -> None:
    """A body while its pins are numbered: the next one ringed."""
    laid = bench.scene.layout.get(sheet_id)
    if laid is None:
        return
    ink = bench.ink
    box = bench.canvas.box(laid, run.box)
    painter.fillRect(box, _tinted(ink.of("followed"), 0.06))
    painter.setPen(QPen(ink.of("followed"), 2.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box)
    for index, (at, text) in enumerate(zip(run.places, run.texts, strict=True)):
        spot = bench.canvas.px(laid, at)
        if text:
            paint_pin(painter, bench.canvas, laid, run.box, at, text)
        else:
            forms.paint_ring(painter, spot, 4.0, ink.of("doubt"), 2.0)
        if index == run.current:
            forms.paint_ring(painter, spot, 9.0, ink.of("followed"), 2.0)


def paint_flash(painter: QPainter, bench: Bench, place: Anchor, share: float) -> None:
    """A ring that closes in on a place."""
    at = _px(bench, SheetPlace(place.sheet, place.at))
    if at is not None:
        radius = 30.0 - 18.0 * share
        forms.paint_ring(painter, at, radius, bench.ink.paper, 6.0)
        forms.paint_ring(painter, at, radius, bench.ink.of("followed"), 3.0)


def paint_picked(painter: QPainter, bench: Bench, thing: Thing) -> None:
    """The outline of the one mark that is selected, or the ring of the spot asked about."""
    laid = bench.scene.layout.get(thing.sheet)
    if laid is None:
        return
    colour = bench.ink.of("followed")
    body = bench.scene.mark_by_id.get(thing.record) if thing.record else None
    if isinstance(body, BodyMark):
        painter.setPen(QPen(colour, 2.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(bench.canvas.box(laid, body.box))
    elif isinstance(body, LineMark):
        _paint_line(painter, bench, DrawnLine(body.sheet, body.points))
    elif thing.kind not in ("conductor", "pin"):
        at = bench.canvas.px(laid, thing.at)
        forms.paint_ring(painter, at, 10.0, bench.ink.paper, 5.0)
        forms.paint_ring(painter, at, 10.0, colour, 2.0)


def _paint_box(painter: QPainter, bench: Bench, drawn: DrawnBox) -> None:
    laid = bench.scene.layout.get(drawn.sheet)
    if laid is None:
        return
    ink = bench.ink
    box = bench.canvas.box(laid, drawn.box)
    painter.fillRect(box, _tinted(ink.of("followed"), 0.08))
    painter.setPen(QPen(ink.of("followed"), 1.5))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box)
    for at in drawn.crossings:
        forms.paint_square(painter, bench.canvas.px(laid, at), 7.0, ink.of("followed"), ink.paper)
    count = len(drawn.crossings)
    text = "1 pin" if count == 1 else f"{count} pins"
    size = text_size(text, ink.bold)
    corner = QPointF(box.right() - size.width(), box.bottom() + 6)
    paint_label(
        painter, QRectF(corner, size), text, ink.bold, ink=ink.of("followed"), paper=ink.paper
    )


def _paint_line(painter: QPainter, bench: Bench, drawn: DrawnLine) -> None:
    laid = bench.scene.layout.get(drawn.sheet)
    if laid is None:
        return
    ink = bench.ink
    points = [bench.canvas.px(laid, at) for at in drawn.points]
    for colour, width in ((ink.paper, 6.0), (ink.of("followed"), 2.5)):
        painter.setPen(forms.stroke(colour, width))
        painter.drawPolyline(points)
    forms.paint_handles(painter, points, ink.of("followed"), ink.paper)


def _paint_grip(painter: QPainter, bench: Bench, grip: Grip) -> None:
    """A ring where the pointer holds on, and what it is in words."""
    at = _px(bench, grip.place)
    if at is None or grip.says == "free":
        return
    ink = bench.ink
    colour = ink.of("doubt" if grip.rivals else "followed")
    forms.paint_ring(painter, at, 7.0, ink.paper, 5.0)
    forms.paint_ring(painter, at, 7.0, colour, 2.0)
    size = text_size(grip.says, ink.small)
    box = QRectF(at + QPointF(14, -size.height() - 8), size)
    paint_label(painter, box, grip.says, ink.small, ink=colour, paper=ink.paper)


def _paint_badge(painter: QPainter, bench: Bench, place: SheetPlace, text: str) -> None:
    """The key of an answer, on the conductor that it means."""
    at = _px(bench, place)
    if at is None:
        return
    ink = bench.ink
    painter.setPen(QPen(ink.paper, 2.0))
    painter.setBrush(ink.of("doubt"))
    painter.drawEllipse(at, 9.0, 9.0)
    painter.setPen(ink.paper)
    painter.setFont(ink.bold)
    painter.drawText(QRectF(at.x() - 9, at.y() - 9, 18, 18), Qt.AlignmentFlag.AlignCenter, text)


def _paint_lifted(painter: QPainter, bench: Bench, sheet_id: str, at: tuple[float, float]) -> None:
    """The outline of a sheet where it would be laid down."""
    laid = bench.scene.layout.get(sheet_id)
    if laid is None:
        return
    x, y = at
    box = bench.canvas.rect(TableBox(x, y, x + laid.box.width, y + laid.box.height))
    painter.fillRect(box, _tinted(bench.canvas.theme.colour("followed"), 0.08))
    painter.setPen(QPen(bench.canvas.theme.colour("followed"), 2.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box)


def _px(bench: Bench, place: SheetPlace) -> QPointF | None:
    laid = bench.scene.layout.get(place.sheet)
    return bench.canvas.point(TablePoint(*laid.to_table(place.at))) if laid else None


def _tinted(colour: QColor, share: float) -> QColor:
    tint = QColor(colour)
    tint.setAlphaF(share)
    return tint
