"""Steps in the making: what each is, and which comes before which and why, before they are put in order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from loomfolio.retrofit.effort import Span
from loomfolio.retrofit.work.chosen import Chosen
from loomfolio.retrofit.work.holds import hold_points
from loomfolio.retrofit.work.records import (
    HoldPoint,
    PlannedJoint,
    PlannedLead,
    PlannedPart,
    PlannedStepKind,
)
from loomfolio.retrofit.work.situation import Situation
from loomfolio.retrofit.work.step_order import Before

BASELINE, MAKE, RING_OUT, POWER_OFF, POWER_ON, LOOP, AFTER = (
    "measure: baseline",
    "bench: leads",
    "measure: ring out",
    "general: 12 V off",
    "general: 12 V on",
    "loop: closed",
    "measure: baseline again",
)
RANKS: dict[PlannedStepKind, int] = {
    "measure": 30,
    "bench": 10,
    "hold": 20,
    "general": 25,
    "open": 40,
    "work": 50,
    "plug in": 70,
    "loop": 80,
    "close": 90,
}
WORK_RANKS = {
    "remove plug": 1,
    "fit part": 2,
    "fit connector": 3,
    "fit bar": 3,
    "fit terminal": 4,
}
ON_BENCH = frozenset({"solder to board"})
NOT_PLUGGED = frozenset({"splice", "ground point", "joint connector", "fuse", "supply", "battery"})


@dataclass
class StepDraft:
    """A step in the making. `zones` are those that have to be open for it."""

    key: str
    title: str
    kind: PlannedStepKind
    rank: int
    zones: tuple[str, ...] = ()
    closes: tuple[str, ...] = ()
    subjects: tuple[str, ...] = ()
    detail: tuple[str, ...] = ()
    hours: Span = field(default_factory=Span)


class StepBook:
    """The steps and rules of a plan as they come together."""

    def __init__(
        self,
        situation: Situation,
        chosen: Sequence[Chosen],
        leads: Sequence[PlannedLead],
        joints: Sequence[PlannedJoint],
        parts: Sequence[PlannedPart],
    ) -> None:
        self.situation = situation
        self.chosen = tuple(one for one in chosen if one.offer is not None)
        self.leads: Mapping[str, list[PlannedLead]] = {
            key: [lead for lead in leads if key in lead.gaps] for key in situation.gaps
        }
        self.all_leads, self.joints, self.parts = leads, joints, parts
        self.holds: Mapping[str, HoldPoint] = hold_points(situation.project)
        self.drafts: dict[str, StepDraft] = {}
        self.rules: list[Before] = []

    def add(self, draft: StepDraft) -> str:
        """Take a step in unless it is there, and return its key."""
        self.drafts.setdefault(draft.key, draft)
        return draft.key

    def rule(self, first: str, then: str, reason: str) -> None:
        """Say that one step comes before another, and why."""
        self.rules.append(Before(first, then, reason))

    def keys(self, *kinds: PlannedStepKind) -> list[str]:
        """Return the keys of all steps of some kinds."""
        return [draft.key for draft in self.drafts.values() if draft.kind in kinds]


def work_key(gap: str) -> str:
    """Return the key of the step that closes a gap."""
    return f"work: {gap}"


def open_key(zone: str) -> str:
    """Return the key of the step that opens a zone."""
    return f"open: {zone}"


def close_key(zone: str) -> str:
    """Return the key of the step that closes a zone."""
    return f"close: {zone}"
