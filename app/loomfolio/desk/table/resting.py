"""What of ours lies on the sheets at rest: quiet conductors, and the marks of the person.

Everything is drawn thinner and quieter than the print. Only what touches the part of the window that is
to be painted is drawn; like strokes are drawn together.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPen, QPixmap

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.table import forms
from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.ink import Ink
from loomfolio.desk.table.label_book import LabelBook
from loomfolio.desk.table.labels import paint_label, text_size
from loomfolio.desk.table.layout import LaidSheet
from loomfolio.desk.table.lines import SheetLines
from loomfolio.desk.table.pin_run import Side, side_of
from loomfolio.desk.table.scene import LinkEnd, Scene
from loomfolio.project import (
    ApartMark,
    BodyMark,
    JoinMark,
    LeadMark,
    LineMark,
    NameMark,
    NotConductorMark,
)

QUIET, DRAWN = 0.35, 0.9
"""How strongly an untouched conductor is drawn over the ink; and one that has no ink, since the person
drew it."""
PINS_FROM = 2.0
"""px per mm from which pin numbers can be read and do not crowd."""
MARK_REACH_PX = 32.0
"""No mark of the person reaches further than this from its place."""


def paint_quiet_lines(
    painter: QPainter, canvas: Canvas, laid: LaidSheet, scene: Scene, lines: SheetLines
) -> None:
    """Draw the conductors of a sheet; what may go to the bench as a double line.

    Each px takes the quiet colour once, however many lines cross there, and strokes are drawn as fast
    as opaque ones (measured): they replace what is in the layer instead of mixing with it.
    """
    ink = Ink(canvas)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setTransform(canvas.frame(laid), combine=True)
    painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Source)
    seen = lines.seen_in(canvas.seen(laid, 6.0))
    _draw_released(painter, lines, seen, scene, ink)
    for source, share, width in (("read", QUIET, 1.0), ("drawn", DRAWN, 2.0)):
        positions = [i for i in seen if lines.conductors[i].source == source]
        painter.setPen(forms.stroke(ink.sheer("followed", share), width))
        painter.drawLines(lines.together(positions))
    painter.restore()


def _draw_released(
    painter: QPainter, lines: SheetLines, seen: Iterable[int], scene: Scene, ink: Ink
) -> None:
    """A broad line whose middle is taken out again."""
    released = [
        i
        for i in seen
        if (release := scene.release.get(lines.conductors[i].net)) and release.is_released
    ]
    if released:
        together = lines.together(released)
        for share, width in ((QUIET, 5.0), (0.0, 2.0)):
            painter.setPen(forms.stroke(ink.sheer("confirmed", share), width))
            painter.drawLines(together)


def paint_marks(
    painter: QPainter, canvas: Canvas, laid: LaidSheet, scene: Scene, book: LabelBook
) -> None:
    """Paint the marks of one sheet, the large ones first, its doubts, and the labels on top."""
    ink = Ink(canvas)
    seen = canvas.seen(laid, MARK_REACH_PX)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _paint_bodies(painter, canvas, laid, scene, ink)
    _paint_doubts(painter, canvas, laid, scene, ink)
    for mark in scene.marks.get(laid.id, ()):
        if not isinstance(mark, BodyMark | LineMark) and seen.holds(mark.at):
            _paint_point_mark(painter, canvas.px(laid, mark.at), mark, ink)
    _paint_gaps(painter, canvas, laid, scene, ink)
    for end in scene.link_ends.get(laid.id, ()):
        if seen.holds(end.here):
            _paint_link(painter, canvas.px(laid, end.here), end, scene, ink)
    _paint_ticks(painter, canvas, laid, scene, ink)
    area = canvas.area
    for label, box in book.on(laid, canvas, scene, ink):
        if box.intersects(area):
            colour = ink.of(label.role)
            paint_label(painter, box, label.text, ink.bold, ink=colour, paper=ink.paper)


# ---------------------------------------------------------------------- bodies and pins


def _paint_bodies(
    painter: QPainter, canvas: Canvas, laid: LaidSheet, scene: Scene, ink: Ink
) -> None:
    """Outlines, bars across their edges, and numbers inside."""
    seen = canvas.seen(laid, MARK_REACH_PX)
    bodies = [body for body in scene.bodies_on(laid.id) if _meet(body.box, seen)]
    painter.setPen(QPen(ink.quiet("followed"), 1.25))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRects([canvas.box(laid, body.box) for body in bodies])
    pins = [
        (body, pin, side_of(body.box, pin.at))
        for body in bodies
        for pin in body.pins
        if seen.holds(pin.at)
    ]
    length = bar_length(ink)
    bars = [_bar(canvas.px(laid, pin.at), side, length) for _, pin, side in pins]
    width = ink.size(0.7, 1.25, 2.5)
    for pen in (QPen(ink.paper, 2 * width), QPen(ink.of("followed"), width)):
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.drawLines(bars)
    if ink.px_per_mm >= PINS_FROM:
        for body, pin, side in pins:
            box = canvas.box(laid, body.box)
            paint_number(painter, canvas.px(laid, pin.at), side, box, pin.pin, ink)


def _meet(a: MmBox, b: MmBox) -> bool:
    return a.x0 <= b.x1 and b.x0 <= a.x1 and a.y0 <= b.y1 and b.y0 <= a.y1


def bar_length(ink: Ink) -> float:
    """Return how long the bar of a pin is, px."""
    return ink.size(2.4, 4.0, 11.0)


def _bar(at: QPointF, side: Side, length: float) -> QLineF:
    half = length / 2
    offset = QPointF(0, half) if side in ("top", "bottom") else QPointF(half, 0)
    return QLineF(at - offset, at + offset)


def paint_number(
    painter: QPainter, at: QPointF, side: Side, body: QRectF, text: str, ink: Ink
) -> None:
    """Write the number of a pin inside its body, where the body has room for two of them."""
    font, offset = ink.number_font, bar_length(ink) / 2 + 1
    size = text_size(text, font)
    is_upright = side in ("top", "bottom")
    room = body.height() if is_upright else body.width()
    if room < 2 * (size.height() if is_upright else size.width()) + 2 * offset:
        return
    inwards = {
        "top": QPointF(-size.width() / 2, offset),
        "bottom": QPointF(-size.width() / 2, -offset - size.height()),
        "left": QPointF(offset, -size.height() / 2),
        "right": QPointF(-offset - size.width(), -size.height() / 2),
    }
    place = QRectF(at + inwards[side], size)
    paint_label(painter, place, text, font, ink=ink.of("followed"), paper=ink.paper)


def paint_pin(
    painter: QPainter, canvas: Canvas, laid: LaidSheet, body: MmBox, at: MmPoint, text: str
) -> None:
    """Paint one pin by itself: bar and number."""
    ink, side, spot = Ink(canvas), side_of(body, at), canvas.px(laid, at)
    painter.setPen(QPen(ink.of("followed"), 2.5))
    painter.drawLine(_bar(spot, side, bar_length(ink)))
    paint_number(painter, spot, side, canvas.box(laid, body), text, ink)


# ---------------------------------------------------------------------- small marks


def _paint_doubts(
    painter: QPainter, canvas: Canvas, laid: LaidSheet, scene: Scene, ink: Ink
) -> None:
    """Doubts that nobody has answered: upright diamonds, each the same picture."""
    seen = canvas.seen(laid, MARK_REACH_PX)
    size = round(ink.size(4.0, 7.0, 16.0))
    picture = _diamond(size, ink.ratio, ink.of("doubt").rgba(), ink.paper.rgba(), ink.bold.key())
    half = QPointF(picture.width() / ink.ratio / 2, picture.height() / ink.ratio / 2)
    for spot in scene.spots(laid.id):
        if spot.is_doubt and spot.answer is None and seen.holds(spot.at):
            painter.drawPixmap(canvas.px(laid, spot.at) - half, picture)


@lru_cache(maxsize=64)
def _diamond(size: int, ratio: float, ink: int, paper: int, font: str) -> QPixmap:
    side = size + 8
    picture = QPixmap(round(side * ratio), round(side * ratio))
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    with QPainter(picture) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        lettering = QFont()
        lettering.fromString(font)
        middle = QPointF(side / 2, side / 2)
        colours = QColor.fromRgba(ink), QColor.fromRgba(paper)
        forms.paint_diamond(painter, middle, size, *colours, lettering)
    return picture


def _paint_gaps(painter: QPainter, canvas: Canvas, laid: LaidSheet, scene: Scene, ink: Ink) -> None:
    """What this vehicle lacks, where the sheet shows it; quieter where the job is not about it."""
    seen = canvas.seen(laid, MARK_REACH_PX)
    radius = ink.size(2.2, 6.0, 11.0)
    for gap in scene.open_gaps.get(laid.id, ()):
        if gap.place is not None and seen.holds(gap.place.at):
            colour = ink.of("gap") if gap.in_scope else ink.quiet("gap")
            at = canvas.px(laid, gap.place.at)
            is_sure = gap.sureness == "sure"
            forms.paint_gap(painter, at, radius, colour, ink.paper, is_sure=is_sure)


def _paint_point_mark(
    painter: QPainter,
    at: QPointF,
    mark: JoinMark | ApartMark | NotConductorMark | LeadMark | NameMark,
    ink: Ink,
) -> None:
    size, colour = ink.size(2.2, 5.0, 9.0), ink.of("followed")
    if isinstance(mark, JoinMark):
        forms.paint_square(painter, at, size, colour, ink.paper)
    elif isinstance(mark, ApartMark):
        forms.paint_brackets(painter, at, size * 1.5, colour, ink.paper)
    elif isinstance(mark, NotConductorMark) and mark.when:  # its label says with which options
        forms.paint_brackets(painter, at, size, ink.of("second text"), ink.paper)
    elif isinstance(mark, NotConductorMark):
        forms.paint_cross(painter, at, size, ink.of("second text"), ink.paper)
    elif isinstance(mark, LeadMark):
        forms.paint_slash(painter, at, ink.size(3.0, 4.0, 10.0), colour, ink.paper)
    else:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour)
        painter.drawEllipse(at, 2.5, 2.5)


def _paint_ticks(
    painter: QPainter, canvas: Canvas, laid: LaidSheet, scene: Scene, ink: Ink
) -> None:
    seen = canvas.seen(laid, MARK_REACH_PX)
    size = ink.size(2.6, 6.0, 10.0)
    for at in scene.confirmed_places(laid.id):
        if seen.holds(at):
            corner = canvas.px(laid, at) + QPointF(size, -size)
            forms.paint_tick(painter, corner, size, ink.of("confirmed"), ink.paper)


def _paint_link(painter: QPainter, at: QPointF, end: LinkEnd, scene: Scene, ink: Ink) -> None:
    """A half arrow along the conductor; in red where its other end is missing."""
    size = ink.size(2.0, 3.5, 9.0)
    colour = ink.of("followed" if end.there else "stop")
    outwards = scene.outwards(end)
    back = QPointF(2 * size * math.cos(outwards), 2 * size * math.sin(outwards))
    if end.is_leaving:
        forms.paint_half_arrow(painter, at - back, outwards, size, colour, ink.paper)
    else:
        forms.paint_half_arrow(painter, at, outwards + math.pi, size, colour, ink.paper)
