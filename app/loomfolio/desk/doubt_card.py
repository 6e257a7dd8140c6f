"""The doubt that the walk stands at, asked next to its place on the table."""

from __future__ import annotations

from PySide6.QtCore import QObject, QPointF, Signal

from loomfolio.basics import MmPoint
from loomfolio.desk.doubts import Asked
from loomfolio.desk.table.layout import SheetPlace
from loomfolio.desk.table.light_table import LightTable
from loomfolio.desk.table.preview import Choice, Question
from loomfolio.desk.table.question_card import QuestionCard
from loomfolio.desk.theme import Theme
from loomfolio.project import Anchor

_NOWHERE = SheetPlace("", MmPoint(0.0, 0.0))
"""Of a doubt that is about the document and not about a place."""


class DoubtCard(QObject):
    """Shows one doubt beside its place, and stays there while the table moves."""

    chosen = Signal(str)

    def __init__(self, table: LightTable, theme: Theme) -> None:
        super().__init__(table)
        self._table = table
        self._asked: Asked | None = None
        self.card = QuestionCard(theme, table)
        self.card.chosen.connect(self.chosen)
        table.view_moved.connect(lambda _: self._place())

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        self.card.set_theme(theme)
        self._place()

    def ask(self, asked: Asked | None) -> None:
        """Ask about a doubt, or put the card away."""
        self._asked = asked
        self._place()

    def _place(self) -> None:
        asked = self._asked
        if asked is None:
            self.card.ask(None, QPointF())
            return
        place = asked.finding.place
        at = self._px_of(place) if place is not None else None
        named = SheetPlace(place.sheet, place.at) if place is not None else _NOWHERE
        counted = f"{asked.counted}:  {asked.finding.sentence}"
        choices = tuple(Choice(key, word) for key, word in asked.keys)
        self.card.ask(Question(named, counted, choices), at or self._corner())

    def _px_of(self, place: Anchor) -> QPointF | None:
        laid = self._table.scene.layout.get(place.sheet)
        if laid is None:
            return None
        return QPointF(*self._table.view.to_px(laid.to_table(place.at)))

    def _corner(self) -> QPointF:
        """Where a doubt without a place is asked: at the foot of the table, in the middle."""
        return QPointF(self._table.width() * 0.3, self._table.height() - 24.0)
