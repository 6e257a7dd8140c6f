"""The smallest standard area that meets every bound, and why.

Each bound is tried on each size of a series, smallest first: drop over out and return at the
temperature that the load gives the lead; heating for ever; what the fuse asks; what terminal and seal
take; the mechanical minimum. Every bound but those that cap the size is the easier to meet the larger
the area, so the smallest area that meets each one is found alone, and the largest of these is chosen.
What caps the size (wire range of a terminal, bore of a seal) is then held against the choice: where it
is not met, no area serves, and the person has to change the terminal, the fuse or the way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from loomfolio.basics import UsageError
from loomfolio.electrics.conductors import Back, LeadRun
from loomfolio.electrics.drop import drop_bound
from loomfolio.electrics.evidence import (
    Bound,
    Figure,
    given,
    require_not_negative,
    require_positive,
)
from loomfolio.electrics.fuses import protects
from loomfolio.electrics.heating import outside_diameter, steady_current, steady_temperature
from loomfolio.electrics.records import Conductor, Fuse, Insulation, Tables
from loomfolio.electrics.short_circuit import Feed


@dataclass(frozen=True, slots=True, kw_only=True)
class TerminalLimits:
    """What a terminal and its seal take; None where it is not known."""

    name: str
    least_area_mm2: float | None = None
    greatest_area_mm2: float | None = None
    least_outside_mm: float | None = None
    greatest_outside_mm: float | None = None
    current_a: float | None = None

    def __post_init__(self) -> None:
        for name, value, unit in (
            ("least area of the terminal", self.least_area_mm2, "mm²"),
            ("greatest area of the terminal", self.greatest_area_mm2, "mm²"),
            ("least diameter for the seal", self.least_outside_mm, "mm"),
            ("greatest diameter for the seal", self.greatest_outside_mm, "mm"),
            ("current of the terminal", self.current_a, "A"),
        ):
            if value is not None:
                require_positive(name, value, unit)


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadDemand:
    """What a lead has to do, everything but its size.

    `fuse` is what stands before it, None where a module limits the current by itself. The bound of
    heating is then the load alone.
    """

    load_a: float
    feed: Feed
    length_m: float
    back: Back
    insulation: Insulation
    ambient_c: float
    allowed_drop: Figure
    mechanical_minimum: Figure
    fuse: Fuse | None = None
    loaded_in_bundle: int = 1
    terminals: tuple[TerminalLimits, ...] = ()

    def __post_init__(self) -> None:
        require_not_negative("load", self.load_a, "A")
        require_positive("allowed drop", self.allowed_drop.value, "V")
        require_positive("mechanical minimum", self.mechanical_minimum.value, "mm²")
        if self.fuse is not None and self.load_a > self.fuse.rating_a:
            raise UsageError(
                f"A load of {self.load_a:g} A opens a fuse of {self.fuse.rating_a:g} A in the end; "
                "give a larger fuse or a smaller load."
            )

    def run(self, conductor: Conductor) -> LeadRun:
        """Return the lead that this demand makes of a conductor."""
        return LeadRun(
            conductor=conductor,
            insulation=self.insulation,
            length_m=self.length_m,
            back=self.back,
            ambient_c=self.ambient_c,
            loaded_in_bundle=self.loaded_in_bundle,
        )


@dataclass(frozen=True, slots=True)
class SmallestArea:
    """The smallest conductor that meets one bound, None where none of the series does."""

    title: str
    conductor: Conductor | None


@dataclass(frozen=True, slots=True)
class Sizing:
    """The answer: the chosen conductor, every bound at it, and which bound asks for the most.

    Where no conductor serves, `chosen` is None and `bounds` are those of `tried`: of the largest of the
    series, or of the smallest that only what caps the size refuses.
    """

    chosen: Conductor | None
    tried: Conductor
    bounds: tuple[Bound, ...]
    smallest: tuple[SmallestArea, ...]
    governing: str

    @property
    def failures(self) -> tuple[Bound, ...]:
        """The bounds that the conductor tried does not meet; none where one was chosen."""
        return tuple(bound for bound in self.bounds if not bound.is_met)

    @property
    def unconfirmed(self) -> tuple[str, ...]:
        """The rows from memory that the answer rests on, each once."""
        rows = (row for bound in self.bounds for row in bound.unconfirmed)
        return tuple(dict.fromkeys(rows))

    @property
    def is_confirmed(self) -> bool:
        """Does the answer rest on no value from memory?"""
        return not self.unconfirmed


def size_lead(demand: LeadDemand, conductors: Sequence[Conductor], tables: Tables) -> Sizing:
    """Return the smallest of `conductors` that meets every bound of a demand, and all bounds.

    Raises
    ------
    UsageError
        When there is no conductor to choose from.
    """
    rising = sorted(conductors, key=lambda conductor: conductor.area_mm2)
    if not rising:
        raise UsageError("There is no conductor to choose from; give a series with sizes.")
    smallest: dict[str, Conductor | None] = {}
    chosen = rising[-1]
    for conductor in rising:
        bounds = growing_bounds(demand, conductor, tables)
        for bound in bounds:
            if smallest.get(bound.title) is None:
                smallest[bound.title] = conductor if bound.is_met else None
        if all(bound.is_met for bound in bounds):
            chosen = conductor
            break
    bounds = (
        *growing_bounds(demand, chosen, tables),
        *capping_bounds(demand, chosen),
    )
    areas = {title: math.inf if c is None else c.area_mm2 for title, c in smallest.items()}
    return Sizing(
        chosen=chosen if all(bound.is_met for bound in bounds) else None,
        tried=chosen,
        bounds=bounds,
        smallest=tuple(SmallestArea(title, c) for title, c in smallest.items()),
        governing=max(areas, key=lambda title: areas[title]),
    )


def growing_bounds(demand: LeadDemand, conductor: Conductor, tables: Tables) -> tuple[Bound, ...]:
    """Return the bounds that a larger area meets the more easily."""
    run = demand.run(conductor)
    limit = demand.insulation.limit_c
    allowed = steady_current(run, tables, conductor_c=limit)
    warm = steady_temperature(run, tables, demand.load_a)
    fuse = demand.fuse
    return (
        Bound(
            "mechanical minimum",
            _area(conductor),
            demand.mechanical_minimum,
            "at least",
        ),
        drop_bound(
            run,
            demand.load_a,
            allowed=demand.allowed_drop,
            conductor_c=warm if warm.value < limit.value else limit,
        ),
        Bound("heating by the load", given("load", demand.load_a, "A"), allowed, "at most"),
        *(protects(run, fuse, demand.feed, tables).bounds if fuse is not None else ()),
        *(
            Bound(f"least area of {terminal.name}", _area(conductor), least, "at least")
            for terminal in demand.terminals
            if terminal.least_area_mm2 is not None
            for least in [given(f"least area of {terminal.name}", terminal.least_area_mm2, "mm²")]
        ),
    )


def capping_bounds(demand: LeadDemand, conductor: Conductor) -> tuple[Bound, ...]:
    """Return the bounds that limit the size from above, or the load whatever the size.

    The least diameter for a seal stands here, too: a seal that is too wide is changed, not the lead.
    """
    outside = outside_diameter(demand.run(conductor))
    load = given("load", demand.load_a, "A")
    bounds: list[Bound] = []
    for terminal in demand.terminals:
        rows: tuple[tuple[str, Figure, float | None, str], ...] = (
            ("greatest area", _area(conductor), terminal.greatest_area_mm2, "mm²"),
            ("greatest diameter", outside, terminal.greatest_outside_mm, "mm"),
            ("current", load, terminal.current_a, "A"),
        )
        for what, number, value, unit in rows:
            if value is not None:
                title = f"{what} of {terminal.name}"
                bounds.append(Bound(title, number, given(title, value, unit), "at most"))
        if terminal.least_outside_mm is not None:
            title = f"least diameter of {terminal.name}"
            least = given(title, terminal.least_outside_mm, "mm")
            bounds.append(Bound(title, outside, least, "at least"))
    return tuple(bounds)


def mechanical_minimum(tables: Tables, place: str) -> Figure:
    """Return the least area that stands handling and shaking at a kind of place, in mm².

    Raises
    ------
    NameNotFoundError
        For a place that the table does not know; the nearest are named.
    """
    return tables.mechanical_minimum[place].figure


def _area(conductor: Conductor) -> Figure:
    return Figure(f"area of {conductor.label}", conductor.area_mm2, "mm²", source=conductor.source)
