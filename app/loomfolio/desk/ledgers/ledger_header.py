"""The head of a ledger: column titles, and an arrow at the one that it is sorted by."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QHeaderView, QWidget

from loomfolio.desk.icons import paint_icon
from loomfolio.desk.theme import Theme

ARROW_PX = 12


class LedgerHeader(QHeaderView):
    """Column titles that sort on a click; a third click on one takes the sorting off."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._theme = theme
        self.setSortIndicatorClearable(True)

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        self._theme = theme
        self.viewport().update()

    def paintSection(self, painter: QPainter, rect: QRect, logicalIndex: int) -> None:  # noqa: N803
        """Draw a title, and the arrow where the ledger is sorted by it."""
        painter.save()
        super().paintSection(painter, rect, logicalIndex)
        painter.restore()
        if logicalIndex != self.sortIndicatorSection() or not self.isSortIndicatorShown():
            return
        is_up = self.sortIndicatorOrder() == Qt.SortOrder.AscendingOrder
        size = self._theme.px(ARROW_PX)
        box = QRectF(rect.right() - size - 4, rect.center().y() - size / 2 + 1, size, size)
        painter.fillRect(box.adjusted(-2, 0, 2, 0), self._theme.colour("panel"))
        name = "sorted_up" if is_up else "open_list"
        paint_icon(painter, name, box, self._theme.colour("text"))
