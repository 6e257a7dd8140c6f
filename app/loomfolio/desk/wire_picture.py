"""A lead drawn as it looks: a short piece of wire, base with stripe, dark outline."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from loomfolio.desk.ledgers.columns import Wire
from loomfolio.desk.theme import Theme

STRIPE_PX = 9.0
OUTLINE_SHARE = 0.75
"""A white lead in the light and a black one in the dark are seen by their outline alone."""


def paint_wire(painter: QPainter, box: QRectF, wire: Wire | None, theme: Theme) -> None:
    """Draw a piece of wire across `box`; a colour that is not known is drawn hollow."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    outline = QPainterPath()
    edge = QRectF(box.toAlignedRect()).adjusted(0.5, 0.5, -0.5, -0.5)  # on whole pixels: crisp
    outline.addRoundedRect(edge, edge.height() / 2, edge.height() / 2)
    base = wire.base if wire is not None else None
    if wire is not None and base is not None:
        painter.fillPath(outline, QColor(base))
        _paint_stripe(painter, box, outline, wire.stripe)
    pen = QPen(theme.tint("panel", "text", OUTLINE_SHARE), 1.0)
    if base is None:
        pen.setDashPattern([3.0, 2.5])
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(outline)
    painter.restore()


def _paint_stripe(
    painter: QPainter, box: QRectF, outline: QPainterPath, stripe: str | None
) -> None:
    """Wind the stripe round the wire, as slanting bands."""
    if stripe is None:
        return
    painter.setClipPath(outline)
    pen = QPen(QColor(stripe), box.height() * 0.45)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    painter.setPen(pen)
    slant = box.height()
    x = box.left() - slant
    while x < box.right() + slant:
        painter.drawLine(QPointF(x, box.bottom() + 1), QPointF(x + slant, box.top() - 1))
        x += STRIPE_PX + box.height() * 0.6
    painter.setClipping(False)
