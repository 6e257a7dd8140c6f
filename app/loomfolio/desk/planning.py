"""The plan of the work beside the desk: worked out in a thread after each change, shown when it is there.

Ranking every way to close every gap takes a few tenths of a second, too long for a keystroke. So the plan
is asked for after the state is shown, and an answer that belongs to an older state is dropped. While a
newer one is on its way the old one stays in sight, marked as such. What is planned is a frozen value.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from loomfolio.bench import ProofPlan, job_proof
from loomfolio.desk.derived import Derived
from loomfolio.desk.work import Job, Work
from loomfolio.project import Project
from loomfolio.retrofit import Offer, RuleFinding, WorkPlan, all_offers, check_job, plan_work


@dataclass(frozen=True, eq=False)
class Planned:
    """The plan that belongs to one state of the document: its offers, the work, the rules, the proof."""

    number: int
    project: Project
    offers: Mapping[str, tuple[Offer, ...]]
    plan: WorkPlan
    rules: tuple[RuleFinding, ...]
    proof: ProofPlan

    def offer(self, gap: str) -> Offer | None:
        """Return the offer that is chosen for a gap; None where none is."""
        for operation in self.plan.operations:
            if operation.gap == gap or (
                operation.offer is not None and gap in operation.offer.closes
            ):
                return operation.offer
        return None


def plan_all(state: Derived) -> Planned | None:
    """Work the plan of a state out; None where nothing can be said about gaps."""
    job = state.job_gaps
    if job is None:
        return None
    plan = plan_work(state.project, job)
    return Planned(
        number=state.number,
        project=state.project,
        offers=all_offers(state.project, job),
        plan=plan,
        rules=check_job(state.project, job, plan=plan),
        proof=job_proof(state.project, job, plan),
    )


class Planner:
    """Asks for the plan after each change, and tells it when it is there."""

    def __init__(self, work: Work, take: Callable[[], None]) -> None:
        self._work, self._take = work, take
        self._planned: Planned | None = None
        self._is_stale = False

    @property
    def planned(self) -> Planned | None:
        """The last plan that was worked out; None before the first, and where there are no gaps to plan for."""
        return self._planned

    @property
    def is_stale(self) -> bool:
        """Is a newer plan on its way?"""
        return self._is_stale

    def look(self, state: Derived) -> None:
        """Ask for the plan of a state; a state that cannot have one loses the old one at once."""
        if state.job_gaps is None:
            self._work.cancel("plan")
            self._planned, self._is_stale = None, False
            return
        self._is_stale = True
        self._work.start(Job("plan", "Planning the work", lambda _: plan_all(state), self._keep))

    def _keep(self, planned: Planned | None) -> None:
        self._planned, self._is_stale = planned, False
        self._take()
