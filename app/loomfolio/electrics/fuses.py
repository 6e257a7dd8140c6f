"""Blade fuses: how long each carries a current, which one suits a load, and what it protects.

The time band of ISO 8820-3 states limits at a few shares of the rating and no curve, so nothing is
interpolated. Two things hold between its points, for more current never melts a fuse later, nor with
more I²·t: at a current I the fuse opens within the time of the highest point at or below I, and lets
through no more than the least I²·t of the points at or below I.

The band is that of a fuse at room temperature.

A fuse protects a lead when the lead

- carries 110 % of the rating for ever, which the fuse does;
- stays under its overload limit for the time that the fuse may take at 135 %, coming from 100 %, and at
  200 % and above where that is more than five seconds (what lies between, 160 %, is printed for single
  ratings only, and no point of the band);
- draws, shorted at its far end and hot, at least 200 % of the rating, so that the fuse opens in seconds;
- stands what the fuse lets through in that short; a short nearer by draws more and lets through less.
"""

from __future__ import annotations

from dataclasses import dataclass

from loomfolio.basics import NameNotFoundError, UsageError
from loomfolio.electrics.conductors import LeadRun
from loomfolio.electrics.evidence import (
    Bound,
    Figure,
    Source,
    given,
    require_not_negative,
    require_positive,
)
from loomfolio.electrics.heating import steady_current, steady_temperature, time_to_reach
from loomfolio.electrics.records import BandPoint, Fact, Fuse, Tables
from loomfolio.electrics.short_circuit import (
    LONGEST_ADIABATIC_S,
    Feed,
    adiabatic_limit,
    short_current,
)

PERCENT_FOR_EVER = 110.0
PERCENT_OF_AN_OVERLOAD = 135.0
PERCENT_OF_A_SHORT = 200.0
# A current is at a point of the band though the last digit of its reckoning says not quite.
ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Protection:
    """Whether a fuse protects a lead: every bound with its number."""

    fuse: Fuse
    bounds: tuple[Bound, ...]

    @property
    def is_protected(self) -> bool:
        """Does the lead keep to every bound?"""
        return all(bound.is_met for bound in self.bounds)

    @property
    def failures(self) -> tuple[Bound, ...]:
        """The bounds that the lead does not keep to."""
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


@dataclass(frozen=True, slots=True)
class FuseChoice:
    """The fuse for a load: the least rating asked for and why, None where no fuse of the kind has it."""

    fuse: Fuse | None
    least_rating: Figure
    bounds: tuple[Bound, ...]


def fuses_of(tables: Tables, kind: str) -> tuple[Fuse, ...]:
    """Return the fuses of a kind of ISO 8820-3 (`C` regular, `F` mini, `E` maxi), smallest first.

    Raises
    ------
    NameNotFoundError
        For a kind that the tables do not know.
    """
    found = sorted((f for f in tables.fuses if f.kind == kind), key=lambda fuse: fuse.rating_a)
    if not found:
        raise NameNotFoundError("kind of fuse", kind, {fuse.kind for fuse in tables.fuses})
    return tuple(found)


def find_fuse(tables: Tables, kind: str, rating_a: float) -> Fuse:
    """Return the fuse of a kind and rating.

    Raises
    ------
    NameNotFoundError
        When the kind is not made with that rating.
    """
    known = fuses_of(tables, kind)
    for fuse in known:
        if fuse.rating_a == rating_a:
            return fuse
    raise NameNotFoundError("fuse", f"{rating_a:g} A", (f"{fuse.rating_a:g} A" for fuse in known))


def _points_reached(fuse: Fuse, current_a: float) -> list[tuple[BandPoint, Figure]]:
    """Return the points at or below a current that state a longest time, with that time."""
    require_not_negative("current", current_a, "A")
    return [
        (point, point.at_most_s)
        for point in fuse.band
        if point.at_most_s is not None and _ampere(fuse, point) <= current_a * (1 + ROUNDING)
    ]


def _ampere(fuse: Fuse, point: BandPoint) -> float:
    return point.percent / 100 * fuse.rating_a


def longest_opening(fuse: Fuse, current_a: float) -> Figure | None:
    """Return how long a fuse may take to open at a current, in s; None where it need not open."""
    reached = _points_reached(fuse, current_a)
    if not reached:
        return None
    point, at_most_s = reached[-1]
    return Figure(
        f"longest opening time at {current_a:.4g} A",
        at_most_s.value,
        "s",
        f"limit at {point.percent:g} %, the highest point reached",
        (at_most_s, fuse.rating, given("current", current_a, "A")),
    )


def shortest_holding(fuse: Fuse, current_a: float) -> Figure | None:
    """Return how long a fuse carries a current at least, in s; None above the last point."""
    require_not_negative("current", current_a, "A")
    for point in fuse.band:
        is_above = _ampere(fuse, point) >= current_a * (1 - ROUNDING)
        if is_above and point.at_least_s is not None:
            return Figure(
                f"shortest opening time at {current_a:.4g} A",
                point.at_least_s.value,
                "s",
                f"limit at {point.percent:g} %, the next point above",
                (point.at_least_s, fuse.rating, given("current", current_a, "A")),
            )
    return None


def let_through(fuse: Fuse, current: Figure) -> Figure | None:
    """Return the I²·t that passes a fuse before a short of that current is broken, in A²s.

    None where the fuse need not open within five seconds.
    """
    choices = [
        (_ampere(fuse, point) ** 2 * at_most_s.value, point, at_most_s)
        for point, at_most_s in _points_reached(fuse, current.value)
        if at_most_s.value <= LONGEST_ADIABATIC_S
    ]
    if not choices:
        return None
    value, point, at_most_s = min(choices, key=lambda choice: choice[0])
    return Figure(
        "what the fuse lets through",
        value,
        "A²s",
        f"I²·t at {point.percent:g} %, the least of the points reached",
        (fuse.rating, at_most_s, current),
    )


def fuse_resistance(fuse: Fuse, tables: Tables) -> Figure:
    """Return the resistance of a fuse at its rating, in ohm.

    That of the next smaller fuse with a printed drop, which has more; zero where none is smaller.
    """
    printed = [
        (rating_a, fact)
        for fact in tables.fuse_facts.rows
        if (rating_a := _rating_of_drop(fact)) is not None and rating_a <= fuse.rating_a
    ]
    if not printed:
        none = Source("no drop is printed for so small a fuse; left out", "practice")
        return Figure("resistance of the fuse", 0.0, "ohm", source=none)
    rating_a, fact = max(printed, key=lambda pair: pair[0])
    return Figure(
        "resistance of the fuse",
        fact.figure.value / 1000 / rating_a,
        "ohm",
        f"drop at {rating_a:g} A / {rating_a:g} A",
        (fact.figure,),
    )


def _rating_of_drop(fact: Fact) -> float | None:
    """Return the rating that a printed "voltage drop at rated current, regular blade 10 A" is for."""
    item, unit = fact.item.rsplit(" ", 2)[0], fact.item.rsplit(" ", 1)[-1]
    is_drop = item == "voltage drop at rated current, regular blade" and unit == "A"
    return float(fact.item.split(" ")[-2]) if is_drop else None


def protects(run: LeadRun, fuse: Fuse, feed: Feed, tables: Tables) -> Protection:
    """Return whether a fuse protects a lead, bound by bound."""
    return Protection(
        fuse,
        (
            voltage_bound(fuse, feed),
            for_ever_bound(run, fuse, tables),
            *overload_bounds(run, fuse, tables),
            *short_bounds(run, fuse, feed, tables),
        ),
    )


def voltage_bound(fuse: Fuse, feed: Feed) -> Bound:
    """Return the supply held against the voltage that the fuse can break."""
    allowed = Figure("voltage of the fuse", fuse.system_v, "V", source=fuse.source)
    return Bound("voltage of the fuse", given("supply voltage", feed.volt, "V"), allowed, "at most")


def for_ever_bound(run: LeadRun, fuse: Fuse, tables: Tables) -> Bound:
    """Return what the fuse carries for ever held against what the lead carries for ever."""
    carried = Figure(
        "what the fuse carries for ever",
        PERCENT_FOR_EVER / 100 * fuse.rating_a,
        "A",
        f"{PERCENT_FOR_EVER:g} % of the rating",
        (fuse.rating,),
    )
    allowed = steady_current(run, tables, conductor_c=run.insulation.limit_c)
    return Bound(f"{PERCENT_FOR_EVER:g} % of the fuse for ever", carried, allowed, "at most")


def overload_bounds(run: LeadRun, fuse: Fuse, tables: Tables) -> tuple[Bound, ...]:
    """Return the warming at 135 %, and at slow points from 200 %, held against the fuse's time."""
    warm = steady_temperature(run, tables, fuse.rating_a)
    bounds = []
    for point in fuse.band:
        longest = point.at_most_s
        is_slow = longest is not None and longest.value > LONGEST_ADIABATIC_S
        is_held = point.percent == PERCENT_OF_AN_OVERLOAD or point.percent >= PERCENT_OF_A_SHORT
        if longest is None or not (is_slow and is_held):
            continue
        warming = time_to_reach(
            run, tables, _ampere(fuse, point), from_c=warm, to_c=run.insulation.overload_c
        )
        bounds.append(
            Bound(f"{point.percent:g} % of the fuse for its time", warming, longest, "at least")
        )
    return tuple(bounds)


def short_bounds(run: LeadRun, fuse: Fuse, feed: Feed, tables: Tables) -> tuple[Bound, ...]:
    """Return the hot short at the far end held against 200 % and against what the lead stands.

    Where the short does not make the fuse open in seconds there is no second bound: the first fails.
    """
    current = short_current(
        run,
        feed,
        conductor_c=run.insulation.limit_c,
        fuse_ohm=fuse_resistance(fuse, tables),
    )
    least = Figure(
        f"{PERCENT_OF_A_SHORT:g} % of the fuse",
        PERCENT_OF_A_SHORT / 100 * fuse.rating_a,
        "A",
        f"{PERCENT_OF_A_SHORT:g} % of the rating",
        (fuse.rating,),
    )
    bounds = [Bound("short at the far end, hot", current, least, "at least")]
    passed = let_through(fuse, current)
    if passed is not None:
        bounds.append(Bound("heat of the short", passed, adiabatic_limit(run), "at most"))
    return tuple(bounds)


def derating(tables: Tables, ambient_c: float) -> Figure:
    """Return the share of its rating that a fuse carries at an ambient, at most 1.

    Read from the printed steps of a maxi fuse at the next warmer step, and taken for all kinds.

    Raises
    ------
    UsageError
        Above the warmest step of the table.
    """
    name = "allowed load, maxi 40 A at "
    steps = sorted(
        (float(fact.item.removeprefix(name).removesuffix(" C")), fact)
        for fact in tables.fuse_facts.rows
        if fact.item.startswith(name)
    )
    for step_c, fact in steps:
        if ambient_c <= step_c:
            return Figure(
                f"share of the rating at {ambient_c:.4g} °C",
                fact.figure.value / 40,
                "ratio",
                f"allowed load at {step_c:g} °C / 40 A",
                (fact.figure,),
            )
    raise UsageError(
        f"No fuse is rated for an ambient of {ambient_c:g} °C; place it where it stays below "
        f"{steps[-1][0]:g} °C."
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What a circuit draws: for ever, and at the start for a while."""

    continuous_a: float
    inrush_a: float = 0.0
    inrush_s: float = 0.0

    def __post_init__(self) -> None:
        require_positive("continuous current", self.continuous_a, "A")
        require_not_negative("inrush current", self.inrush_a, "A")
        require_not_negative("time of the inrush", self.inrush_s, "s")


def fuse_for_load(load: Load, kind: str, tables: Tables, *, ambient_c: float) -> FuseChoice:
    """Return the smallest fuse of a kind that carries a load at an ambient and holds its inrush."""
    spare = tables.fuse_facts["fuse rating over expected continuous load"].figure
    share = derating(tables, ambient_c)
    least = Figure(
        "least rating for the load",
        load.continuous_a * spare.value / share.value,
        "A",
        "continuous current · spare / share at the ambient",
        (given("continuous current", load.continuous_a, "A"), spare, share),
    )
    for fuse in fuses_of(tables, kind):
        bounds = (
            Bound("rating of the fuse", fuse.rating, least, "at least"),
            *_inrush_bounds(load, fuse),
        )
        if all(bound.is_met for bound in bounds):
            return FuseChoice(fuse, least, bounds)
    return FuseChoice(None, least, bounds)


def _inrush_bounds(load: Load, fuse: Fuse) -> tuple[Bound, ...]:
    if load.inrush_a <= load.continuous_a or load.inrush_s == 0:
        return ()
    holding = shortest_holding(fuse, load.inrush_a)
    lasting = given("time of the inrush", load.inrush_s, "s")
    none = given("shortest opening time, above the last point of the band", 0.0, "s")
    return (Bound("inrush", holding or none, lasting, "at least"),)
