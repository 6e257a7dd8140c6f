"""Sort and filter of a ledger: by column, by words, and by the job's scope."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSortFilterProxyModel, Qt

from loomfolio.desk.ledgers.records_model import RECORD_ROLE, SORT_ROLE, RecordsModel

Index = QModelIndex | QPersistentModelIndex


class FilterModel(QSortFilterProxyModel):
    """Shows the lines in which every typed word occurs, in scope only if asked."""

    def __init__(self, model: RecordsModel[Any], is_in_scope: Callable[[Any], bool]) -> None:
        super().__init__()
        self._is_in_scope = is_in_scope
        self._words: tuple[str, ...] = ()
        self._is_scope_only = False
        self._model = model
        self.setSourceModel(model)
        self.setDynamicSortFilter(True)

    @property
    def model(self) -> RecordsModel[Any]:
        """The model behind."""
        return self._model

    def set_words(self, text: str) -> None:
        """Show only lines that hold every word of `text`, in any column and any case."""
        self.beginFilterChange()
        self._words = tuple(text.casefold().split())
        self.endFilterChange()

    def set_scope_only(self, *, is_scope_only: bool) -> None:
        """Show only lines of the job's scope, or all."""
        self.beginFilterChange()
        self._is_scope_only = is_scope_only
        self.endFilterChange()

    def record(self, index: Index) -> Any:
        """Return the record of a shown line."""
        held = index.data(RECORD_ROLE)
        return held.value

    def filterAcceptsRow(self, source_row: int, source_parent: Index) -> bool:
        """Whether a line is in scope, if asked, and holds every word."""
        del source_parent
        record = self._model.record(source_row)
        if self._is_scope_only and not self._is_in_scope(record):
            return False
        if not self._words:
            return True
        line = " ".join(column.text(record) for column in self._model.columns).casefold()
        return all(word in line for word in self._words)

    def lessThan(self, left: Index, right: Index) -> bool:
        """Compare two cells by their column's own order."""
        return bool(left.data(SORT_ROLE).value < right.data(SORT_ROLE).value)

    def as_tsv(self, rows: list[int]) -> str:
        """Return shown rows as a table that a spreadsheet takes: tabs, a header, one line each."""
        header = [str(self.headerData(c, Qt.Orientation.Horizontal)) for c in self._columns()]
        lines = [[_plain(self.index(row, c).data()) for c in self._columns()] for row in rows]
        return "\n".join("\t".join(cells) for cells in [header, *lines]) + "\n"

    def _columns(self) -> range:
        return range(self.columnCount())


def _plain(value: object) -> str:
    """Return a cell's text without what would break the table apart."""
    return " ".join(str(value or "").split())
