"""One ledger as a table: sorts, keeps its place, tells which line the person chose."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from typing import Any

from PySide6.QtCore import QItemSelectionModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from loomfolio.desk.ledgers.cell_painter import CellPainter, row_height
from loomfolio.desk.ledgers.columns import Column
from loomfolio.desk.ledgers.filter_model import FilterModel
from loomfolio.desk.ledgers.ledger_header import LedgerHeader
from loomfolio.desk.ledgers.records_model import RecordsModel
from loomfolio.desk.theme import Theme

_SelectionFlag = QItemSelectionModel.SelectionFlag


class LedgerView(QTableView):
    """A table over the lines of one stage."""

    line_chosen = Signal(object)
    line_opened = Signal(object)

    def __init__(self, columns: Sequence[Column[Any]], theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._columns = columns
        self._model: RecordsModel[Any] = RecordsModel(columns, key=_key)
        self.lines = FilterModel(self._model, _is_in_scope)
        self._painter = CellPainter(theme, self)
        self._head = LedgerHeader(theme, self)
        self._is_led = False
        self.setModel(self.lines)
        self.setItemDelegate(self._painter)
        self._set_up()
        self.set_theme(theme)
        self.selectionModel().currentRowChanged.connect(self._tell_chosen)
        self.doubleClicked.connect(self._tell_opened)

    def _set_up(self) -> None:
        self.setHorizontalHeader(self._head)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setMouseTracking(True)
        self.setSortingEnabled(True)
        self.sortByColumn(-1, Qt.SortOrder.AscendingOrder)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        trigger = QAbstractItemView.EditTrigger
        self.setEditTriggers(
            trigger.EditKeyPressed | trigger.SelectedClicked | trigger.DoubleClicked
        )
        self.verticalHeader().hide()
        header = self._head
        header.setHighlightSections(False)
        header.setSectionsClickable(True)
        header.setSectionsMovable(True)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setStretchLastSection(True)

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        self._painter.set_theme(theme)
        self._head.set_theme(theme)
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.verticalHeader().setDefaultSectionSize(row_height(theme, self._columns))
        self.horizontalHeader().setFixedHeight(theme.px(28))
        for number, column in enumerate(self._columns):
            self.setColumnWidth(number, theme.px(column.width_px))
        self.viewport().update()

    def show_lines(self, lines: Sequence[Any], *, is_read_only: bool) -> None:
        """Show these lines; what did not change stays where it is."""
        self._is_led = True
        self._model.is_read_only = is_read_only
        self._model.show_records(lines)
        self._is_led = False

    def chosen_lines(self) -> list[Any]:
        """Return the selected lines, top to bottom."""
        return [self.lines.record(self.lines.index(row, 0)) for row in self.chosen_rows()]

    def chosen_rows(self) -> list[int]:
        """Return the selected rows, top to bottom."""
        return sorted(index.row() for index in self.selectionModel().selectedRows())

    def all_rows(self) -> list[int]:
        """Return every shown row."""
        return list(range(self.lines.rowCount()))

    def all_lines(self) -> list[Any]:
        """Return every shown line, as they are sorted now."""
        return [self.lines.record(self.lines.index(row, 0)) for row in self.all_rows()]

    def lead_to(self, is_wanted: Callable[[Any], bool]) -> bool:
        """Select the first line that is wanted, without telling; False where none is shown."""
        for row in self.all_rows():
            if is_wanted(self.lines.record(self.lines.index(row, 0))):
                self._select(row)
                return True
        return False

    def lead_to_key(self, key: Hashable) -> bool:
        """Select the line with this key, without telling; False where it is not shown."""
        return self.lead_to(lambda line: bool(_key(line) == key))

    def _select(self, row: int) -> None:
        index = self.lines.index(row, max(self.currentIndex().column(), 0))
        self._is_led = True
        self.selectionModel().setCurrentIndex(
            index, _SelectionFlag.ClearAndSelect | _SelectionFlag.Rows
        )
        self._is_led = False
        self.scrollTo(index)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open the line on Enter where nothing is being typed."""
        is_enter = event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}
        if is_enter and self.state() != QAbstractItemView.State.EditingState:
            self._tell_opened(self.currentIndex())
            return
        super().keyPressEvent(event)

    def _tell_chosen(self, current: QModelIndex, previous: QModelIndex) -> None:
        del previous
        if current.isValid() and not self._is_led:
            self.line_chosen.emit(self.lines.record(current))

    def _tell_opened(self, index: QModelIndex) -> None:
        if index.isValid() and not index.flags() & Qt.ItemFlag.ItemIsEditable:
            self.line_opened.emit(self.lines.record(index))


def _key(line: Any) -> Hashable:
    key: Hashable = line.key
    return key


def _is_in_scope(line: Any) -> bool:
    """Whether a line counts at first sight; sheets always do."""
    return bool(getattr(line, "in_scope", True))
