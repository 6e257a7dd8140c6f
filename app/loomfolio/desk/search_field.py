"""A field that one searches or filters with: a glass before the words, a cross after them."""

from __future__ import annotations

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QLineEdit, QWidget

from loomfolio.desk.icons import theme_icon
from loomfolio.desk.theme import Theme


class SearchField(QLineEdit):
    """A line to type in that can be emptied with one click."""

    def __init__(self, prompt: str, name: str, theme: Theme, parent: QWidget | None) -> None:
        super().__init__(parent)
        self.setPlaceholderText(prompt)
        self.setAccessibleName(name)
        self._glass = QAction(self)
        self._cross = QAction("Empty this field", self)
        self._cross.triggered.connect(self.clear)
        self.addAction(self._glass, QLineEdit.ActionPosition.LeadingPosition)
        self.addAction(self._cross, QLineEdit.ActionPosition.TrailingPosition)
        self._cross.setVisible(False)
        self.textChanged.connect(lambda text: self._cross.setVisible(bool(text)))
        self.set_theme(theme)

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        self._glass.setIcon(theme_icon("search", theme))
        self._cross.setIcon(theme_icon("cancel", theme))
