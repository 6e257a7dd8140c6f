"""What the person looks at, and how: stage, ledger, theme, text size, the view of the table."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from loomfolio.desk.settings import Settings
from loomfolio.desk.stages import STAGES, StageId
from loomfolio.desk.theme import (
    LARGEST_SCALE,
    SMALLEST_SCALE,
    Theme,
    ThemeChoice,
    make_theme,
)

SCALE_STEP = 0.1
ZOOM_STEP = 1.25


class TableLook(Protocol):
    """What is asked of the table's view."""

    def fit_all(self) -> None:
        """Show all sheets."""

    def zoom_by(self, factor: float) -> None:
        """Make the view larger or smaller about its middle."""

    def set_moves_animated(self, is_animated: bool) -> None:  # noqa: FBT001 - the table's own
        """Glide to a place, or jump."""


class Looking:
    """The view menu: nothing here touches the document."""

    def __init__(
        self,
        settings: Settings,
        table: TableLook,
        show_theme: Callable[[Theme], None],
        show_stage: Callable[[StageId | None], None],
    ) -> None:
        self._settings, self._table = settings, table
        self._show_theme, self._show_stage = show_theme, show_stage
        self._is_paper_dark = False
        self._stage: StageId | None = "leads"
        self._last_stage: StageId = "leads"

    @property
    def theme(self) -> Theme:
        """The theme as it is chosen now."""
        settings = self._settings
        return make_theme(settings.theme, scale=settings.scale, is_paper_dark=self._is_paper_dark)

    @property
    def stage(self) -> StageId | None:
        """The stage whose ledger is open; None while it is closed."""
        return self._stage

    def choose_theme(self, choice: ThemeChoice) -> None:
        """Take light, dark, or what the desktop has."""
        self._settings.theme = choice
        self.refresh()

    def switch_theme(self) -> None:
        """Take the other one of light and dark."""
        self.choose_theme("light" if self.theme.is_dark else "dark")

    def invert_paper(self) -> None:
        """Show the paper dark, or light again."""
        self._is_paper_dark = not self._is_paper_dark
        self.refresh()

    def refresh(self) -> None:
        """Show the theme anew: a choice or the desktop has changed."""
        self._show_theme(self.theme)

    def larger_text(self) -> None:
        """Make all text larger, up to twice the size."""
        self._scale(self._settings.scale + SCALE_STEP)

    def smaller_text(self) -> None:
        """Make all text smaller again."""
        self._scale(self._settings.scale - SCALE_STEP)

    def usual_text(self) -> None:
        """Give text its usual size."""
        self._scale(SMALLEST_SCALE)

    def _scale(self, scale: float) -> None:
        self._settings.scale = round(min(max(scale, SMALLEST_SCALE), LARGEST_SCALE), 2)
        self.refresh()

    def switch_moves(self) -> None:
        """Let the table glide to a place, or jump."""
        self._settings.moves = not self._settings.moves
        self._table.set_moves_animated(self._settings.moves)

    def switch_words(self) -> None:
        """Read the printed words of sheets, or leave them unread: it takes a few seconds for each."""
        self._settings.words = not self._settings.words

    @property
    def reads_words(self) -> bool:
        """Are printed words read?"""
        return self._settings.words

    def zoom_in(self) -> None:
        """Show less of the table, larger."""
        self._table.zoom_by(ZOOM_STEP)

    def zoom_out(self) -> None:
        """Show more of the table, smaller."""
        self._table.zoom_by(1 / ZOOM_STEP)

    def fit_all(self) -> None:
        """Show all sheets."""
        self._table.fit_all()

    def choose_stage(self, stage: StageId) -> None:
        """Open the ledger of a stage; the open one again closes it."""
        self._set_stage(None if stage == self._stage else stage)

    def open_stage(self, stage: StageId) -> None:
        """Open the ledger of a stage, or leave it open."""
        self._set_stage(stage)

    def switch_ledger(self) -> None:
        """Close the ledger, or open the one that was open last."""
        self._set_stage(None if self._stage else self._last_stage)

    def next_stage(self) -> None:
        """Open the ledger of the next stage."""
        ids = [stage.id for stage in STAGES]
        at = ids.index(self._stage or self._last_stage)
        self._set_stage(ids[(at + 1) % len(ids)])

    def _set_stage(self, stage: StageId | None) -> None:
        self._stage = stage
        self._last_stage = stage or self._last_stage
        self._show_stage(stage)
