"""What the person knows of the circuits: their classes, loads, supplies, fuses, resistances, relays, states.

A note is a fact with its source. What follows from notes (which nets are high voltage, what is live in a
state) is derived. Of one subject there is one note: noting it again changes it.
"""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from loomfolio.project.facts import Known, PinKey, Record, RecordId

CircuitClass = Literal[
    "high voltage",
    "traction minus",
    "restraint",
    "interlock",
    "safety",
    "sensor ground",
    "screened",
    "bus",
]
"""safety: brakes, steering, battery monitoring; screened: a lead inside a screen, not the screen itself."""
Suppression = Literal["none", "diode", "resistor", "unknown"]
RelayLayout = Literal["A", "B", "unknown"]
FuseKind = Literal["C", "F", "E", "other"]
"""Blade fuses of ISO 8820-3: C regular, F mini, E maxi. Others have no band in the tables."""
Drive = Literal["plus", "minus", "off"]

_Ohm = Annotated[float, Field(gt=0)]
_Ampere = Annotated[float, Field(gt=0)]


def _check_inside(ends: tuple[PinKey, PinKey]) -> None:
    if ends[0] == ends[1] or ends[0].part != ends[1].part:
        raise ValueError("what conducts inside a part lies between two of its pins")


class _Note(Record):
    id: RecordId
    note: str = ""
    known: Known = Known()


class CircuitNote(_Note):
    """That the net of a pin is of a class. `voltage_v` is its highest, `kbit_per_s` the rate of a bus."""

    kind: Literal["circuit"] = "circuit"
    pin: PinKey
    circuit: CircuitClass
    voltage_v: float | None = Field(default=None, gt=0)
    kbit_per_s: float | None = Field(default=None, gt=0)


class LoadNote(_Note):
    """What is drawn at a pin. `back` is where it leaves, None where that is not said.

    `duty_share` is the share of the time for which it is drawn; `inrush_a` what the start takes.
    """

    kind: Literal["load"] = "load"
    pin: PinKey
    back: PinKey | None = None
    current_a: _Ampere
    inrush_a: float | None = Field(default=None, gt=0)
    inrush_s: float | None = Field(default=None, gt=0)
    duty_share: float = Field(default=1.0, gt=0, le=1)


class SupplyNote(_Note):
    """A source at a pin, against the pin `back`, or against chassis where `back` is None.

    `source_ohm` is its inner resistance, `fuse_a` what protects its leads inside the source itself.
    """

    kind: Literal["supply"] = "supply"
    pin: PinKey
    back: PinKey | None = None
    voltage_v: float = Field(gt=0)
    source_ohm: _Ohm | None = None
    fuse_a: _Ampere | None = None


class FuseNote(_Note):
    """The rating of a fuse, and what it is made for."""

    kind: Literal["fuse"] = "fuse"
    part: RecordId
    rating_a: _Ampere
    fuse_kind: FuseKind = "other"
    rated_v: float | None = Field(default=None, gt=0)


class ResistanceNote(_Note):
    """What lies between two pins of a part: a coil, a terminator, a sensor, in ohm."""

    kind: Literal["resistance"] = "resistance"
    ends: tuple[PinKey, PinKey]
    ohm: _Ohm

    @model_validator(mode="after")
    def _inside_one_part(self) -> Self:
        _check_inside(self.ends)
        return self


class RelayNote(_Note):
    """How a relay's coil is suppressed, and where 30 and 86 lie in the socket and on the relay itself."""

    kind: Literal["relay"] = "relay"
    part: RecordId
    suppression: Suppression = "unknown"
    layout: RelayLayout = "unknown"
    socket_layout: RelayLayout = "unknown"


ElectricNote = Annotated[
    CircuitNote | LoadNote | SupplyNote | FuseNote | ResistanceNote | RelayNote,
    Field(discriminator="kind"),
]


class WaySetting(Record):
    """Whether what passes between two pins of a part is open or closed in a state."""

    ends: tuple[PinKey, PinKey]
    is_closed: bool

    @model_validator(mode="after")
    def _inside_one_part(self) -> Self:
        _check_inside(self.ends)
        return self


class PinDrive(Record):
    """What a module does to one of its outputs in a state, as the person states it."""

    pin: PinKey
    drives: Drive


class ElectricState(Record):
    """A state of the vehicle that the person names: `parked`, `ignition on`, `charging`.

    `supplies` are the pins of the supplies that are on. A switch without a setting is as at rest, a contact
    of a relay with its own setting stays so, whatever its coil does.
    """

    id: RecordId
    name: Annotated[str, Field(min_length=1, max_length=200)]
    supplies: tuple[PinKey, ...] = ()
    settings: tuple[WaySetting, ...] = ()
    drives: tuple[PinDrive, ...] = ()
    note: str = ""


class RuleAcceptance(Record):
    """A rule whose findings the person lets stand altogether, with the reason."""

    id: RecordId
    rule: Annotated[str, Field(min_length=1, max_length=200)]
    reason: Annotated[str, Field(min_length=1)]
