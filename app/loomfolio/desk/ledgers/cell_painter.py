"""How a cell of a ledger is drawn: its mark, its piece of wire, its words, a rule under it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter
from PySide6.QtWidgets import (
    QComboBox,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.icons import paint_icon
from loomfolio.desk.ledgers.columns import Column, Mark, Wire
from loomfolio.desk.ledgers.records_model import COLUMN_ROLE, RECORD_ROLE
from loomfolio.desk.theme import ROW_PX, Theme
from loomfolio.desk.wire_picture import paint_wire

Index = QModelIndex | QPersistentModelIndex
PAD_PX = 8
WIRE_PX = 34
WRAPPED_ROW_PX = 52


class CellPainter(QStyledItemDelegate):
    """Draws cells, and makes the editor where one can type or choose."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        self._theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the height of a row, and the width that the cell's words want."""
        del option
        column: Column[object] = index.data(COLUMN_ROLE).value
        font = self._theme.font(is_mono=column.is_mono)
        words = QFontMetrics(font).horizontalAdvance(str(index.data() or ""))
        extra = self._theme.px(24 if column.mark else 0) + self._theme.px(40 if column.wire else 0)
        return QSize(words + extra + 2 * PAD_PX, row_height(self._theme, [column]))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw one cell."""
        theme = self._theme
        column: Column[object] = index.data(COLUMN_ROLE).value
        record: object = index.data(RECORD_ROLE).value
        box = QRectF(option.rect)
        painter.save()
        self._paint_ground(painter, option, box)
        inner = box.adjusted(PAD_PX, 0, -PAD_PX, 0)
        mark = column.mark(record) if column.mark else None
        if mark is not None:
            inner.setLeft(self._paint_mark(painter, inner, mark))
        if column.wire is not None:
            inner.setLeft(self._paint_wire(painter, inner, column.wire(record)))
        is_faint = column.is_faint is not None and column.is_faint(record)
        ink = theme.colour("second text" if is_faint else "text")
        self._paint_words(painter, inner, index, column, ink)
        painter.restore()

    def _paint_ground(self, painter: QPainter, option: QStyleOptionViewItem, box: QRectF) -> None:
        theme = self._theme
        state = option.state
        if state & QStyle.StateFlag.State_Selected:
            painter.fillRect(box, theme.tint("panel", "followed", 0.18))
        elif state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(box, theme.tint("panel", "text", 0.05))
        rule = QRectF(box.left(), box.bottom() - 1, box.width(), 1)
        painter.fillRect(rule, theme.tint("panel", "hairline", 0.22))
        if state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(theme.colour("followed"))
            painter.drawRect(box.adjusted(0.5, 0.5, -1.5, -1.5))

    def _paint_mark(self, painter: QPainter, inner: QRectF, mark: Mark) -> float:
        size = float(self._theme.px(16))
        box = QRectF(inner.left(), inner.center().y() - size / 2, size, size)
        paint_icon(painter, mark.icon, box, self._theme.colour(mark.role))
        return box.right() + self._theme.px(8)

    def _paint_wire(self, painter: QPainter, inner: QRectF, wire: Wire | None) -> float:
        wide, high = float(self._theme.px(WIRE_PX)), float(self._theme.px(10))
        box = QRectF(inner.left(), inner.center().y() - high / 2, wide, high)
        if wire is not None:
            paint_wire(painter, box, wire, self._theme)
        return box.right() + self._theme.px(8)

    def _paint_words(
        self, painter: QPainter, inner: QRectF, index: Index, column: Column[object], ink: QColor
    ) -> None:
        font = self._theme.font(is_mono=column.is_mono)
        painter.setFont(font)
        painter.setPen(ink)
        if column.is_wrapped:
            lines = two_lines(str(index.data() or ""), QFontMetrics(font), int(inner.width()))
            painter.drawText(inner, Qt.AlignmentFlag.AlignVCenter, lines)
            return
        text = QFontMetrics(font).elidedText(
            str(index.data() or ""), Qt.TextElideMode.ElideRight, int(inner.width())
        )
        side = Qt.AlignmentFlag.AlignRight if column.is_number else Qt.AlignmentFlag.AlignLeft
        painter.drawText(inner, side | Qt.AlignmentFlag.AlignVCenter, text)

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """Make a line to type in, or a list where the column has choices."""
        column: Column[object] = index.data(COLUMN_ROLE).value
        if not column.choices:
            return super().createEditor(parent, option, index)
        box = ChoiceBox(parent)
        box.addItems(list(column.choices))
        box.activated.connect(lambda _: self._chosen(box))
        return box

    def _chosen(self, box: QComboBox) -> None:
        self.commitData.emit(box)
        self.closeEditor.emit(box)

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Put what stands in the cell into its editor."""
        if isinstance(editor, QComboBox):
            editor.setCurrentText(str(index.data() or ""))
            return
        super().setEditorData(editor, index)


def row_height(theme: Theme, columns: Iterable[Column[Any]]) -> int:
    """Return how high the rows of a ledger are: higher where a column holds sentences."""
    is_wrapped = any(column.is_wrapped for column in columns)
    return theme.px(WRAPPED_ROW_PX if is_wrapped else ROW_PX)


def two_lines(text: str, metrics: QFontMetrics, width: int) -> str:
    """Return a sentence broken into at most two lines; what does not fit ends in an ellipsis."""
    if metrics.horizontalAdvance(text) <= width:
        return text
    words = text.split(" ")
    first = words[0]
    count = 1
    while count < len(words) and metrics.horizontalAdvance(f"{first} {words[count]}") <= width:
        first = f"{first} {words[count]}"
        count += 1
    rest = " ".join(words[count:])
    return f"{first}\n{metrics.elidedText(rest, Qt.TextElideMode.ElideRight, width)}"
