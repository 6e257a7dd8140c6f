"""The steps of a plan: what comes before and after what, and why.

How the data flows::

    chosen offers ─> work at each gap, in its zones
    zones         ─> opened once before all work in them, closed once after it
    leads         ─> made on the bench first; rung out before anything is plugged together
    modules       ─> on the bench before they go back in
    loops         ─> measured closed before anything over them is closed
    high voltage  ─> the hold points around all work on the vehicle
    the person    ─> general work, and an order of their own
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from loomfolio.retrofit.work.gap_steps import add_bench_work, add_plugging, add_work
from loomfolio.retrofit.work.records import PlanFinding, PlannedStep
from loomfolio.retrofit.work.safety_steps import (
    add_loop,
    add_measures,
    add_own_steps,
    add_power,
    add_zones,
)
from loomfolio.retrofit.work.step_book import StepBook
from loomfolio.retrofit.work.step_order import Before, Ordered, Place, in_order


@dataclass(frozen=True, slots=True)
class StepsMade:
    """The steps in their order, and what the person's own order breaks."""

    steps: tuple[PlannedStep, ...]
    findings: tuple[PlanFinding, ...]


def made_steps(book: StepBook) -> StepsMade:
    """Return the steps of a plan in order; only the person's own where nothing is chosen."""
    if book.chosen:
        add_work(book)
        add_bench_work(book)
        add_measures(book)
        add_plugging(book)
        add_power(book)
        add_loop(book)
        add_zones(book)
    add_own_steps(book)
    return _Ordering(book).made()


class _Ordering:
    """Puts the steps of a book in order, with the person's own wishes."""

    def __init__(self, book: StepBook) -> None:
        self._book = book

    def _wishes(self) -> Iterator[Before]:
        for step in self._book.situation.project.work_steps:
            yield from (Before(key, step.id, f"{step.title} comes after it") for key in step.after)
            yield from (
                Before(step.id, key, f"{step.title} comes before it") for key in step.before
            )
        for order in self._book.situation.project.step_orders:
            yield Before(order.first, order.then, order.reason or "as ordered by hand")

    def made(self) -> StepsMade:
        places = [
            Place(draft.key, draft.rank, draft.zones[0] if draft.zones else None)
            for draft in sorted(self._book.drafts.values(), key=lambda draft: draft.key)
        ]
        wishes = list(self._wishes())
        done = in_order(places, self._book.rules, wishes)
        steps = tuple(self._step(key, done) for key in done.keys)
        findings = (*self._broken(done), *self._lost(wishes))
        return StepsMade(with_blocks(steps), findings)

    def _step(self, key: str, done: Ordered) -> PlannedStep:
        draft = self._book.drafts[key]
        return PlannedStep(
            key=key,
            title=draft.title,
            kind=draft.kind,
            zone=draft.zones[0] if draft.zones else None,
            after=tuple(sorted(rule.first for rule in done.rules if rule.then == key)),
            closes=draft.closes,
            subjects=draft.subjects,
            hold=self._book.holds.get(key),
            detail=draft.detail,
            hours=draft.hours,
        )

    def _broken(self, done: Ordered) -> Iterator[PlanFinding]:
        for rule in done.broken:
            first, then = self._book.drafts[rule.first], self._book.drafts[rule.then]
            yield PlanFinding(
                key=f"order broken: {rule.first} > {rule.then}",
                severity="stop" if "hold" in {first.kind, then.kind} else "look",
                title="An order made by hand breaks the plan's",
                sentence=f"{then.title} now comes without {first.title} before it: {rule.reason}",
                subject=rule.then,
            )

    def _lost(self, wishes: Iterable[Before]) -> Iterator[PlanFinding]:
        for wish in wishes:
            gone = [key for key in (wish.first, wish.then) if key not in self._book.drafts]
            if gone:
                yield PlanFinding(
                    key=f"order of nothing: {wish.first} > {wish.then}",
                    severity="look",
                    title="An order made by hand speaks of a step that is not there",
                    sentence="A step that was put in order by hand is no longer in the plan:"
                    f" {', '.join(gone)}",
                    subject=gone[0],
                )


def with_blocks(steps: Sequence[PlannedStep]) -> tuple[PlannedStep, ...]:
    """Return steps in order with the first hold point before each that nobody has signed."""
    blocks: dict[str, str] = {}
    found: list[PlannedStep] = []
    for step in steps:
        before = next((blocks[key] for key in step.after if blocks.get(key)), "")
        is_open = step.hold is not None and not step.hold.signed_by
        blocks[step.key] = before or (step.hold.title if step.hold is not None and is_open else "")
        found.append(replace(step, blocked_by=before))
    return tuple(found)
