"""The ledger panel: the head, the filter, and the table of the chosen stage."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from loomfolio.desk.icons import ICON_SIZE, theme_icon
from loomfolio.desk.ledgers.ledger_view import LedgerView
from loomfolio.desk.ledgers.tables import LedgerEdits, columns_of
from loomfolio.desk.search_field import SearchField
from loomfolio.desk.stages import StageId, stage
from loomfolio.desk.theme import Theme


class Ledger(QFrame):
    """Shows the lines of one stage at a time; each stage keeps its sorting and its place."""

    line_chosen = Signal(object)
    line_opened = Signal(object)
    closed = Signal()

    def __init__(self, edits: LedgerEdits, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("ledger")
        self._edits, self._theme = edits, theme
        self._views: dict[StageId, LedgerView] = {}
        self._lines: Mapping[StageId, Sequence[Any]] = {}
        self._stage: StageId = "sheets"
        self._is_read_only = False
        self._reasons: Mapping[StageId, str] = {}
        self._build()
        self.set_theme(theme)

    def _build(self) -> None:
        self._head = QLabel(self)
        self._head.setObjectName("head")
        self._count = QLabel(self)
        self._count.setObjectName("second")
        self._close = QToolButton(self)
        self._close.setToolTip("Close the ledger (Ctrl+L)")
        self._close.setAccessibleName("Close the ledger")
        self._close.clicked.connect(self.closed)
        head = QHBoxLayout()
        head.setContentsMargins(12, 8, 8, 4)
        head.setSpacing(12)
        head.addWidget(self._head)
        head.addWidget(self._count, 1)
        head.addWidget(self._close)
        self.filter = SearchField("Filter this ledger", "Filter this ledger", self._theme, self)
        self.filter.textChanged.connect(self._filter)
        self.scope = QPushButton("In scope", self)
        self.scope.setCheckable(True)
        self.scope.setToolTip("Show only what the job is about")
        self.scope.toggled.connect(self._filter)
        tools = QHBoxLayout()
        tools.setContentsMargins(12, 0, 12, 8)
        tools.setSpacing(8)
        tools.addWidget(self.filter, 1)
        tools.addWidget(self.scope)
        self._empty = QLabel(self)
        self._empty.setObjectName("second")
        self._empty.setWordWrap(True)
        self._empty.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self._empty.setContentsMargins(12, 12, 12, 12)
        self._stack = QStackedWidget(self)
        self._stack.addWidget(self._empty)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        column.addLayout(tools)
        column.addWidget(self._stack, 1)

    @property
    def stage(self) -> StageId:
        """The stage whose lines are shown."""
        return self._stage

    @property
    def view(self) -> LedgerView:
        """The table of the shown stage."""
        return self._view_of(self._stage)

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        self._theme = theme
        self._close.setIcon(theme_icon("cancel", theme))
        self._close.setIconSize(ICON_SIZE)
        self.filter.set_theme(theme)
        for view in self._views.values():
            view.set_theme(theme)

    def show_stage(self, stage_id: StageId) -> None:
        """Show the lines of another stage."""
        self._stage = stage_id
        self.scope.setVisible(stage_id != "sheets")
        self._refresh()

    def show_lines(
        self,
        lines: Mapping[StageId, Sequence[Any]],
        *,
        is_read_only: bool,
        reasons: Mapping[StageId, str] | None = None,
    ) -> None:
        """Take the lines of all stages, and why one is empty that could say more; the shown one is laid out."""
        self._lines = lines
        self._reasons = reasons or self._reasons
        self._is_read_only = is_read_only
        self._refresh()

    def _view_of(self, stage_id: StageId) -> LedgerView:
        view = self._views.get(stage_id)
        if view is None:
            view = LedgerView(columns_of(stage_id, self._edits), self._theme, self)
            view.line_chosen.connect(self.line_chosen)
            view.line_opened.connect(self.line_opened)
            self._stack.addWidget(view)
            self._views[stage_id] = view
        return view

    def _refresh(self) -> None:
        shown = stage(self._stage)
        self._head.setText(shown.head)
        lines = self._lines.get(self._stage, ())
        self.view.show_lines(lines, is_read_only=self._is_read_only)
        self._filter()

    def _filter(self) -> None:
        view, lines = self.view, self._lines.get(self._stage, ())
        view.lines.set_words(self.filter.text())
        is_scoped = self.scope.isChecked() and self._stage != "sheets"
        view.lines.set_scope_only(is_scope_only=is_scoped)
        shown = view.lines.rowCount()
        self._count.setText(f"{shown} of {len(lines)}" if shown != len(lines) else f"{shown}")
        self._empty.setText(self._why_empty(len(lines)))
        self._stack.setCurrentWidget(view if shown else self._empty)

    def _why_empty(self, line_count: int) -> str:
        if not line_count:
            return self._reasons.get(self._stage) or stage(self._stage).empty
        if self.filter.text():
            return "No line holds all these words."
        return "Nothing of this lies in the job's scope; press In scope to see the rest."
