"""A line edit that hands the keys of a run (Enter, Tab, Escape, up, down) to its editor.

Overriding `event` instead of filtering: an open list of completions sends its keys straight to
`QLineEdit::event`, past every event filter.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, QObject, QStringListModel, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QCompleter, QLineEdit, QWidget

TakeKey = Callable[[QObject, QKeyEvent], bool]


RUN_KEYS = frozenset(
    {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab, Qt.Key.Key_Backtab, Qt.Key.Key_Escape}
)
"""Keys that run through the fields, with Ctrl held too: Ctrl+Enter takes the whole body."""


class RunField(QLineEdit):
    """One field of a run. `take_key` is offered each key first and says whether it was one of its own."""

    def __init__(self, take_key: TakeKey, parent: QWidget) -> None:
        super().__init__(parent)
        self._take_key = take_key
        self._words = QStringListModel(self)
        self._completer = QCompleter(self._words, self)
        self._completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self._completer.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
        self.setCompleter(self._completer)

    def offer(self, words: Sequence[str]) -> None:
        """Complete from these words; nothing is completed that was not chosen in the list."""
        self._words.setStringList(sorted(set(words)))

    def hide_list(self) -> bool:
        """Close the list of completions; return whether it was open."""
        popup = self._completer.popup()
        if popup is None or not popup.isVisible():
            return False
        popup.hide()
        return True

    def event(self, event: QEvent) -> bool:
        """Offer each key to the run first, before the window takes one for an action of its own."""
        is_override = event.type() == QEvent.Type.ShortcutOverride
        if is_override and isinstance(event, QKeyEvent) and event.key() in RUN_KEYS:
            event.accept()
            return True
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if event.key() == Qt.Key.Key_Escape and self.hide_list():
                event.accept()
                return True
            if self._take_key(self, event):
                self.hide_list()
                event.accept()
                return True
        return super().event(event)


def take_focus(widget: QWidget) -> None:
    """Give a widget the focus, and its window the activation that a popup may have taken with it.

    Some window systems (Qt's offscreen one among them) do not hand the activation back.
    """
    if not widget.isActiveWindow():
        widget.activateWindow()
    widget.setFocus()
