"""Marks: what the person put on a sheet. Each is anchored to the paper in mm, never to a reading's ids."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from loomfolio.basics import MmBox, MmPoint
from loomfolio.project.facts import (
    Condition,
    HalfKey,
    Known,
    LeadColour,
    Name,
    PinKey,
    Record,
    RecordId,
)


class _Mark(Record):
    id: RecordId
    sheet: RecordId
    when: Condition = ""
    known: Known = Known()


class NameMark(_Mark):
    """The name of the net whose conductor runs under `at`."""

    kind: Literal["name"] = "name"
    at: MmPoint
    name: Annotated[str, Field(min_length=1, max_length=200)]


class LeadMark(_Mark):
    """Colour and area, printed or seen, of the lead whose conductor runs under `at`."""

    kind: Literal["lead"] = "lead"
    at: MmPoint
    colour: LeadColour | None = None
    area_mm2: float | None = Field(default=None, gt=0)


class LineMark(_Mark):
    """A conductor drawn by the person. An end that lies on another conductor joins it there."""

    kind: Literal["line"] = "line"
    points: Annotated[tuple[MmPoint, ...], Field(min_length=2)]


class JoinMark(_Mark):
    """What meets or crosses at `at` is joined."""

    kind: Literal["join"] = "join"
    at: MmPoint


class ApartMark(_Mark):
    """What meets at `at` is kept apart: lines run straight on, a branch is cut off, a bridged gap is opened."""

    kind: Literal["apart"] = "apart"
    at: MmPoint


class NotConductorMark(_Mark):
    """The drawn line under `at` is no conductor at all (a frame, a screen, a leader line)."""

    kind: Literal["not_conductor"] = "not_conductor"
    at: MmPoint


class BodyPin(Record):
    """A pin of a body, where its conductor meets the edge."""

    at: MmPoint
    pin: Annotated[str, Field(min_length=1, max_length=40)]
    known: Known = Known()


class BodyMark(_Mark):
    """One appearance of a part or connector: its outline, and the pins that are drawn there."""

    kind: Literal["body"] = "body"
    box: MmBox
    part: RecordId
    connector: Name = ""
    half: Name = ""
    pins: tuple[BodyPin, ...] = ()

    @property
    def half_key(self) -> HalfKey:
        """The half whose pins are drawn here."""
        return HalfKey(part=self.part, connector=self.connector, half=self.half)

    def key(self, pin: BodyPin) -> PinKey:
        """Return the key of one of this body's pins."""
        return self.half_key.pin(pin.pin)


Mark = Annotated[
    NameMark | LeadMark | LineMark | JoinMark | ApartMark | NotConductorMark | BodyMark,
    Field(discriminator="kind"),
]
