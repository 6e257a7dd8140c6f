"""Types the name of a net in place: Enter commits, Escape leaves no trace."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject, QPointF, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from loomfolio.desk.table.preview import NameDraft
from loomfolio.desk.table.run_field import RunField, take_focus
from loomfolio.desk.theme import Theme

LONGEST_NAME = 200
"""What the document takes."""


class NameEditor(RunField):
    """One line at the place of a name. `named(NameDraft, str)` on Enter, `left()` on Escape."""

    named = Signal(object, str)
    left = Signal()

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(self._take, parent)
        self._table = parent
        self._draft: NameDraft | None = None
        self.setMaxLength(LONGEST_NAME)
        self.setAccessibleName("Name of the net")
        self.setPlaceholderText("name")
        self.set_theme(theme)
        self.hide()

    @property
    def draft(self) -> NameDraft | None:
        """What is being named; None while the editor is away."""
        return self._draft

    def set_theme(self, theme: Theme) -> None:
        """Write in another theme."""
        self.setFont(theme.font("body", is_bold=True))
        self.resize(theme.px(200), max(self.sizeHint().height(), theme.px(28)))

    def open(self, draft: NameDraft, names: Sequence[str]) -> None:
        """Begin to type: after a first letter at its end, else over the whole text."""
        self._draft = draft
        self.offer(names)
        self.setText(draft.text)
        self.show()
        self.raise_()
        take_focus(self)
        if draft.is_typed:
            self.deselect()
            self.end(False)
        else:
            self.selectAll()

    def place_at(self, at: QPointF) -> None:
        """Stand above a px of the table, inside its window."""
        room = self._table.size()
        x = min(max(at.x() - 12, 4), room.width() - self.width() - 4)
        y = at.y() - self.height() - 12
        self.move(round(x), round(y if y >= 4 else at.y() + 12))

    def close_up(self) -> None:
        """Go away without a trace."""
        self._draft = None
        self.hide()

    def _take(self, field: QObject, event: QKeyEvent) -> bool:
        del field
        if event.key() == Qt.Key.Key_Escape:
            self.close_up()
            self.left.emit()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._commit()
        else:
            return False
        return True

    def _commit(self) -> None:
        """Hand the name over; an empty one, or the one that stands there already, changes nothing."""
        draft, text = self._draft, self.text().strip()
        self.close_up()
        is_same = draft is not None and not draft.is_typed and text == draft.text
        if draft is None or not text or is_same:
            self.left.emit()
        else:
            self.named.emit(draft, text)
