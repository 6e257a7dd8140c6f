"""What of ours lies on the sheets at rest: quiet conductors, and the marks of the person.

Everything is drawn thinner and quieter than the print. Texts are left out where they would be too
small to read or would cover each other.
"""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPixmap

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.colours import Role
from loomfolio.desk.ledgers.columns import Wire
from loomfolio.desk.table import forms
from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.labels import LabelField, around, paint_label, text_size
from loomfolio.desk.table.layout import LaidSheet
from loomfolio.desk.table.lines import LineStore, SheetLines
from loomfolio.desk.table.paper_ink import PaperInk
from loomfolio.desk.table.pin_run import side_of
from loomfolio.desk.table.scene import LinkEnd, Scene
from loomfolio.desk.wire_picture import paint_wire
from loomfolio.project import (
    ApartMark,
    BodyMark,
    BodyPin,
    JoinMark,
    LeadMark,
    NameMark,
    NotConductorMark,
)

QUIET = 0.35
"""How strongly an untouched conductor is drawn over the ink."""
SMALLEST_TEXT_PX = 8
NAMES_FROM, PINS_FROM = 0.9, 2.0
"""px per mm from which names, and pin numbers, can be read and do not crowd."""


class Ink:
    """The colours, fonts and sizes of ours on the paper at one zoom."""

    def __init__(self, canvas: Canvas) -> None:
        self._theme = canvas.theme
        self.px_per_mm = canvas.view.px_per_mm
        self.paper = PaperInk.of(canvas.theme).paper
        self.small = canvas.theme.font("small")
        self.bold = canvas.theme.font("small", is_bold=True)
        self.mono = canvas.theme.font("small", is_mono=True)

    def of(self, role: Role) -> QColor:
        """Return the colour of a role on the paper."""
        return self._theme.on_paper(role)

    @property
    def theme(self) -> object:
        """The theme itself, for painters that are shared with the rest of the desk."""
        return self._theme

    def size(self, mm: float, smallest: float, largest: float) -> float:
        """Return a size that grows with the zoom between two limits, px."""
        return min(max(mm * self.px_per_mm, smallest), largest)


def paint_quiet_lines(
    layer: QPixmap, canvas: Canvas, sheets: Iterable[LaidSheet], scene: Scene, store: LineStore
) -> None:
    """Draw all conductors in view opaquely into a layer; it is laid over the paper at `QUIET`."""
    painter = QPainter(layer)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for laid in sheets:
        lines = store.get(laid.id, scene.netlist.conductors_on(laid.id))
        seen = lines.seen_in(laid.part_in(canvas.window))
        painter.setTransform(canvas.frame(laid))
        _paint_released(painter, canvas, lines, seen, scene)
        read = [i for i in seen if lines.conductors[i].source == "read"]
        drawn = [i for i in seen if lines.conductors[i].source == "drawn"]
        for positions, width in ((read, 1.0), (drawn, 2.0)):
            painter.setPen(forms.stroke(canvas.theme.on_paper("followed"), width))
            painter.drawLines(lines.together(positions))
    painter.end()


def _paint_released(
    painter: QPainter, canvas: Canvas, lines: SheetLines, seen: Iterable[int], scene: Scene
) -> None:
    """Draw what may go to the bench as a double line: a broad one with its middle taken out."""
    released = [
        i
        for i in seen
        if (release := scene.release.get(lines.conductors[i].net)) and release.is_released
    ]
    if not released:
        return
    together = lines.together(released)
    painter.setPen(forms.stroke(canvas.theme.on_paper("confirmed"), 5.0))
    painter.drawLines(together)
    painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Clear)
    painter.setPen(forms.stroke(canvas.theme.on_paper("confirmed"), 2.0))
    painter.drawLines(together)
    painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceOver)


def paint_marks(
    painter: QPainter, canvas: Canvas, laid: LaidSheet, scene: Scene, field: LabelField
) -> None:
    """Paint the marks of one sheet, the large ones first, and its doubts."""
    ink = Ink(canvas)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    marks = scene.marks.get(laid.id, ())
    for body in scene.bodies_on(laid.id):
        paint_body(painter, canvas, laid, body, scene.part_name(body), ink)
    _paint_spots(painter, canvas, laid, scene, ink)
    for mark in marks:
        if isinstance(mark, JoinMark | ApartMark | NotConductorMark):
            _paint_answer(painter, canvas.px(laid, mark.at), mark, ink, field)
    for end in scene.link_ends.get(laid.id, ()):
        _paint_link(painter, canvas, laid, end, scene, ink, field)
    _paint_ticks(painter, canvas, laid, scene, ink)
    for mark in marks:
        if isinstance(mark, NameMark):
            _paint_name(painter, canvas.px(laid, mark.at), mark, ink, field)
    for mark in marks:
        if isinstance(mark, LeadMark):
            _paint_lead_note(painter, canvas, canvas.px(laid, mark.at), mark, ink, field)


# ---------------------------------------------------------------------- bodies


def paint_body(
    painter: QPainter, canvas: Canvas, laid: LaidSheet, body: BodyMark, title: str, ink: Ink
) -> None:
    """Paint an outline with its name inside and its pins across the edge."""
    box = canvas.box(laid, body.box)
    painter.setPen(QPen(ink.of("followed"), 1.25))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box)
    for pin in body.pins:
        paint_pin(painter, canvas, laid, body.box, pin, ink)
    _paint_body_name(painter, box, title, ink, has_numbers=ink.px_per_mm >= PINS_FROM)


def _paint_body_name(
    painter: QPainter, box: QRectF, title: str, ink: Ink, *, has_numbers: bool
) -> None:
    font = ink.bold
    margin = 20.0 if has_numbers else 3.0
    room = max(box.width() - 2 * margin, 0.0)
    text = QFontMetricsF(font).elidedText(title, Qt.TextElideMode.ElideRight, room)
    size = text_size(text, font)
    if box.height() < size.height() or size.width() > box.width() or len(text) < min(len(title), 3):
        return
    place = QRectF(QPointF(), size)
    place.moveCenter(box.center())
    paint_label(painter, place, text, font, ink=ink.of("followed"), paper=ink.paper)


def paint_pin(
    painter: QPainter, canvas: Canvas, laid: LaidSheet, box: MmBox, pin: BodyPin, ink: Ink
) -> None:
    """Paint a bar across the edge of a body, and the number inside."""
    side = side_of(box, pin.at)
    at = canvas.px(laid, pin.at)
    length = ink.size(2.4, 4.0, 11.0)
    is_upright = side in ("top", "bottom")
    colour = ink.of("followed")
    forms.paint_pin_bar(
        painter, at, is_upright=is_upright, length=length, ink=colour, paper=ink.paper
    )
    if ink.px_per_mm < PINS_FROM or not pin.pin:
        return
    font = _number_font(ink)
    size = text_size(pin.pin, font)
    offset = length / 2 + 1
    inwards = {
        "top": QPointF(-size.width() / 2, offset),
        "bottom": QPointF(-size.width() / 2, -offset - size.height()),
        "left": QPointF(offset, -size.height() / 2),
        "right": QPointF(-offset - size.width(), -size.height() / 2),
    }
    place = QRectF(at + inwards[side], size)
    paint_label(painter, place, pin.pin, font, ink=colour, paper=ink.paper)


def _number_font(ink: Ink) -> QFont:
    font = QFont(ink.mono)
    font.setPixelSize(round(ink.size(3.0, SMALLEST_TEXT_PX, font.pixelSize())))
    return font


# ---------------------------------------------------------------------- small marks


def _paint_spots(
    painter: QPainter, canvas: Canvas, laid: LaidSheet, scene: Scene, ink: Ink
) -> None:
    """Doubts that nobody has answered: upright diamonds."""
    window = laid.part_in(canvas.window)
    size = ink.size(4.0, 9.0, 16.0)
    for spot in scene.spots(laid.id):
        if spot.is_doubt and spot.answer is None and window.holds(spot.at, 5.0):
            at = canvas.px(laid, spot.at)
            forms.paint_diamond(painter, at, size, ink.of("doubt"), ink.paper, ink.bold)


def _paint_answer(
    painter: QPainter,
    at: QPointF,
    mark: JoinMark | ApartMark | NotConductorMark,
    ink: Ink,
    field: LabelField,
) -> None:
    size = ink.size(2.2, 5.0, 9.0)
    colour = ink.of("followed")
    if isinstance(mark, JoinMark):
        forms.paint_square(painter, at, size, colour, ink.paper)
    elif isinstance(mark, ApartMark):
        forms.paint_brackets(painter, at, size * 1.5, colour, ink.paper)
    else:
        forms.paint_cross(painter, at, size, ink.of("second text"), ink.paper)
    field.block(QRectF(at.x() - size, at.y() - size, 2 * size, 2 * size))


def _paint_ticks(
    painter: QPainter, canvas: Canvas, laid: LaidSheet, scene: Scene, ink: Ink
) -> None:
    size = ink.size(2.6, 6.0, 10.0)
    places = {c.place.at for c in scene.confirmations.get(laid.id, ()) if c.place}
    records = {c.record for c in scene.project.confirmations if c.record}
    ends = scene.link_ends.get(laid.id, ())
    places |= {end.here for end in ends if end.link.id in records}
    for at in sorted(places):
        corner = canvas.px(laid, at) + QPointF(size, -size)
        forms.paint_tick(painter, corner, size, ink.of("confirmed"), ink.paper)


def _paint_name(
    painter: QPainter, at: QPointF, mark: NameMark, ink: Ink, field: LabelField
) -> None:
    if ink.px_per_mm < NAMES_FROM:
        return
    box = field.lay(mark.id, around(at, text_size(mark.name, ink.bold)))
    if box is None:
        return
    colour = ink.of("followed")
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawEllipse(at, 2.5, 2.5)
    paint_label(painter, box, mark.name, ink.bold, ink=colour, paper=ink.paper)


def _paint_lead_note(
    painter: QPainter, canvas: Canvas, at: QPointF, mark: LeadMark, ink: Ink, field: LabelField
) -> None:
    """A short piece of wire as it looks, and its letters and area."""
    if ink.px_per_mm < NAMES_FROM:
        return
    area = f"{mark.area_mm2:g} mm²" if mark.area_mm2 else ""
    text = " ".join(word for word in (mark.colour.text if mark.colour else "", area) if word)
    wire = QSizeF(22.0, 7.0) if mark.colour else QSizeF(0.0, 0.0)
    words = text_size(text, ink.mono)
    size = QSizeF(wire.width() + words.width() + 4, words.height())
    box = field.lay(mark.id, around(at, size))
    if box is None:
        return
    paint_label(painter, box, "", ink.mono, ink=ink.of("text"), paper=ink.paper)
    if mark.colour:
        piece = QRectF(box.left() + 4, box.center().y() - 3.5, wire.width(), wire.height())
        paint_wire(painter, piece, Wire.of(mark.colour), canvas.theme)
    rest = box.adjusted(wire.width() + 4, 0, 0, 0)
    painter.setPen(ink.of("text"))
    painter.setFont(ink.mono)
    painter.drawText(rest, Qt.AlignmentFlag.AlignCenter, text)


def _paint_link(
    painter: QPainter,
    canvas: Canvas,
    laid: LaidSheet,
    end: LinkEnd,
    scene: Scene,
    ink: Ink,
    field: LabelField,
) -> None:
    """A half arrow with the link's letter, in caution where its other end is missing."""
    at = canvas.px(laid, end.here)
    size = ink.size(2.4, 6.0, 11.0)
    colour = ink.of("followed") if end.there else ink.of("stop")
    forms.paint_half_arrow(painter, at, size, colour, ink.paper, leaves=end.is_leaving)
    field.block(QRectF(at.x() - size, at.y() - size, 2 * size, 2 * size))
    text = scene.link_letter(end.link) if end.there else f"{scene.link_letter(end.link)} ?"
    box = field.lay(end.link.id, around(at, text_size(text, ink.bold)))
    if box is not None:
        paint_label(painter, box, text, ink.bold, ink=colour, paper=ink.paper)


def sheet_px(canvas: Canvas, laid: LaidSheet, points: Iterable[MmPoint]) -> list[QPointF]:
    """Return several places on a sheet as px of the window."""
    return [canvas.px(laid, point) for point in points]
