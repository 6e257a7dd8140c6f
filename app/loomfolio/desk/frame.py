"""The window without behaviour: head, bars, rail, table, ledger, strip and status in their places."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QShowEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QMenuBar,
    QSizePolicy,
    QSplitter,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from loomfolio.desk.finder import Finder
from loomfolio.desk.finder_entries import Entry
from loomfolio.desk.icons import ICON_SIZE
from loomfolio.desk.ledgers.ledger import Ledger
from loomfolio.desk.ledgers.tables import LedgerEdits
from loomfolio.desk.notices import Notices
from loomfolio.desk.rail import Rail
from loomfolio.desk.status import StatusLine
from loomfolio.desk.strip.strip import PathStrip
from loomfolio.desk.theme import Theme

LEDGER_PX = 468
LEDGER_SHARE = 0.42


class Frame(QWidget):
    """All widgets of the window, laid out."""

    def __init__(
        self,
        table: QWidget,
        edits: LedgerEdits,
        found: Callable[[], Iterable[Entry]],
        theme: Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.table, self._theme = table, theme
        self.menus = QMenuBar(self)
        self.menus.setNativeMenuBar(False)
        self.menus.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Preferred)
        self.title = QLabel(self)
        self.title.setObjectName("second")
        self.title.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.finder = Finder(found, theme, self)
        self.notices = Notices(theme, self)
        self.rail = Rail(theme, self)
        self.ledger = Ledger(edits, theme, self)
        self.strip = PathStrip(theme, self)
        self.status = StatusLine(theme, self)
        self._tools = QHBoxLayout()
        self._build()
        self.set_theme(theme)

    def _build(self) -> None:
        self.header = QFrame(self)
        self.header.setObjectName("header")
        head = QHBoxLayout(self.header)
        head.setContentsMargins(8, 0, 8, 0)
        head.setSpacing(8)
        head.addWidget(self.menus, 0, Qt.AlignmentFlag.AlignVCenter)
        head.addWidget(self.title, 1)
        head.addLayout(self._tools)
        head.addWidget(self.finder)
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.setChildrenCollapsible(False)
        self.split.setHandleWidth(1)
        self.split.addWidget(self.table)
        self.split.addWidget(self.ledger)
        self.split.setStretchFactor(0, 1)
        self.split.setStretchFactor(1, 0)
        self.table.setMinimumWidth(240)
        self.ledger.setMinimumWidth(280)
        middle = QHBoxLayout()
        middle.setSpacing(0)
        middle.addWidget(self.rail)
        middle.addWidget(self.split, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.header)
        column.addWidget(self.notices)
        column.addLayout(middle, 1)
        column.addWidget(self.strip)
        column.addWidget(self.status)
        self.strip.hide()
        self._is_laid_out = False

    def add_tools(self, actions: Iterable[QAction]) -> None:
        """Put a few actions into the head as buttons."""
        for action in actions:
            button = QToolButton(self.header)
            button.setDefaultAction(action)
            button.setIconSize(ICON_SIZE * self._theme.scale)
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonIconOnly)
            button.setAccessibleName(action.text())
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            self._tools.addWidget(button)

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        is_rescaled, self._theme = theme.scale != self._theme.scale, theme
        for button in self.header.findChildren(QToolButton):
            button.setIconSize(ICON_SIZE * theme.scale)
        if is_rescaled and self.ledger.isVisibleTo(self):
            self._share_room(theme)
        self.header.setFixedHeight(theme.px(44))
        for part in (self.finder, self.notices, self.rail, self.ledger, self.strip, self.status):
            part.set_theme(theme)

    def open_ledger(self, *, is_open: bool, theme: Theme) -> None:
        """Open or close the ledger; the table takes the room."""
        was_open = self.ledger.isVisibleTo(self)
        self.ledger.setVisible(is_open)
        if is_open and not was_open:
            self._share_room(theme)

    def _share_room(self, theme: Theme) -> None:
        """Give the ledger its width, but never more than its share of the room."""
        room = self.split.width()
        wide = min(theme.px(LEDGER_PX), int(room * LEDGER_SHARE))
        self.split.setSizes([room - wide, wide])

    def showEvent(self, event: QShowEvent) -> None:
        """Share the room once it is known how much there is."""
        super().showEvent(event)
        if not self._is_laid_out:
            self._is_laid_out = True
            self._share_room(self._theme)
