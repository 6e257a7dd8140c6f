"""Real things and what was seen on them: specimens, photos, the survey, the baseline, and gaps that were closed.

A survey is a list of small entries, each about one cavity, header contact, position, half, bar or lead of
one specimen. An entry says what was seen there and how; what follows from it (the vehicle as it is, the
gaps) is derived. Of one thing on one specimen there is one entry: looking again replaces it.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal, NamedTuple, Self

from pydantic import Field, GetCoreSchemaHandler, model_validator
from pydantic_core import CoreSchema, core_schema

from loomfolio.project.facts import (
    HalfKey,
    Known,
    LeadColour,
    Name,
    PinKey,
    Record,
    RecordId,
    Vehicle,
)

SEEN = Known(how="seen")
"""Looked at; the entry's specimen says where."""

# -------------------------------------------------------------------------------- photos, specimens

Share = Annotated[float, Field(ge=0.0, le=1.0)]


class PicturePoint(NamedTuple):
    """A place in a picture as shares of its width and height, from the top-left corner, upright."""

    x: Share
    y: Share


class PhotoMark(Record):
    """Something pointed out in a photo: a name at `at`, with an arrow from there where `points_at` is given."""

    at: PicturePoint
    text: Name = ""
    points_at: PicturePoint | None = None


class Photo(Record):
    """A picture in the project's folder, stored upright; `marks` lie over it and are not in the file."""

    file: str
    caption: Name = ""
    on: date | None = None
    marks: tuple[PhotoMark, ...] = ()


class _OrFileName:
    """A photo was a bare file name before photos could carry marks; both are read.

    A union, not a function before the record: after a function the strict reading of JSON would take no
    list for a tuple any more.
    """

    def __get_pydantic_core_schema__(
        self, source: type[Photo], handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        name = core_schema.no_info_after_validator_function(
            lambda file: Photo(file=file), core_schema.str_schema()
        )
        return core_schema.union_schema([name, handler(source)])


Photos = tuple[Annotated[Photo, _OrFileName()], ...]

SpecimenKind = Literal["this vehicle", "reference vehicle", "donor loom"]


class Specimen(Record):
    """A real thing: this vehicle, a reference vehicle, a donor loom on the bench.

    `harness` is the loom of the documents that a donor loom is an example of.
    """

    id: RecordId
    name: Name
    kind: SpecimenKind
    vehicle: Vehicle = Vehicle()
    photos: Photos = ()
    on: date | None = None
    note: str = ""
    harness: RecordId | None = None


# ------------------------------------------------------------------------------------------- survey

CavityState = Literal[
    "filled", "empty", "plugged", "terminal without lead", "cut", "corroded", "not there"
]
"""cut: a terminal with a stub of lead; not there: the housing has no such cavity."""
HeaderState = Literal["there", "missing", "driver not populated", "needs coding", "works"]
PositionGrade = Literal[
    "complete",
    "moulding only",
    "terminals but no lead",
    "lead but no part",
    "part but nothing feeding it",
    "not there",
]
HalfState = Literal["there", "not there", "dummy plug", "bridge plug"]
"""dummy plug, bridge plug: it is there, and closed by a plug that must go before it can be mated."""
FaceSide = Literal["wire side", "mating side", "unknown"]


class _Entry(Record):
    id: RecordId
    specimen: RecordId
    note: str = ""
    known: Known = SEEN


class CavityEntry(_Entry):
    """What was seen in one cavity."""

    kind: Literal["cavity"] = "cavity"
    pin: PinKey
    state: CavityState
    colour: LeadColour | None = None
    area_mm2: float | None = Field(default=None, gt=0)


class HeaderEntry(_Entry):
    """What was seen of a module's own contact, or of what stands behind it, opposite to a cavity."""

    kind: Literal["header"] = "header"
    pin: PinKey
    state: HeaderState


class PositionEntry(_Entry):
    """How complete the position of a fuse, relay or other device is."""

    kind: Literal["position"] = "position"
    part: RecordId
    grade: PositionGrade


class HalfEntry(_Entry):
    """A half of a connector, and from which side its cavities were looked at.

    `bridged` are the cavities that a bridge plug joins, where that was measured.
    """

    kind: Literal["half"] = "half"
    half: HalfKey
    state: HalfState = "there"
    viewed_from: FaceSide = "unknown"
    bridged: tuple[Annotated[str, Field(min_length=1, max_length=40)], ...] = ()


class BarEntry(_Entry):
    """Whether a bar of a joint connector is there; `label` is that of its inner way."""

    kind: Literal["bar"] = "bar"
    part: RecordId
    label: Name
    state: Literal["there", "missing"]


class LeadEntry(_Entry):
    """A lead found, missed, or found to go elsewhere.

    `goes_to` is where its second end was found instead, the first being where it is drawn; None says
    that nobody knows yet where it goes.
    """

    kind: Literal["lead"] = "lead"
    ends: tuple[PinKey, PinKey]
    state: Literal["there", "not there", "goes elsewhere"]
    goes_to: PinKey | None = None
    colour: LeadColour | None = None
    area_mm2: float | None = Field(default=None, gt=0)

    @model_validator(mode="after")
    def _goes_somewhere_else(self) -> Self:
        if self.ends[0] == self.ends[1]:
            raise ValueError("a lead has two ends")
        if self.goes_to is not None and self.state != "goes elsewhere":
            raise ValueError("only a lead that goes elsewhere has another place to go to")
        if self.goes_to is not None and self.goes_to in self.ends:
            raise ValueError("a lead that goes elsewhere ends at another pin")
        return self


SurveyEntry = Annotated[
    CavityEntry | HeaderEntry | PositionEntry | HalfEntry | BarEntry | LeadEntry,
    Field(discriminator="kind"),
]

# ----------------------------------------------------------------------------------------- baseline


class FaultCode(Record):
    """A fault that a module had stored."""

    code: Annotated[str, Field(min_length=1, max_length=40)]
    module: Name = ""
    text: Name = ""


class FunctionCheck(Record):
    """A function that was tried."""

    name: Annotated[str, Field(min_length=1, max_length=200)]
    works: bool
    note: str = ""


class Baseline(Record):
    """How a vehicle was before anything was touched, or is at the end."""

    id: RecordId
    specimen: RecordId
    when: Literal["before", "after"]
    on: date | None = None
    fault_codes: tuple[FaultCode, ...] = ()
    functions: tuple[FunctionCheck, ...] = ()
    sleep_current_ma: float | None = Field(default=None, ge=0)
    note: str = ""
    photos: Photos = ()


# ------------------------------------------------------------------------- answers of the comparison


class GapClosure(Record):
    """That one gap is closed, by what, and the written reason. The gap stays listed with it."""

    id: RecordId
    gap: Annotated[str, Field(min_length=1)]
    by: Literal["work", "survey", "reason"]
    reason: Annotated[str, Field(min_length=1)]
    known: Known = Known()


class ConnectorMatch(Record):
    """The person's answer: a half in the target's documents is, or is not, that half in this vehicle's."""

    id: RecordId
    target: HalfKey
    vehicle: HalfKey
    is_same: bool = True
    known: Known = Known()


ColumnMeaning = Literal[
    "part",
    "connector",
    "half",
    "pin",
    "pin text",
    "name",
    "colour",
    "area_mm2",
    "length_m",
    "other part",
    "other connector",
    "other half",
    "other pin",
    "other pin text",
    "when",
]
"""pin text: part, connector and pin in one cell (`TCU C1:12`)."""


class ListColumn(Record):
    """What one column of a list means."""

    heading: Name
    means: ColumnMeaning


class ListLayout(Record):
    """How lists with these headings are read: mapped once, remembered."""

    id: RecordId
    columns: Annotated[tuple[ListColumn, ...], Field(min_length=1)]
