"""The small texts beside marks, laid so that none covers another, and remembered for the pointer.

A label is tried at a few places round its own, first those where it covers no conductor. Where all are
taken it is left out rather than laid over another one: zooming in makes room. Where labels lie depends
on the scale alone, so pushing the table about lays nothing anew. What one sees is what one points at:
labels are asked for by px.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.colours import Role
from loomfolio.desk.table.ink import Ink
from loomfolio.desk.table.lines import SheetLines
from loomfolio.desk.table.option_words import opposite
from loomfolio.desk.table.scene import LinkEnd, Scene
from loomfolio.project import ApartMark, BodyMark, JoinMark, LeadMark, NameMark, NotConductorMark

PAD_X, PAD_Y = 4.0, 1.0
GAPS_PX = (5.0, 14.0)
NAMES_FROM, LETTERS_FROM, READABLE_FROM = 0.8, 2.0, 3.0
"""px per mm from which names can be read at all; from which letters of links do not crowd; and from
which the print can be read, so that the name of a body need not stand in its middle."""


@dataclass(frozen=True, slots=True)
class PlacedLabel:
    """A text, whose it is, and where it lies: px from the sheet's top-left corner at one scale."""

    record: str
    text: str
    role: Role
    box: QRectF


class LabelField:
    """The boxes taken so far on one sheet, and the labels that were laid."""

    def __init__(self, covers: Callable[[QRectF], bool]) -> None:
        self._covers = covers
        self._taken: list[tuple[float, float, float, float]] = []
        self.placed: list[PlacedLabel] = []

    def block(self, at: QPointF, half: float) -> None:
        """Keep a square round a mark free of labels."""
        self._taken.append((at.x() - half, at.y() - half, at.x() + half, at.y() + half))

    def lay(self, record: str, text: str, role: Role, choices: Iterable[QRectF]) -> None:
        """Lay a label in the first free box that covers nothing, else in the first free one."""
        first: QRectF | None = None
        for box in choices:
            if self._is_taken(box):
                continue
            first = first or box
            if not self._covers(box):
                first = box
                break
        if first is not None:
            self._taken.append(_edges(first))
            self.placed.append(PlacedLabel(record, text, role, first))

    def _is_taken(self, box: QRectF) -> bool:
        x0, y0, x1, y1 = _edges(box)
        return any(a < x1 and x0 < c and b < y1 and y0 < d for a, b, c, d in self._taken)


def lay_labels(scene: Scene, sheet_id: str, lines: SheetLines, ink: Ink) -> tuple[PlacedLabel, ...]:
    """Lay the labels of one sheet: letters of links, names of nets, names of bodies; these matter least."""
    scale = ink.px_per_mm

    def covers(box: QRectF) -> bool:
        x0, y0, x1, y1 = _edges(box)
        return lines.crosses(MmBox(x0 / scale, y0 / scale, x1 / scale, y1 / scale))

    field = LabelField(covers)
    marks = scene.marks.get(sheet_id, ())
    if scale >= NAMES_FROM:
        for mark in marks:
            if isinstance(mark, JoinMark | ApartMark | NotConductorMark | LeadMark):
                field.block(_spot(mark.at, scale), ink.size(2.2, 5.0, 9.0))
        for end in scene.link_ends.get(sheet_id, ()):
            _lay_link(field, scene, end, ink)
        for mark in marks:
            if isinstance(mark, NameMark):
                size = text_size(mark.name, ink.bold)
                field.lay(mark.id, mark.name, "followed", around(_spot(mark.at, scale), size))
            elif isinstance(mark, NotConductorMark) and mark.when:
                note = f"({opposite(mark.when)})"
                field.lay(
                    mark.id,
                    note,
                    "second text",
                    around(_spot(mark.at, scale), text_size(note, ink.bold)),
                )
    for body in scene.bodies_on(sheet_id):
        note = f" ({body.when})" if body.when else ""
        _lay_body_name(field, body, f"{scene.part_name(body)}{note}", ink)
    return tuple(field.placed)


def _lay_link(field: LabelField, scene: Scene, end: LinkEnd, ink: Ink) -> None:
    """The letter of a link on one side of its half arrow; farther off it would belong to nothing."""
    size = ink.size(2.0, 3.5, 9.0)
    outwards = scene.outwards(end)
    along, across = math.cos(outwards), math.sin(outwards)
    middle = _spot(end.here, ink.px_per_mm) - QPointF(size * along, size * across)
    field.block(middle, size)
    letter = scene.link_letter(end.link)
    text, role = (letter, _FOLLOWED) if end.there else (f"{letter} ?", _STOP)
    box = QRectF(QPointF(), text_size(text, ink.bold))
    clear = size + 2 + abs(across) * box.width() / 2 + abs(along) * box.height() / 2
    choices = []
    for side in (1, -1):
        box.moveCenter(middle + QPointF(side * across * clear, -side * along * clear))
        choices.append(QRectF(box))
    if ink.px_per_mm >= LETTERS_FROM:
        field.lay(end.link.id, text, role, choices)


def _lay_body_name(field: LabelField, body: BodyMark, title: str, ink: Ink) -> None:
    """In the middle while the print is too small to read, else outside, where the print says it too."""
    scale = ink.px_per_mm
    box = QRectF(
        _spot(MmPoint(body.box.x0, body.box.y0), scale),
        QSizeF((body.box.x1 - body.box.x0) * scale, (body.box.y1 - body.box.y0) * scale),
    )
    is_readable = scale >= READABLE_FROM
    room = max(box.width(), 80.0) if is_readable else box.width() - 6
    text = QFontMetricsF(ink.bold).elidedText(title, Qt.TextElideMode.ElideRight, room)
    size = text_size(text, ink.bold)
    if is_readable:
        field.lay("", text, "followed", _beside_body(box, size))
    elif size.height() <= box.height() and size.width() <= box.width():
        middle = QRectF(QPointF(), size)
        middle.moveCenter(box.center())
        field.lay("", text, "followed", (middle,))


def _beside_body(box: QRectF, size: QSizeF) -> Iterator[QRectF]:
    """Below a body first: titles are printed above as a rule."""
    right = box.right() - size.width()
    for corner in (
        QPointF(box.left(), box.bottom() + 3),
        QPointF(right, box.bottom() + 3),
        QPointF(right, box.top() - size.height() - 3),
        QPointF(box.left() + 3, box.bottom() - size.height() - 3),
        QPointF(right - 3, box.bottom() - size.height() - 3),
    ):
        yield QRectF(corner, size)


def text_size(text: str, font: QFont) -> QSizeF:
    """Return the size of a one-line label with its padding."""
    metrics = QFontMetricsF(font)
    return QSizeF(metrics.horizontalAdvance(text) + 2 * PAD_X, metrics.height() + 2 * PAD_Y)


def around(at: QPointF, size: QSizeF) -> Iterator[QRectF]:
    """Yield boxes of a size beside a place: above, below, right, left, the corners, then farther."""
    w, h = size.width(), size.height()
    for gap in GAPS_PX:
        for dx, dy in (
            (-w / 2, -h - gap),
            (-w / 2, gap),
            (gap, -h / 2),
            (-w - gap, -h / 2),
            (gap, -h - gap),
            (-w - gap, -h - gap),
            (gap, gap),
            (-w - gap, gap),
        ):
            yield QRectF(at.x() + dx, at.y() + dy, w, h)


def paint_label(
    painter: QPainter, box: QRectF, text: str, font: QFont, *, ink: QColor, paper: QColor
) -> None:
    """Write a text on a plate of paper."""
    plate = QColor(paper)
    plate.setAlphaF(0.92)
    painter.fillRect(box, plate)
    painter.setPen(QPen(ink))
    painter.setFont(font)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)


def _edges(box: QRectF) -> tuple[float, float, float, float]:
    return box.left(), box.top(), box.right(), box.bottom()


def _spot(at: MmPoint, scale: float) -> QPointF:
    return QPointF(at.x * scale, at.y * scale)


_FOLLOWED: Role = "followed"
_STOP: Role = "stop"
