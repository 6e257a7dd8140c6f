"""Why a number is what it is: a figure carries its formula, its inputs and where they stand.

A `Figure` is a tree. Its leaves come from a table (with source and status) or from the person; every
other figure names the formula and the figures that went into it. So each number on the screen can
answer "why", and a number that rests on a value from memory says so however deep that value lies.
A `Bound` is a figure held against a limit.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from loomfolio.basics import UsageError

Status = Literal["verified", "memory", "practice", "given"]
Sense = Literal["at most", "at least"]


@dataclass(frozen=True, slots=True)
class Source:
    """Where a value comes from.

    `verified`: seen in a text; `memory`: from memory, not confirmed; `practice`: custom of the trade
    or a default of ours; `given`: stated by the person.
    """

    text: str
    status: Status
    row: str = ""

    def __str__(self) -> str:
        return f"{self.row}: {self.text} ({self.status})" if self.row else self.text


GIVEN = Source("given", "given")


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its unit, and why it is that number."""

    name: str
    value: float
    unit: str
    formula: str = ""
    inputs: tuple[Figure, ...] = ()
    source: Source | None = None

    def leaves(self) -> Iterator[Figure]:
        """Yield the figures without inputs that this one rests on, itself if it has none."""
        if not self.inputs:
            yield self
        for figure in self.inputs:
            yield from figure.leaves()

    @property
    def sources(self) -> tuple[Source, ...]:
        """The sources that the figure rests on, each once, those of the tables only."""
        named = (leaf.source for leaf in self.leaves())
        return tuple(dict.fromkeys(s for s in named if s is not None and s.status != "given"))

    @property
    def unconfirmed(self) -> tuple[str, ...]:
        """The rows from memory that the figure rests on, each once."""
        return tuple(str(source) for source in self.sources if source.status == "memory")

    @property
    def is_confirmed(self) -> bool:
        """Does the figure rest on no value from memory?"""
        return not self.unconfirmed

    def why(self, indent: str = "") -> str:
        """Return the figure and all it rests on, one line each, inputs indented below."""
        reason = self.formula or (str(self.source) if self.source else "")
        line = f"{indent}{self}{' = ' if self.formula else ', '}{reason}".rstrip(", ")
        return "\n".join([line, *(figure.why(f"{indent}  ") for figure in self.inputs)])

    def __str__(self) -> str:
        return f"{self.name} {as_text(self.value, self.unit)}"


@dataclass(frozen=True, slots=True)
class Bound:
    """A figure held against its limit."""

    title: str
    number: Figure
    limit: Figure
    sense: Sense

    @property
    def is_met(self) -> bool:
        """Does the figure keep to its limit? A figure that equals the limit does."""
        if self.sense == "at most":
            return self.number.value <= self.limit.value
        return self.number.value >= self.limit.value

    @property
    def sources(self) -> tuple[Source, ...]:
        """The sources of the figure and of the limit, each once."""
        return tuple(dict.fromkeys((*self.number.sources, *self.limit.sources)))

    @property
    def unconfirmed(self) -> tuple[str, ...]:
        """The rows from memory that the figure or its limit rests on, each once."""
        return tuple(dict.fromkeys((*self.number.unconfirmed, *self.limit.unconfirmed)))

    @property
    def is_confirmed(self) -> bool:
        """Do the figure and its limit rest on no value from memory?"""
        return not self.unconfirmed

    @property
    def status(self) -> Status:
        """The weakest status among the sources: memory, then practice, then verified, then given."""
        found = {source.status for source in self.sources}
        ranked: tuple[Status, ...] = ("memory", "practice", "verified")
        return next((status for status in ranked if status in found), "given")

    def __str__(self) -> str:
        number = as_text(self.number.value, self.number.unit)
        limit = as_text(self.limit.value, self.limit.unit)
        return f"{self.title}: {number}, {self.sense} {limit}"


def given(name: str, value: float, unit: str) -> Figure:
    """Return a figure that the person stated."""
    return Figure(name, value, unit, source=GIVEN)


def as_figure(name: str, value: float | Figure, unit: str) -> Figure:
    """Return `value` if it is a figure already, with its reasons; else as stated by the person."""
    return value if isinstance(value, Figure) else given(name, value, unit)


def as_text(value: float, unit: str) -> str:
    """Return `value` to four digits with its unit; what has no end is "without end"."""
    return f"{value:.4g} {unit}".rstrip() if math.isfinite(value) else "without end"


def require_positive(name: str, value: float, unit: str) -> None:
    """Refuse a value that is no number above zero.

    Raises
    ------
    UsageError
        For zero, a negative number, infinity, or not-a-number.
    """
    if not (math.isfinite(value) and value > 0):
        raise UsageError(f"The {name} is {value:g} {unit}; give a number above 0 {unit}.")


def require_not_negative(name: str, value: float, unit: str) -> None:
    """Refuse a value that is no number from zero upward.

    Raises
    ------
    UsageError
        For a negative number, infinity, or not-a-number.
    """
    if not (math.isfinite(value) and value >= 0):
        raise UsageError(f"The {name} is {value:g} {unit}; give 0 {unit} or more.")


def require_finite(name: str, value: float, unit: str) -> None:
    """Refuse infinity and not-a-number.

    Raises
    ------
    UsageError
        For a value that is no number.
    """
    if not math.isfinite(value):
        raise UsageError(f"The {name} is {value:g} {unit}; give a number.")


def require_temperature(name: str, value_c: float, limits_c: tuple[float, float]) -> None:
    """Refuse a temperature outside the range in which the formulas hold.

    Raises
    ------
    UsageError
        For a temperature outside `limits_c`, infinity, or not-a-number.
    """
    lowest, highest = limits_c
    if not lowest <= value_c <= highest:
        raise UsageError(
            f"The {name} is {value_c:g} °C; give a temperature from {lowest:g} to {highest:g} °C."
        )
