"""What the person decides of the work: zones and ways, where things are, operations, steps, order, effort.

Which ways there are to close a gap, how long a lead gets and in which order the work is done are derived
(`retrofit/work`). The document keeps what the person chose: for each gap the offer that was taken and
what was set by hand. It names derived things by their keys, which stay while the thing stands.
"""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from loomfolio.basics import MmPoint
from loomfolio.project.facts import HalfKey, Known, LeadColour, Name, Record, RecordId
from loomfolio.project.proof import Key

Vibration = Literal["low", "high"]
OperationKind = Literal[
    "adaptor loom",
    "lead into cavity",
    "fit terminal",
    "move terminal",
    "donor lead",
    "fit cable",
    "fit part",
    "fit connector",
    "fit bar",
    "remove plug",
    "code module",
    "bridge",
    "take out lead",
    "tap",
    "butt splice",
    "break in",
    "cap off",
    "swap part",
    "solder to board",
    "take as found",
]
"""adaptor loom: plugged between two halves, passes everything through, and nothing is cut. butt splice: a stub is
extended. break in: a lead is cut and both new ends are led away in series. cap off: a cut remainder is
insulated. take as found: nothing is done, the lead serves as it is."""
StepKind = Literal["general", "measure", "bench", "open", "close"]


class Outline(Record):
    """Points drawn on a sheet, in mm: the border of a zone, or the course of a way."""

    sheet: RecordId
    points: Annotated[tuple[MmPoint, ...], Field(min_length=2)]


class Zone(Record):
    """A place in the vehicle that is opened as one. `covers` is what comes off first, in that order.

    None is not known: a lead through such a zone says so.
    """

    id: RecordId
    name: Annotated[str, Field(min_length=1, max_length=200)]
    is_wet: bool | None = None
    ambient_c: float | None = Field(default=None, ge=-60, le=300)
    vibration: Vibration | None = None
    covers: tuple[Name, ...] = ()
    outline: Outline | None = None
    note: str = ""
    known: Known = Known()


class ZoneWay(Record):
    """A way on which leads run from one zone to another; `opening_mm` is the bore that they pass through."""

    id: RecordId
    zones: tuple[RecordId, RecordId]
    length_m: float = Field(gt=0, le=100)
    opening_mm: float | None = Field(default=None, gt=0)
    label: Name = ""
    course: Outline | None = None
    known: Known = Known()

    @model_validator(mode="after")
    def _between_two(self) -> Self:
        if self.zones[0] == self.zones[1]:
            raise ValueError("a way leads from one zone to another")
        return self


class Placement(Record):
    """That a part lies in a zone, or, where `half` is given, one connector half of it does."""

    id: RecordId
    part: RecordId
    half: HalfKey | None = None
    zone: RecordId
    known: Known = Known()

    @model_validator(mode="after")
    def _own_half(self) -> Self:
        if self.half is not None and self.half.part != self.part:
            raise ValueError("the half belongs to another part")
        return self


class Operation(Record):
    """The offer that is taken for one gap, and what was set by hand; of one gap there is one.

    `size` is a conductor as the trade writes it (`0.5 mm²`, `20 AWG`); empty leaves it to the reckoning. A
    `length_m` of None is reckoned from the zones, unless it is measured on the vehicle. `distance_mm` is
    that of a joint from the connector half it is nearest to. `in_spite_of` is the person's reason for
    taking an offer that is refused, or a size that does not serve: it is kept, and said on every sheet.
    """

    id: RecordId
    gap: Key
    offer: Key
    kind: OperationKind
    size: Name = ""
    insulation: Name = ""
    colour: LeadColour | None = None
    length_m: float | None = Field(default=None, gt=0, le=200)
    is_measured_on_vehicle: bool = False
    distance_mm: float | None = Field(default=None, gt=0)
    fuse_distance_mm: float | None = Field(default=None, ge=0)
    """From a pick-up to the fuse of the new lead."""
    fuse_a: float | None = Field(default=None, gt=0)
    """The rating of a regular blade fuse that the new lead gets for itself, in line."""
    in_spite_of: str = ""
    note: str = ""
    known: Known = Known()


class HousingTerminal(Record):
    """The terminal and seal that go into a housing: which leads they take. None is not known.

    `pins` are the cavities that it is for; empty means all of them.
    """

    id: RecordId
    half: HalfKey
    pins: tuple[Annotated[str, Field(min_length=1, max_length=40)], ...] = ()
    name: Annotated[str, Field(min_length=1, max_length=200)]
    least_area_mm2: float | None = Field(default=None, gt=0)
    greatest_area_mm2: float | None = Field(default=None, gt=0)
    least_outside_mm: float | None = Field(default=None, gt=0)
    greatest_outside_mm: float | None = Field(default=None, gt=0)
    current_a: float | None = Field(default=None, gt=0)
    known: Known = Known()


class WorkStep(Record):
    """A piece of general work: drain, drill, torque, fill, bleed, wait. Keys say what comes before and after it."""

    id: RecordId
    title: Annotated[str, Field(min_length=1, max_length=200)]
    kind: StepKind = "general"
    zone: RecordId | None = None
    after: tuple[Key, ...] = ()
    before: tuple[Key, ...] = ()
    hours: float = Field(default=0.0, ge=0)
    note: str = ""


class StepOrder(Record):
    """That one step is done before another whatever the plan says, with the reason."""

    id: RecordId
    first: Key
    then: Key
    reason: str = ""

    @model_validator(mode="after")
    def _two_steps(self) -> Self:
        if self.first == self.then:
            raise ValueError("a step cannot come before itself")
        return self


class EffortRow(Record):
    """The person's own figures for a kind of work, in place of the table's; `cost` in the person's money."""

    id: RecordId
    work: Annotated[str, Field(min_length=1, max_length=60)]
    hours_least: float = Field(ge=0)
    hours_most: float = Field(ge=0)
    cost: float | None = Field(default=None, ge=0)
    note: str = ""

    @model_validator(mode="after")
    def _rising(self) -> Self:
        if self.hours_most < self.hours_least:
            raise ValueError("the most hours are fewer than the least")
        return self
