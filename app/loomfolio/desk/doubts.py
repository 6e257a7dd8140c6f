"""From doubt to doubt with one key: where the walk stands, what can be answered, and the answers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from loomfolio.desk.derived import Derived
from loomfolio.desk.gestures import Step, settle_spot, step_of
from loomfolio.desk.steps import Steps
from loomfolio.desk.table.intents import Answer
from loomfolio.desk.workbench import Workbench
from loomfolio.nets import Finding, Spot
from loomfolio.project import Project, edits

SAME_SPOT_MM = 1.0
"""A finding and the spot it is about lie within this of each other, as an answer and its spot do."""

LOOKED_AT = "Looked at; it stands as it is."


@dataclass(frozen=True, slots=True)
class Asked:
    """The doubt that the person stands at: its sentence, and the keys that answer it."""

    finding: Finding
    spot: Spot | None
    number: int
    count: int
    scope_count: int

    @property
    def counted(self) -> str:
        """Where it stands in the walk: `2 of 5`, and after these those outside the scope."""
        if self.number < self.scope_count:
            return f"{self.number + 1} of {self.scope_count}"
        outside = self.count - self.scope_count
        return f"{self.number - self.scope_count + 1} of {outside} outside the scope"

    @property
    def can_join(self) -> bool:
        """Whether joined and apart are the answers."""
        return self.spot is not None

    @property
    def keys(self) -> tuple[tuple[str, str], ...]:
        """The keys that answer it, and what they say."""
        as_it_is = ("Enter", "as it is")
        joining = (("J", "joined"), ("A", "apart")) if self.can_join else ()
        return (*joining, as_it_is, ("D", "next"), ("Esc", "leave"))


class Doubts:
    """The walk over what stands open: scope first, then as it lies on the table."""

    def __init__(
        self,
        workbench: Workbench,
        steps: Steps,
        show: Callable[[Asked | None], None],
        tell: Callable[[str], None],
        ask_reason: Callable[[str], str | None],
    ) -> None:
        self._workbench, self._steps = workbench, steps
        self._show, self._tell, self._ask_reason = show, tell, ask_reason
        self._asked: Asked | None = None

    @property
    def asked(self) -> Asked | None:
        """The doubt that the walk stands at; None while nobody walks."""
        return self._asked

    def next(self) -> None:
        """Go to the next doubt, after the last to the first."""
        self._go(1)

    def previous(self) -> None:
        """Go to the doubt before."""
        self._go(-1)

    def leave(self) -> None:
        """End the walk."""
        self._stand_at(None)

    def look_at(self, finding: Finding) -> None:
        """Stand at one finding, chosen in the ledger."""
        found = self._workbench.state.open_findings
        self._stand_at(_asked(self._workbench.state, found, finding))

    def joined(self) -> None:
        """Answer: what meets there is joined."""
        self._answer_spot("joined")

    def apart(self) -> None:
        """Answer: what meets there is apart."""
        self._answer_spot("apart")

    def as_it_is(self) -> None:
        """Answer: it is as it was read; a finding without joined or apart is accepted."""
        asked = self._asked
        if asked is None:
            return
        finding, spot = asked.finding, asked.spot
        if spot is not None and finding.place is not None:
            sheet = finding.place.sheet
            self._settle(lambda project: settle_spot(project, sheet, spot))
            return
        reason = LOOKED_AT if finding.severity == "look" else self._ask_reason(finding.sentence)
        if reason:
            self._settle(lambda project: _accept(project, finding, reason))

    def press(self, key: str) -> None:
        """Take an answer that was clicked by the key printed in it."""
        answers = {
            "J": self.joined,
            "A": self.apart,
            "Enter": self.as_it_is,
            "D": self.next,
            "Esc": self.leave,
        }
        answers[key]()

    def refresh(self) -> None:
        """Keep the walk where it is over a changed document; end it where its doubt is gone."""
        if self._asked is not None:
            found = self._workbench.state.open_findings
            key = self._asked.finding.key
            still = next((f for f in found if f.key == key), None)
            self._asked = _asked(self._workbench.state, found, still) if still else None
            self._show(self._asked)

    def _answer_spot(self, word: Literal["joined", "apart"]) -> None:
        asked = self._asked
        if asked is None or asked.spot is None or asked.finding.place is None:
            return
        answer = Answer(asked.finding.place.sheet, asked.spot.at, word)
        self._settle(lambda project: step_of(project, answer))

    def _settle(self, make: Callable[[Project], Step]) -> None:
        """Carry an answer out and go on to the doubt that then stands in its place."""
        place = self._asked.number if self._asked else 0
        if self._steps.do(make):
            found = self._workbench.state.open_findings
            if not found:
                self._stand_at(None)
                self._tell("Nothing stands open any more.")
                return
            self._stand_at(_asked(self._workbench.state, found, found[place % len(found)]))

    def _go(self, by: int) -> None:
        found = self._workbench.state.open_findings
        if not found:
            self._tell("Nothing stands open.")
            return
        start = self._asked.number + by if self._asked else 0
        self._stand_at(_asked(self._workbench.state, found, found[start % len(found)]))

    def _stand_at(self, asked: Asked | None) -> None:
        self._asked = asked
        self._show(asked)


def _asked(state: Derived, found: Sequence[Finding], finding: Finding) -> Asked:
    keys = [other.key for other in found]
    number = keys.index(finding.key) if finding.key in keys else 0
    scope_count = sum(1 for other in found if other.in_scope)
    return Asked(finding, _spot_of(state, finding), number, len(found), scope_count)


def _spot_of(state: Derived, finding: Finding) -> Spot | None:
    """The spot that a finding asks about; None where joined or apart is no answer to it."""
    place = finding.place
    if place is None or finding.kind != "open doubt":
        return None
    spots = state.netlist.spots_on(place.sheet)
    near = min(spots, key=lambda spot: spot.at.distance_mm(place.at), default=None)
    return near if near and near.at.distance_mm(place.at) <= SAME_SPOT_MM else None


def _accept(project: Project, finding: Finding, reason: str) -> Step:
    accepted = edits.accept_finding(project, finding.key, reason)
    return Step(f"Accept: {finding.kind}", accepted.project)
