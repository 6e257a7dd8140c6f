"""A list of positions, header contacts or bars: one letter says what is there, and goes on to the next."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from loomfolio.desk.survey.asked import AskedThing
from loomfolio.desk.survey.letters import THING_LETTERS, Letter, letter_of
from loomfolio.desk.theme import ROW_PX, Theme

_HEADS = {
    "position": "Positions of fuses, relays and devices",
    "header": "Contacts in the headers of modules",
    "bar": "Bars in joint connectors",
}
_SHORT_HEADS = {"position": "Positions", "header": "Header contacts", "bar": "Bars"}
_SENTENCES = {
    "position": "How complete is each position? Look at the moulding, the terminals, the leads, the part.",
    "header": "Look into the module itself, where the plug sits: is the contact there? What stands behind it?",
    "bar": "Is the bar in the joint connector? One missing bar is one gap, not many.",
}
NOT_SEEN = "not looked at"


class ThingsTable(QTableWidget):
    """The list; a letter enters a state, Delete takes what was just entered back."""

    changed = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(0, 2, parent)
        self._things: Sequence[AskedThing] = ()
        self._letters: tuple[Letter, ...] = ()
        self.typed: dict[tuple[object, ...], str] = {}
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(theme.px(ROW_PX))
        self.setHorizontalHeaderLabels(["What", "What is there"])
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        self.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
        self.setSelectionMode(QTableWidget.SelectionMode.SingleSelection)
        self.setShowGrid(False)

    def show_things(self, things: Sequence[AskedThing], letters: tuple[Letter, ...]) -> None:
        """Show another list; the first that nobody looked at is chosen."""
        self._things, self._letters, self.typed = things, letters, {}
        self.setRowCount(len(things))
        for row in range(len(things)):
            self._show(row)
        open_rows = [row for row, thing in enumerate(things) if thing.state is None]
        if things:
            self.setCurrentCell(next(iter(open_rows), 0), 0)

    def _show(self, row: int) -> None:
        thing = self._things[row]
        entered = self.typed.get(thing.key)
        words = f"{entered}   (new)" if entered else thing.state or NOT_SEEN
        self.setItem(row, 0, QTableWidgetItem(thing.text))
        self.setItem(row, 1, QTableWidgetItem(words))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter what a letter says and go on."""
        row = self.currentRow()
        letter = letter_of(self._letters, event.text()) if event.text() else None
        if not 0 <= row < len(self._things):
            super().keyPressEvent(event)
        elif letter is not None:
            self.typed[self._things[row].key] = letter.state
            self._show(row)
            self.setCurrentCell(min(row + 1, len(self._things) - 1), 0)
            self.changed.emit()
        elif event.key() in {Qt.Key.Key_Delete, Qt.Key.Key_Backspace}:
            self.typed.pop(self._things[row].key, None)
            self._show(row)
            self.changed.emit()
        else:
            super().keyPressEvent(event)


class ThingsPage(QWidget):
    """Head, letters, list, and the button that stores them as one step."""

    store_asked = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.things: Sequence[AskedThing] = ()
        self._head, self._sentence = QLabel(self), QLabel(self)
        self._head.setObjectName("head")
        self._sentence.setObjectName("second")
        self._sentence.setWordWrap(True)
        self._keys = QLabel(self)
        self._keys.setWordWrap(True)
        self.table = ThingsTable(theme, self)
        self.store = QPushButton("Store", self)
        self.store.setAutoDefault(False)
        self.store.clicked.connect(self.store_asked)
        self.table.changed.connect(self._count)
        self._counted = QLabel(self)
        self._counted.setObjectName("second")
        foot = QHBoxLayout()
        foot.addWidget(self._counted, 1)
        foot.addWidget(self.store)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        for widget in (self._head, self._sentence, self._keys):
            column.addWidget(widget)
        column.addWidget(self.table, 1)
        column.addLayout(foot)

    def show_things(self, things: Sequence[AskedThing]) -> None:
        """Show a list of one kind."""
        self.things = things
        kind = things[0].kind
        letters = THING_LETTERS[kind]
        self._head.setText(_HEADS[kind])
        self._sentence.setText(_SENTENCES[kind])
        self._keys.setText(letters_html(letters))
        self.table.show_things(things, letters)
        self._count()

    def _count(self) -> None:
        new, left = len(self.table.typed), self._left()
        self._counted.setText(f"{new} new, {left} still to be looked at")
        self.store.setEnabled(bool(new))

    def _left(self) -> int:
        entered = self.table.typed
        return sum(1 for thing in self.things if thing.state is None and thing.key not in entered)


def letters_html(letters: Sequence[Letter]) -> str:
    """Return the letters and what they say, as one line."""
    return "&nbsp;&nbsp; ".join(
        f"<b>{one.key}</b>&nbsp;{one.state.replace(' ', '&nbsp;')}" for one in letters
    )


def short_head_of(kind: str) -> str:
    """Return what a list of one kind is called in few words."""
    return _SHORT_HEADS[kind]
