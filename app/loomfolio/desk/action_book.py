"""The table of actions as Qt actions: menus, keys, tooltips, and which are enabled."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QComboBox,
    QLineEdit,
    QMenu,
    QMenuBar,
    QPlainTextEdit,
    QTextEdit,
    QWidget,
)

from loomfolio.desk.actions import ACTIONS, MENUS, Action, Desk
from loomfolio.desk.finder_entries import Entry
from loomfolio.desk.icons import theme_icon
from loomfolio.desk.theme import Theme

_TYPED_IN = (QLineEdit, QPlainTextEdit, QTextEdit, QComboBox, QAbstractSpinBox)


class ActionBook:
    """One `QAction` per action, held by the window so that its keys work everywhere in it."""

    def __init__(self, desk: Desk, window: QWidget, attempt: Callable[..., object]) -> None:
        self._desk, self._window, self._attempt = desk, window, attempt
        self.by_id: dict[str, QAction] = {a.id: self._made(a) for a in ACTIONS}
        self.refresh()

    def _made(self, action: Action) -> QAction:
        made = QAction(action.title, self._window)
        made.setObjectName(action.id)
        made.setShortcuts([QKeySequence(key) for key in action.keys])
        made.setShortcutContext(Qt.ShortcutContext.WindowShortcut)
        made.setToolTip(tip_of(action))
        made.triggered.connect(lambda: self._attempt(lambda: action.function(self._desk)))
        self._window.addAction(made)
        return made

    def fill_menus(self, bar: QMenuBar, recent: Callable[[], Sequence[Path]]) -> None:
        """Put every action into its menu; the recent projects stand in the file menu."""
        for name in MENUS:
            menu = bar.addMenu(name)
            menu.setToolTipsVisible(True)
            menu.aboutToShow.connect(self.refresh)
            for action in (a for a in ACTIONS if a.menu == name):
                if action.begins_group:
                    menu.addSeparator()
                menu.addAction(self.by_id[action.id])
                if action.id == "open":
                    self._add_recent(menu, recent)

    def _add_recent(self, menu: QMenu, recent: Callable[[], Sequence[Path]]) -> None:
        inner = menu.addMenu("Open recent")

        def fill() -> None:
            inner.clear()
            for path in recent():
                opens = inner.addAction(f"{path.name}   {path.parent}")
                opens.triggered.connect(
                    lambda _=False, chosen=path: self._desk.files.open_project(chosen)
                )
            inner.setEnabled(bool(inner.actions()))

        menu.aboutToShow.connect(fill)
        inner.aboutToShow.connect(fill)

    def set_theme(self, theme: Theme) -> None:
        """Draw the icons in the colours of a theme."""
        for action in ACTIONS:
            if action.icon:
                self.by_id[action.id].setIcon(theme_icon(action.icon, theme))

    def refresh(self) -> None:
        """Enable what can be done now; undo and redo say what they would do."""
        for action in ACTIONS:
            self.by_id[action.id].setEnabled(action.is_enabled(self._desk))
        session = self._desk.workbench.session
        for action_id, title in (("undo", session.undo_title), ("redo", session.redo_title)):
            word = action_id.capitalize()
            self.by_id[action_id].setText(f"{word} {title}".strip())
            self.by_id[action_id].setToolTip(f"{word} {title}".strip())

    def heed_focus(self, focused: QWidget | None) -> None:
        """Leave bare keys to a field that is typed in, and the space bar to a button."""
        is_typed_in = isinstance(focused, _TYPED_IN)
        is_button = isinstance(focused, QAbstractButton)
        for action in (a for a in ACTIONS if any(is_bare(key) for key in a.keys)):
            keys = [
                key
                for key in action.keys
                if not (is_typed_in and is_bare(key)) and not (is_button and key == "Space")
            ]
            self.by_id[action.id].setShortcuts([QKeySequence(key) for key in keys])

    def entries(self) -> tuple[Entry, ...]:
        """Return the actions that can be done now, for the search field."""
        return tuple(
            Entry("action", a.title.removesuffix("…"), _hint(a), a.id, a.icon)
            for a in ACTIONS
            if a.is_enabled(self._desk) and a.id != "find"
        )


def is_bare(key: str) -> bool:
    """Is this a key without Ctrl, Alt or Meta, other than a function key?"""
    return not any(held in key for held in ("Ctrl+", "Alt+", "Meta+")) and key != "F1"


def tip_of(action: Action) -> str:
    """Return what a tooltip says: what it does, and its keys."""
    words = action.tip or action.title.removesuffix("…")
    return f"{words} ({' or '.join(action.keys)})" if action.keys else words


def _hint(action: Action) -> str:
    return f"{action.menu}   {action.keys[0]}" if action.keys else action.menu
