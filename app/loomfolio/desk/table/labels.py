"""Small texts beside places, laid so that none covers another, and remembered for the pointer.

A label is tried at a few places round its own; where all are taken it is left out rather than laid
over another one: zooming in makes room. What was laid can be asked for by px: what one sees is what
one points at.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

PAD_X, PAD_Y = 4.0, 1.0
GAP_PX = 5.0


@dataclass(frozen=True, slots=True)
class PlacedLabel:
    """Where a record's label lies in the window."""

    record: str
    box: QRectF


class LabelField:
    """The boxes taken so far in one picture, and the labels that were laid."""

    def __init__(self) -> None:
        self._taken: list[QRectF] = []
        self.placed: list[PlacedLabel] = []

    def block(self, box: QRectF) -> None:
        """Keep a box free of labels."""
        self._taken.append(box)

    def lay(self, record: str, choices: Iterable[QRectF]) -> QRectF | None:
        """Take the first box that is free; None where all are taken."""
        for box in choices:
            if not any(box.intersects(other) for other in self._taken):
                self._taken.append(box)
                self.placed.append(PlacedLabel(record, box))
                return box
        return None

    def under(self, at: QPointF) -> tuple[str, ...]:
        """Return the records whose label lies under a px, topmost first."""
        return tuple(label.record for label in reversed(self.placed) if label.box.contains(at))


def text_size(text: str, font: QFont) -> QSizeF:
    """Return the size of a one-line label with its padding."""
    metrics = QFontMetricsF(font)
    return QSizeF(metrics.horizontalAdvance(text) + 2 * PAD_X, metrics.height() + 2 * PAD_Y)


def around(at: QPointF, size: QSizeF) -> Iterator[QRectF]:
    """Yield boxes of a size beside a place: above, below, right, left, and the corners."""
    w, h = size.width(), size.height()
    for dx, dy in (
        (-w / 2, -h - GAP_PX),
        (-w / 2, GAP_PX),
        (GAP_PX, -h / 2),
        (-w - GAP_PX, -h / 2),
        (GAP_PX, -h - GAP_PX),
        (-w - GAP_PX, -h - GAP_PX),
        (GAP_PX, GAP_PX),
        (-w - GAP_PX, GAP_PX),
    ):
        yield QRectF(at.x() + dx, at.y() + dy, w, h)


def paint_label(
    painter: QPainter, box: QRectF, text: str, font: QFont, *, ink: QColor, paper: QColor
) -> None:
    """Write a text on a plate of paper."""
    plate = QColor(paper)
    plate.setAlphaF(0.92)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(plate)
    painter.drawRoundedRect(box, 2, 2)
    painter.setPen(QPen(ink))
    painter.setFont(font)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
