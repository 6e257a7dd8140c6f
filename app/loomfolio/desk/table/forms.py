"""The forms on the sheet: each state a shape of its own, told apart in black and white.

All are drawn around a place in px of the window, so they keep their size at any zoom. Colours are
handed in; nothing here knows what a form means.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPainterPath, QPen, QPolygonF

HALO_PX = 1.5
"""Each form stands on a rim of paper this wide, so that it can be read over print."""

SMALLEST_MARKED_PX = 10.0
"""A smaller diamond stands without its question mark."""


def stroke(colour: QColor, width_px: float) -> QPen:
    """Return a pen with round ends that keeps its width at any zoom."""
    pen = QPen(colour, width_px)
    pen.setCosmetic(True)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    return pen


def paint_square(painter: QPainter, at: QPointF, size: float, ink: QColor, paper: QColor) -> None:
    """A filled square: a pin of the net that is pointed at, or what was joined by hand."""
    half = size / 2
    box = QRectF(at.x() - half, at.y() - half, size, size)
    painter.fillRect(box.adjusted(-HALO_PX, -HALO_PX, HALO_PX, HALO_PX), paper)
    painter.fillRect(box, ink)


def paint_brackets(painter: QPainter, at: QPointF, size: float, ink: QColor, paper: QColor) -> None:
    """Two facing brackets: kept apart by hand."""
    half, lip = size / 2, size / 4
    path = QPainterPath()
    for side in (-1, 1):
        x = at.x() + side * half * 0.8
        path.moveTo(x - side * lip, at.y() - half)
        path.lineTo(x, at.y() - half)
        path.lineTo(x, at.y() + half)
        path.lineTo(x - side * lip, at.y() + half)
    _rimmed(painter, path, ink, paper, 2.0)


def paint_diamond(
    painter: QPainter, at: QPointF, size: float, ink: QColor, paper: QColor, font: QFont
) -> None:
    """An upright diamond with a question mark: a doubt."""
    half = size / 2
    shape = QPolygonF(
        [
            QPointF(at.x(), at.y() - half * 1.15),
            QPointF(at.x() + half * 0.9, at.y()),
            QPointF(at.x(), at.y() + half * 1.15),
            QPointF(at.x() - half * 0.9, at.y()),
        ]
    )
    painter.setPen(QPen(paper, 2 * HALO_PX))
    painter.setBrush(paper)
    painter.drawPolygon(shape)
    painter.setPen(QPen(ink, 1.5))
    painter.drawPolygon(shape)
    if size < SMALLEST_MARKED_PX:
        return
    mark = QFont(font)
    mark.setPixelSize(max(round(size * 0.62), 6))
    mark.setBold(True)
    painter.setFont(mark)
    painter.setPen(ink)
    painter.drawText(
        QRectF(at.x() - half, at.y() - half, size, size), Qt.AlignmentFlag.AlignCenter, "?"
    )


def paint_tick(painter: QPainter, at: QPointF, size: float, ink: QColor, paper: QColor) -> None:
    """A small tick: confirmed."""
    path = QPainterPath(QPointF(at.x() - size * 0.45, at.y() + size * 0.02))
    path.lineTo(at.x() - size * 0.1, at.y() + size * 0.38)
    path.lineTo(at.x() + size * 0.5, at.y() - size * 0.42)
    _rimmed(painter, path, ink, paper, 2.0)


def paint_cross(painter: QPainter, at: QPointF, size: float, ink: QColor, paper: QColor) -> None:
    """A small cross: the drawn line under it is no conductor."""
    half = size / 2
    path = QPainterPath(QPointF(at.x() - half, at.y() - half))
    path.lineTo(at.x() + half, at.y() + half)
    path.moveTo(at.x() - half, at.y() + half)
    path.lineTo(at.x() + half, at.y() - half)
    _rimmed(painter, path, ink, paper, 1.5)


def paint_ring(painter: QPainter, at: QPointF, radius: float, ink: QColor, width: float) -> None:
    """An open ring round a place."""
    painter.setPen(QPen(ink, width))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(at, radius, radius)


def paint_gap(
    painter: QPainter, at: QPointF, radius: float, ink: QColor, paper: QColor, *, is_sure: bool
) -> None:
    """An open ring with a short bar through it: a gap; its ring is broken where it is still to be looked at."""
    path = QPainterPath()
    if is_sure:
        path.addEllipse(at, radius, radius)
    else:
        box = QRectF(at.x() - radius, at.y() - radius, 2 * radius, 2 * radius)
        for start in range(10, 370, 60):
            path.arcMoveTo(box, start)
            path.arcTo(box, start, 40)
    slant = QPointF(radius * 0.32, -radius * 0.62)
    path.moveTo(at - slant)
    path.lineTo(at + slant)
    _rimmed(painter, path, ink, paper, 2.0)


def paint_chevron(
    painter: QPainter, at: QPointF, angle: float, size: float, ink: QColor, paper: QColor
) -> None:
    """A chevron that points in the direction walked (radians, y down)."""
    cos, sin = math.cos(angle), math.sin(angle)

    def turned(along: float, across: float) -> QPointF:
        return QPointF(
            at.x() + along * cos - across * sin,
            at.y() + along * sin + across * cos,
        )

    path = QPainterPath(turned(-size * 0.35, -size * 0.5))
    path.lineTo(turned(size * 0.35, 0))
    path.lineTo(turned(-size * 0.35, size * 0.5))
    _rimmed(painter, path, ink, paper, 2.5)


def paint_half_arrow(
    painter: QPainter, at: QPointF, angle: float, size: float, ink: QColor, paper: QColor
) -> None:
    """A half arrow along a conductor, its tip two sizes on: it goes on elsewhere, or comes from there."""
    cos, sin = math.cos(angle), math.sin(angle)
    tip = QPointF(at.x() + 2 * size * cos, at.y() + 2 * size * sin)
    path = QPainterPath(at)
    path.lineTo(tip)
    path.lineTo(
        tip.x() - size * 0.9 * cos + size * 0.75 * sin,
        tip.y() - size * 0.9 * sin - size * 0.75 * cos,
    )
    _rimmed(painter, path, ink, paper, 2.0)


def paint_slash(painter: QPainter, at: QPointF, size: float, ink: QColor, paper: QColor) -> None:
    """A slanting stroke across a conductor: its colour or area is noted."""
    path = QPainterPath(QPointF(at.x() - size * 0.35, at.y() + size * 0.5))
    path.lineTo(at.x() + size * 0.35, at.y() - size * 0.5)
    _rimmed(painter, path, ink, paper, 1.5)


def paint_pin_bar(
    painter: QPainter,
    at: QPointF,
    *,
    is_upright: bool,
    length: float,
    width: float,
    ink: QColor,
    paper: QColor,
) -> None:
    """A short bar across a body's edge: a pin."""
    half = length / 2
    offset = QPointF(0, half) if is_upright else QPointF(half, 0)
    for pen in (QPen(paper, 2 * width), QPen(ink, width)):
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.drawLine(QLineF(at - offset, at + offset))


def paint_handles(painter: QPainter, points: Sequence[QPointF], ink: QColor, paper: QColor) -> None:
    """The corners of a line that is being drawn, as small hollow squares."""
    painter.setPen(QPen(ink, 1.5))
    painter.setBrush(paper)
    for point in points:
        painter.drawRect(QRectF(point.x() - 3, point.y() - 3, 6, 6))


def _rimmed(
    painter: QPainter, path: QPainterPath, ink: QColor, paper: QColor, width: float
) -> None:
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(stroke(paper, width + 2 * HALO_PX))
    painter.drawPath(path)
    painter.setPen(stroke(ink, width))
    painter.drawPath(path)
