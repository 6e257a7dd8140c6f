"""The pin that the person follows: its ways, the one chosen, and the piece looked at; no Qt.

The document changes while one follows (each confirmation is an edit), so a `Following` is made anew
from the new ways and finds its own way and piece again by what they are, not by their numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from loomfolio.nets import Piece, Way, WayStep
from loomfolio.project import PinKey


@dataclass(frozen=True, slots=True)
class Following:
    """A followed pin; `to` narrows the ways to those that end at one pin. There may be no way."""

    pin: PinKey
    ways: tuple[Way, ...]
    to: PinKey | None = None
    way_number: int = 0
    step_number: int = 0

    @property
    def way(self) -> Way | None:
        """The way looked at; None where the pin goes nowhere."""
        return self.ways[self.way_number] if self.ways else None

    @property
    def step(self) -> WayStep | None:
        """The piece looked at."""
        way = self.way
        return way.steps[self.step_number] if way is not None and way.steps else None

    @property
    def open_piece(self) -> Piece | None:
        """The first thing still to be confirmed at the piece looked at."""
        step = self.step
        return next((p for p in step.pieces if not p.is_confirmed), None) if step else None

    @property
    def open_count(self) -> int:
        """How much on this way is still to be confirmed."""
        return len(self.way.open_pieces) if self.way else 0

    def at_way(self, number: int) -> Following:
        """Return this with another way, from its first piece on; after the last comes the first."""
        if not self.ways:
            return self
        return replace(self, way_number=number % len(self.ways), step_number=0)

    def at_step(self, number: int) -> Following:
        """Return this with another piece; held at both ends."""
        count = len(self.way.steps) if self.way else 0
        return replace(self, step_number=max(0, min(number, count - 1)))

    def at_next_open(self) -> Following:
        """Return this at the next piece to confirm, from here on and round; as it is if none is."""
        way = self.way
        if way is None:
            return self
        count = len(way.steps)
        for ahead in range(count):
            number = (self.step_number + ahead) % count
            if any(not piece.is_confirmed for piece in way.steps[number].pieces):
                return replace(self, step_number=number)
        return self

    def over(self, ways: Sequence[Way]) -> Following:
        """Return this over the ways of a changed document, at the same way and piece if there."""
        fresh = replace(self, ways=tuple(ways), way_number=0, step_number=0)
        if self.way is None or not ways:
            return fresh
        alike = [_likeness(self.way, way) for way in ways]
        best = alike.index(max(alike))
        return replace(fresh, way_number=best).at_step(self.step_number)


def _likeness(one: Way, other: Way) -> tuple[bool, int]:
    """How much two ways are the same: the end first, then the pins in common."""
    pins = {step.pin for step in one.steps} & {step.pin for step in other.steps}
    ends = [way.steps[-1].pin if way.steps else None for way in (one, other)]
    return ends[0] == ends[1], len(pins)
