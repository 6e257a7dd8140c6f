"""The small records that other records of the document are made of: how a fact is known, keys, colours, conditions.

Everything here is frozen, refuses unknown fields, and is compared by value. Keys are compared and hashed by
the thousand on every edit, so they do it field by field instead of in the general way.
"""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from loomfolio.basics import MmPoint


class Record(BaseModel):
    """The base of everything in the document: frozen, strict about field names, no endless numbers."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


Name = Annotated[str, Field(max_length=200)]
RecordId = Annotated[str, Field(pattern=r"^[a-z]+-[0-9]{1,12}$")]

KnownHow = Literal["printed", "stated", "inferred", "seen", "measured", "list", "standard"]
"""printed: read off the paper; stated: the person says so; inferred: worked out, not confirmed;
seen: looked at on a specimen; measured: with an instrument; list: from an imported table;
standard: fixed by a published standard."""


class Known(Record):
    """How a fact is known and by what (a sheet, a specimen, an instrument, a list, a standard)."""

    how: KnownHow = "stated"
    source: str = ""
    on: date | None = None

    @property
    def is_sure(self) -> bool:
        """Does this alone carry a lead to the bench? What is inferred does not."""
        return self.how != "inferred"


STATED = Known()
"""The person says so, and gives no source."""


Condition = Annotated[str, Field(max_length=500)]
"""A boolean expression over option names (`towing & !airsusp`); empty means always."""


class InnerPin(Record):
    """A pin inside one part: connector and half may be empty where the part has only one."""

    connector: Name = ""
    half: Name = ""
    pin: Name

    def __eq__(self, other: object) -> bool:
        if self is other:
            return True
        if type(other) is not InnerPin:
            return NotImplemented
        return (
            self.pin == other.pin and self.connector == other.connector and self.half == other.half
        )

    def __hash__(self) -> int:
        return hash((self.connector, self.half, self.pin))


class HalfKey(Record):
    """One half of a connector: part + connector + half. The half is empty except on in-line pairs."""

    part: RecordId
    connector: Name = ""
    half: Name = ""

    def pin(self, pin: str) -> PinKey:
        """Return the key of one pin of this half."""
        return PinKey(part=self.part, connector=self.connector, half=self.half, pin=pin)

    def __eq__(self, other: object) -> bool:
        if self is other:
            return True
        if type(other) is not HalfKey:
            return NotImplemented
        return (
            self.part == other.part
            and self.connector == other.connector
            and self.half == other.half
        )

    def __hash__(self) -> int:
        return hash((self.part, self.connector, self.half))


class PinKey(Record):
    """The key of a pin: part + connector + half + pin, the pin as text (`12`, `A3`, `87a`)."""

    part: RecordId
    connector: Name = ""
    half: Name = ""
    pin: Annotated[str, Field(min_length=1, max_length=40)]

    @property
    def half_key(self) -> HalfKey:
        """The half of the connector that this pin sits in."""
        return HalfKey(part=self.part, connector=self.connector, half=self.half)

    @property
    def inner(self) -> InnerPin:
        """The same pin seen from inside its part."""
        return InnerPin(connector=self.connector, half=self.half, pin=self.pin)

    @property
    def sort_key(self) -> tuple[str, str, str, tuple[tuple[int, int, str], ...]]:
        """Orders pins as a person counts them: 2 before 10, 87 before 87a."""
        return (self.part, self.connector, self.half, natural_order(self.pin))

    def __eq__(self, other: object) -> bool:
        if self is other:
            return True
        if type(other) is not PinKey:
            return NotImplemented
        return (
            self.part == other.part
            and self.pin == other.pin
            and self.connector == other.connector
            and self.half == other.half
        )

    def __hash__(self) -> int:
        return hash((self.part, self.connector, self.half, self.pin))


@lru_cache(maxsize=65536)
def natural_order(text: str) -> tuple[tuple[int, int, str], ...]:
    """Return a sort key that counts runs of digits as numbers: `2` < `10`, `A2` < `A10`."""
    order: list[tuple[int, int, str]] = []
    run = ""
    for character in text + "\0":
        if run and (character.isdecimal() != run[0].isdecimal() or character == "\0"):
            order.append((0, int(run), "") if run.isdecimal() else (1, 0, run))
            run = ""
        run += character
    return tuple(order)


class Anchor(Record):
    """A place on the paper: a sheet and a position on it in mm. Marks hang here, never on machine ids."""

    sheet: RecordId
    at: MmPoint


class LeadColour(Record):
    """The colour of a lead as printed or seen: `text` in the maker's own order and letters."""

    text: Annotated[str, Field(min_length=1, max_length=40)]
    base: Name = ""
    stripe: Name = ""
    code_set: Name = ""


class Vehicle(Record):
    """What identifies a vehicle. The plate and the owner can be left out for sharing."""

    make: Name = ""
    model: Name = ""
    year: int | None = Field(default=None, ge=1900, le=2200)
    market: Name = ""
    vin: Name = ""
    plate: Name = ""
    owner: Name = ""
    note: str = ""


class ValidFor(Record):
    """Of which vehicles a sheet speaks; an empty field says nothing and so excludes nothing."""

    make: Name = ""
    model: Name = ""
    year_from: int | None = None
    year_to: int | None = None
    market: Name = ""

    def misfits(self, vehicle: Vehicle) -> tuple[str, ...]:
        """Return a plain reason for each way in which `vehicle` lies outside; empty when none is known."""
        reasons: list[str] = []
        for word in ("make", "model", "market"):
            mine, theirs = getattr(self, word), getattr(vehicle, word)
            if mine and theirs and mine.casefold() != theirs.casefold():
                reasons.append(f"the sheet is for {word} {mine}, the vehicle is {theirs}")
        if vehicle.year is not None:
            if self.year_from is not None and vehicle.year < self.year_from:
                reasons.append(
                    f"the sheet begins with {self.year_from}, the vehicle is of {vehicle.year}"
                )
            if self.year_to is not None and vehicle.year > self.year_to:
                reasons.append(
                    f"the sheet ends with {self.year_to}, the vehicle is of {vehicle.year}"
                )
        return tuple(reasons)
