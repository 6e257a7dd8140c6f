"""One piece of the path strip, drawn: its symbol on the line, its name, and how it stands."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from loomfolio.desk.colours import Role
from loomfolio.desk.icons import paint_icon
from loomfolio.desk.strip.pieces import PieceState, StripPiece
from loomfolio.desk.theme import Theme
from loomfolio.desk.wire_picture import paint_wire

LINE_Y_PX = 24
HEIGHT_PX = 84
JOINT_PX = 28
_NARROWEST_PX, _WIDEST_PX = 76, 240
_ROLES: dict[PieceState, Role] = {
    "confirmed": "confirmed",
    "open": "doubt",
    "dead end": "stop",
    "plain": "second text",
}


class PieceButton(QAbstractButton):
    """A button to the place of one piece; the line before it says how one gets there."""

    def __init__(self, piece: StripPiece, theme: Theme, parent: QWidget, *, is_last: bool) -> None:
        super().__init__(parent)
        self.piece = piece
        self._theme = theme
        self._is_last = is_last
        self.setCheckable(True)
        self.setAutoExclusive(True)
        self.setToolTip(piece.tip)
        self.setAccessibleName(f"{piece.kind} {piece.label}, {piece.state_text}")
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setFixedSize(self.sizeHint())

    @property
    def _has_line_before(self) -> bool:
        return self.piece.step > 0

    @property
    def _joint_px(self) -> int:
        return self._theme.px(JOINT_PX) if self._has_line_before else 0

    def sizeHint(self) -> QSize:
        """Return the size that holds the longer of the two texts."""
        theme, piece = self._theme, self.piece
        label = QFontMetrics(theme.font(is_mono=True)).horizontalAdvance(piece.label)
        state = QFontMetrics(theme.font("small")).horizontalAdvance(piece.state_text)
        text = max(label, state + theme.px(20) if piece.state_icon else state) + theme.px(20)
        width = min(max(text, theme.px(_NARROWEST_PX)), theme.px(_WIDEST_PX))
        return QSize(width + self._joint_px, theme.px(HEIGHT_PX))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the line, the symbol and the words."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        body = QRectF(self.rect()).adjusted(self._joint_px, 2, 0, -2)
        self._paint_ground(painter, body)
        self._paint_joint(painter)
        self._paint_symbol(painter, body)
        self._paint_words(painter, body)
        painter.end()

    def _paint_ground(self, painter: QPainter, body: QRectF) -> None:
        theme = self._theme
        if self.isChecked() or self.underMouse() or self.isDown():
            share = 0.16 if self.isChecked() else 0.07
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(theme.tint("panel", "followed", share))
            painter.drawRoundedRect(body, 4, 4)
        if self.isChecked():
            bar = QRectF(body.left() + 8, body.bottom() - 3, body.width() - 16, 3)
            painter.fillRect(bar, theme.colour("followed"))
        if self.hasFocus():
            painter.setPen(QPen(theme.colour("followed"), 1.5))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(body.adjusted(1, 1, -1, -1), 4, 4)

    def _paint_joint(self, painter: QPainter) -> None:
        """Draw how one gets here: solid where joined, broken where it passes, zigzag for loads."""
        if not self._has_line_before:
            return
        theme = self._theme
        y, right = float(theme.px(LINE_Y_PX)), float(self._joint_px)
        pen = QPen(theme.colour("followed"), theme.px(2))
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        if self.piece.relation == "loads":
            painter.setPen(pen)
            steps = [(0.0, 0.0), (0.15, 0.0), (0.25, -5), (0.42, 5), (0.58, -5), (0.75, 5)]
            steps += [(0.85, 0.0), (1.0, 0.0)]
            turns = [QPointF(x * right, y + theme.px(dy)) for x, dy in steps]
            painter.drawPolyline(QPolygonF(turns))
            return
        if self.piece.relation == "passes":
            pen.setDashPattern([2.5, 2.0])
        painter.setPen(pen)
        painter.drawLine(QPointF(0, y), QPointF(right, y))

    def _paint_symbol(self, painter: QPainter, body: QRectF) -> None:
        theme = self._theme
        y = float(theme.px(LINE_Y_PX))
        if self.piece.kind == "lead":
            half = theme.px(5)
            wire = QRectF(body.left(), y - half, body.width(), 2 * half)
            paint_wire(painter, wire, self.piece.wire, theme)
            return
        size = float(theme.px(28))
        box = QRectF(body.center().x() - size / 2, y - size / 2, size, size)
        painter.setPen(QPen(theme.colour("followed"), theme.px(2)))
        if self._has_line_before:
            painter.drawLine(QPointF(body.left(), y), QPointF(box.left() + 2, y))
        if not self._is_last:
            painter.drawLine(QPointF(box.right() - 2, y), QPointF(body.right(), y))
        paint_icon(painter, self.piece.icon, box, theme.colour("text"))

    def _paint_words(self, painter: QPainter, body: QRectF) -> None:
        theme, piece = self._theme, self.piece
        inner = body.adjusted(theme.px(6), 0, -theme.px(6), 0)
        font = theme.font(is_mono=True)
        painter.setFont(font)
        painter.setPen(theme.colour("text"))
        label = QFontMetrics(font).elidedText(
            piece.label, Qt.TextElideMode.ElideMiddle, int(inner.width())
        )
        line = QRectF(inner.left(), theme.px(40), inner.width(), theme.px(18))
        painter.drawText(line, Qt.AlignmentFlag.AlignCenter, label)
        self._paint_state(painter, QRectF(inner.left(), theme.px(60), inner.width(), theme.px(16)))

    def _paint_state(self, painter: QPainter, line: QRectF) -> None:
        theme, piece = self._theme, self.piece
        font = theme.font("small")
        metrics = QFontMetrics(font)
        gap = theme.px(18) if piece.state_icon else 0
        text = metrics.elidedText(
            piece.state_text, Qt.TextElideMode.ElideRight, int(line.width() - gap)
        )
        left = line.center().x() - (metrics.horizontalAdvance(text) + gap) / 2
        colour = theme.colour(_ROLES[piece.state])
        if piece.state_icon:
            size = float(theme.px(14))
            box = QRectF(left, line.center().y() - size / 2, size, size)
            paint_icon(painter, piece.state_icon, box, colour)
        painter.setFont(font)
        painter.setPen(colour)
        words = QRectF(left + gap, line.top(), line.right() - left - gap + 4, line.height())
        painter.drawText(words, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, text)
