"""Hours and money of each kind of work: the table of the house, and the person's own rows before it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from loomfolio.basics import NameNotFoundError
from loomfolio.project import OperationKind, Project
from loomfolio.retrofit.effort import Span, effort_hours

WORK_OF: Mapping[OperationKind, str] = {
    "adaptor loom": "adaptor",
    "lead into cavity": "lead",
    "fit terminal": "terminal",
    "move terminal": "move",
    "donor lead": "transfer",
    "fit cable": "cable",
    "fit part": "device",
    "fit connector": "connector",
    "fit bar": "bar",
    "remove plug": "removal",
    "code module": "coding",
    "bridge": "bridge",
    "take out lead": "removal",
    "tap": "tap",
    "butt splice": "joint",
    "break in": "break",
    "cap off": "cap",
    "swap part": "swap",
    "solder to board": "board",
    "take as found": "look",
}
"""The row of effort that each kind of operation comes to by itself."""


class EffortBook:
    """What each kind of work takes in this job."""

    def __init__(self, project: Project) -> None:
        own = {row.work: Span(row.hours_least, row.hours_most) for row in project.effort_rows}
        self._hours: Mapping[str, Span] = {**effort_hours(), **own}
        self._cost = {row.work: row.cost for row in project.effort_rows if row.cost is not None}

    def hours(self, work: str, count: int = 1) -> Span:
        """Return the hours that a kind of work takes so many times.

        Raises
        ------
        NameNotFoundError
            Neither the table nor the person has such a row.
        """
        if work not in self._hours:
            raise NameNotFoundError("kind of work", work, self._hours)
        return self._hours[work].times(Span(float(count), float(count)))

    def total(self, works: Iterable[str]) -> Span:
        """Return the hours of several kinds of work together."""
        return sum((self.hours(work) for work in works), Span())

    def cost(self, counts: Mapping[str, int]) -> float | None:
        """Return the money that work comes to, None where the person has given no figures for any of it."""
        known = [self._cost[work] * count for work, count in counts.items() if work in self._cost]
        return sum(known) if known else None
