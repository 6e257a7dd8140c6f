"""The stages of the job that have a ledger, and what is still open in each; no Qt in here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

StageId = Literal["sheets", "names", "pins", "leads", "gaps", "work", "bench", "proof", "doubts"]


@dataclass(frozen=True, slots=True)
class Stage:
    """One entry of the rail and the ledger behind it."""

    id: StageId
    title: str
    head: str
    empty: str
    key: str

    @property
    def icon(self) -> str:
        """The name of its icon."""
        return self.id


STAGES: tuple[Stage, ...] = (
    Stage(
        "sheets",
        "Sheets",
        "Sheets on the table",
        "No sheet yet: drop pictures or PDF files anywhere in this window.",
        "1",
    ),
    Stage(
        "names",
        "Names",
        "Nets and their names",
        "No conductor yet: bring in a sheet, or draw a line.",
        "2",
    ),
    Stage(
        "pins",
        "Pins",
        "Pins and where they go",
        "No pin yet: drag a box round a part on the table, and number what comes out of it.",
        "3",
    ),
    Stage(
        "leads",
        "Leads",
        "Leads from pin to pin",
        "No lead yet: it takes two pins on one conductor.",
        "4",
    ),
    Stage(
        "gaps",
        "Gaps",
        "What this vehicle lacks",
        "No gap: this vehicle has all that the target fit has.",
        "5",
    ),
    Stage(
        "work",
        "Work",
        "How each gap is closed",
        "No gap stands open: there is nothing to plan.",
        "6",
    ),
    Stage(
        "bench",
        "Bench",
        "What is done, in order",
        "Nothing to do yet: choose in Work how the gaps are closed, or take the best for all (B).",
        "7",
    ),
    Stage(
        "proof",
        "Proof",
        "What is measured before power, and after",
        "Nothing to prove yet: choose in Work how the gaps are closed.",
        "8",
    ),
    Stage(
        "doubts",
        "Doubts",
        "What needs a look",
        "Nothing stands open.",
        "9",
    ),
)
"""Top to bottom on the rail. Stages that have nothing behind them are not shown at all."""


def stage(stage_id: StageId) -> Stage:
    """Return a stage by its id."""
    return next(stage for stage in STAGES if stage.id == stage_id)
