"""A Qt table model over a sequence of records, with exact row signals and never a reset.

`show_records` takes the next sequence; what differs is told row by row (`differences.py`), so that
selection, scroll position and an open editor stay where they are while the person works. Indexes
carry no pointer: a Python int handed to `createIndex` would be taken for one.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from typing import Any, Generic, TypeVar

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from loomfolio.desk.ledgers.columns import Column
from loomfolio.desk.ledgers.differences import row_changes

R = TypeVar("R")
Index = QModelIndex | QPersistentModelIndex

RECORD_ROLE = Qt.ItemDataRole.UserRole
SORT_ROLE = Qt.ItemDataRole.UserRole + 1
COLUMN_ROLE = Qt.ItemDataRole.UserRole + 2

_ROOT = QModelIndex()


class Held:
    """Wraps a value on its way through Qt, which would turn a plain tuple or int into its own."""

    __slots__ = ("value",)

    def __init__(self, value: Any) -> None:
        self.value = value


class RecordsModel(QAbstractTableModel, Generic[R]):
    """The lines of one ledger."""

    def __init__(self, columns: Sequence[Column[R]], key: Callable[[R], Hashable]) -> None:
        super().__init__()
        self._columns = tuple(columns)
        self._key = key
        self._records: list[R] = []
        self._keys: list[Hashable] = []
        self._row: dict[Hashable, int] = {}
        self.is_read_only = False

    @property
    def columns(self) -> tuple[Column[R], ...]:
        """The columns, left to right."""
        return self._columns

    @property
    def records(self) -> tuple[R, ...]:
        """The records, in the order in which they were given."""
        return tuple(self._records)

    def record(self, row: int) -> R:
        """Return the record of a row."""
        return self._records[row]

    def row_of(self, key: Hashable) -> int | None:
        """Return the row of the (first) record with this key; None where there is none."""
        return self._row.get((key, 0))

    def show_records(self, records: Sequence[R]) -> None:
        """Take the next sequence; tells exactly which rows went, came and changed."""
        new = list(records)
        keys = _told_apart([self._key(record) for record in new])
        changes = row_changes(self._keys, keys)
        for gone in changes.removed:
            self.beginRemoveRows(QModelIndex(), gone.first, gone.last)
            del self._records[gone.first : gone.last + 1]
            del self._keys[gone.first : gone.last + 1]
            self.endRemoveRows()
        for come in changes.added:
            self.beginInsertRows(QModelIndex(), come.first, come.last)
            self._records[come.first : come.first] = new[come.first : come.last + 1]
            self._keys[come.first : come.first] = keys[come.first : come.last + 1]
            self.endInsertRows()
        self._row = {key: row for row, key in enumerate(keys)}
        self._tell_changed(new)

    def _tell_changed(self, new: list[R]) -> None:
        last_column = len(self._columns) - 1
        for row, record in enumerate(new):
            if self._records[row] != record:
                self._records[row] = record
                self.dataChanged.emit(self.index(row, 0), self.index(row, last_column))

    def rowCount(self, parent: Index = _ROOT) -> int:
        """Return the count of lines."""
        return 0 if parent.isValid() else len(self._records)

    def columnCount(self, parent: Index = _ROOT) -> int:
        """Return the count of columns."""
        return 0 if parent.isValid() else len(self._columns)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a column's title and how it is set."""
        if orientation != Qt.Orientation.Horizontal or not 0 <= section < len(self._columns):
            return None
        column = self._columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.title
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _alignment(column)
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return a cell's text, tip and setting, and the record behind it."""
        if not index.isValid():
            return None
        column, record = self._columns[index.column()], self._records[index.row()]
        return _cell(column, record, role)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return what can be done with a cell: edited where its column knows how."""
        flags = super().flags(index)
        if index.isValid() and not self.is_read_only and self._columns[index.column()].edit:
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Hand the typed text on; the line changes when the document has, not before."""
        edit = self._columns[index.column()].edit if index.isValid() else None
        if edit is None or role != Qt.ItemDataRole.EditRole or self.is_read_only:
            return False
        record, text = self._records[index.row()], str(value).strip()
        if text == self._columns[index.column()].text(record):
            return False
        edit(record, text)
        return True


def _cell(column: Column[R], record: R, role: int) -> Any:
    """Return what a cell answers for one of Qt's roles or ours; None for any other."""
    if role in {Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole}:
        return column.text(record)
    if role == Qt.ItemDataRole.ToolTipRole:
        return column.tip(record) if column.tip else (column.text(record) or None)
    if role == Qt.ItemDataRole.TextAlignmentRole:
        return _alignment(column)
    held = {RECORD_ROLE: record, COLUMN_ROLE: column}
    if role == SORT_ROLE:
        return Held(column.order(record))
    return Held(held[role]) if role in held else None


def _told_apart(keys: Sequence[Hashable]) -> list[Hashable]:
    """Return each key with the count of equal ones before it: two leads may have the same ends."""
    seen: dict[Hashable, int] = {}
    apart: list[Hashable] = []
    for key in keys:
        count = seen.get(key, 0)
        seen[key] = count + 1
        apart.append((key, count))
    return apart


def _alignment(column: Column[Any]) -> int:
    across = Qt.AlignmentFlag.AlignRight if column.is_number else Qt.AlignmentFlag.AlignLeft
    return int(across | Qt.AlignmentFlag.AlignVCenter)
