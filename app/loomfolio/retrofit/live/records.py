"""What the live table returns: for each pin an answer with its path, what the relays do, what is wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from loomfolio.electrics import Figure
from loomfolio.nets import Relation
from loomfolio.project import Anchor, PinKey

Liveness = Literal["live", "dead", "unknown"]


@dataclass(frozen=True, slots=True)
class LiveStep:
    """One piece of a path, from the source on: a source, a net, or what lies between two nets.

    `relation` says how the path comes to it: `joined` within a net, `passes` or `loads` through a part.
    """

    text: str
    relation: Relation
    pin: PinKey | None = None
    net: int | None = None
    place: Anchor | None = None


@dataclass(frozen=True, slots=True)
class PinLiveness:
    """Is a pin live in a state? `reason` is a clause, `path` leads from what decides it to the pin.

    `path` is empty where nothing reaches the pin. `volts` against chassis is None where a datum on the way
    has no source.
    """

    pin: PinKey
    answer: Liveness
    reason: str
    path: tuple[LiveStep, ...]
    volts: Figure | None = None


@dataclass(frozen=True, slots=True)
class RelayAtRest:
    """What a relay does in a state once all relays are at rest; None where that is unknown."""

    part: str
    is_pulled: bool | None
    reason: str


@dataclass(frozen=True, slots=True)
class LiveFault:
    """What cannot be right in a state: a short, a relay without rest, a supply that is off and yet live."""

    kind: Literal["short", "no rest", "fed back", "supplies joined"]
    sentence: str
    key: str
    pins: tuple[PinKey, ...]
    path: tuple[LiveStep, ...] = ()


@dataclass(frozen=True, slots=True)
class WayCurrent:
    """What runs through something inside a part, from the first of its pins to the second."""

    ends: tuple[PinKey, PinKey]
    amperes: Figure


@dataclass(frozen=True, eq=False)
class LiveTable:
    """One state: the answer for every pin, the relays, the faults, and the currents that are known."""

    state: str
    pins: Mapping[PinKey, PinLiveness]
    relays: tuple[RelayAtRest, ...]
    faults: tuple[LiveFault, ...]
    currents: tuple[WayCurrent, ...] = field(default=())

    def answers(self, answer: Liveness) -> tuple[PinLiveness, ...]:
        """Return the pins with one answer, in the order of the table."""
        return tuple(one for one in self.pins.values() if one.answer == answer)
