"""The document: everything that the person knows about the job, and how it is known.

A `Project` is frozen. Its collections are tuples of records with an `id` of their own, so that two
documents can be compared record by record (see `changes.py`) and an edit shares all that it left alone.
Conductors, nets, maps and gaps are *not* here: they are derived.
"""

from __future__ import annotations

from typing import Annotated, Final, Literal, Protocol, Self, TypeVar

from pydantic import ConfigDict, Field, model_validator

from loomfolio.basics import MmPoint
from loomfolio.project.circuits import ElectricNote, ElectricState, RuleAcceptance
from loomfolio.project.facts import (
    Anchor,
    Condition,
    HalfKey,
    InnerPin,
    Known,
    LeadColour,
    Name,
    PinKey,
    Record,
    RecordId,
    ValidFor,
    Vehicle,
)
from loomfolio.project.marks import Mark
from loomfolio.project.proof import Doing, MeterReading, Signature
from loomfolio.project.specimens import (
    Baseline,
    ConnectorMatch,
    FaceSide,
    GapClosure,
    ListLayout,
    Specimen,
    SurveyEntry,
)
from loomfolio.project.work import (
    EffortRow,
    HousingTerminal,
    Operation,
    Placement,
    StepOrder,
    WorkStep,
    Zone,
    ZoneWay,
)

PROJECT_SCHEMA: Final = "loomfolio.project/1"

SheetKind = Literal["circuit", "connector faces", "locations", "fuse box", "table"]
ResolutionSource = Literal["file", "paper size", "person", "assumed"]
PartKind = Literal[
    "module",
    "relay",
    "fuse",
    "switch",
    "lamp",
    "motor",
    "sensor",
    "resistor",
    "diode",
    "battery",
    "inlet",
    "socket",
    "in-line connector",
    "joint connector",
    "splice",
    "ground point",
    "supply",
    "device",
]
JOINED_THROUGHOUT: frozenset[PartKind] = frozenset({"splice", "ground point"})
"""Kinds of part whose pins are all the same metal, whatever is drawn."""


class Sheet(Record):
    """One page of the documents: which file, how large, what it shows, what it is valid for."""

    id: RecordId
    title: Name
    file: str
    page: int = Field(default=1, ge=1)
    sha256: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
    width_px: int = Field(gt=0)
    height_px: int = Field(gt=0)
    x_dpi: float = Field(gt=0)
    y_dpi: float = Field(gt=0)
    resolution_from: ResolutionSource = "assumed"
    kind: SheetKind = "circuit"
    valid_for: ValidFor = ValidFor()
    when: Condition = ""
    is_read: bool = True
    table_at: MmPoint = MmPoint(0.0, 0.0)
    """Where the sheet's top-left corner lies on the light table, mm."""


class Cavity(Record):
    """A position in a connector half that the documents name; a cavity named nowhere is unknown, not empty."""

    pin: Annotated[str, Field(min_length=1, max_length=40)]
    name: Name = ""
    when: Condition = ""
    known: Known = Known()


class Face(Record):
    """How the cavities of a half lie, seen from `side`: rows from the top, each from the left.

    An empty text is a place without a cavity; rows are filled up with it to one length, so that
    mirroring turns each row round and nothing else.
    """

    rows: tuple[tuple[Annotated[str, Field(max_length=40)], ...], ...]
    side: FaceSide = "unknown"
    known: Known = Known()

    @model_validator(mode="after")
    def _one_length(self) -> Self:
        if len({len(row) for row in self.rows}) > 1:
            raise ValueError("the rows of a face are filled up to one length")
        return self


class Half(Record):
    """A housing: one of a part's connectors, or one side of an in-line pair."""

    name: Name = ""
    cavities: tuple[Cavity, ...] = ()
    face: Face | None = None


class Connector(Record):
    """A connector of a part; only in-line pairs have two halves."""

    name: Name = ""
    halves: tuple[Half, ...] = (Half(),)
    when: Condition = ""


class InnerWay(Record):
    """How a part conducts inside: joined (a bar), passes (fuse, switch, contact) or loads (coil, lamp)."""

    relation: Literal["joined", "passes", "loads"]
    pins: Annotated[tuple[InnerPin, ...], Field(min_length=2)]
    label: Name = ""
    at_rest: Literal["open", "closed", "unknown"] = "unknown"
    when: Condition = ""

    @model_validator(mode="after")
    def _two_ends(self) -> Self:
        if self.relation != "joined" and len(self.pins) != 2:
            raise ValueError("a way that passes or loads has exactly two pins")
        return self


class Part(Record):
    """A thing in the vehicle. Its name is unique in the project."""

    id: RecordId
    name: Annotated[str, Field(min_length=1, max_length=200)]
    kind: PartKind = "device"
    connectors: tuple[Connector, ...] = ()
    ways: tuple[InnerWay, ...] = ()
    reference: RecordId | None = None
    when: Condition = ""
    note: str = ""
    known: Known = Known()


class Reference(Record):
    """A node that others are measured against: different ones are never one because they look alike."""

    id: RecordId
    name: Name
    kind: Literal["chassis", "sensor ground", "case", "screen", "traction minus", "other"]
    when: Condition = ""


class PinPair(Record):
    """Two cavities that face each other in a mated pair."""

    a: Annotated[str, Field(min_length=1, max_length=40)]
    b: Annotated[str, Field(min_length=1, max_length=40)]


class Mate(Record):
    """That two halves fit, and which cavity meets which. `n to n` without pairs is only a proposal."""

    id: RecordId
    a: HalfKey
    b: HalfKey
    pairs: tuple[PinPair, ...] = ()
    when: Condition = ""
    known: Known = Known()


class Link(Record):
    """That a conductor on one sheet goes on at a place on another (a page arrow and its target)."""

    id: RecordId
    a: Anchor
    b: Anchor | None = None
    label: Name = ""
    when: Condition = ""
    known: Known = Known()


class Lead(Record):
    """A real wire between two pins, known without a drawing (typed, from a list, seen)."""

    id: RecordId
    ends: tuple[PinKey, PinKey]
    name: Name = ""
    colour: LeadColour | None = None
    area_mm2: float | None = Field(default=None, gt=0)
    length_m: float | None = Field(default=None, gt=0)
    insulation: Name = ""
    harness: RecordId | None = None
    when: Condition = ""
    known: Known = Known()


class CableGroup(Record):
    """Leads that belong together; a screen has its own net and stated ends."""

    id: RecordId
    name: Name
    kind: Literal["pair", "twist", "screen", "cable"]
    pins: tuple[tuple[PinKey, PinKey], ...] = ()
    screen_ends: tuple[PinKey, ...] = ()
    when: Condition = ""
    known: Known = Known()


class Harness(Record):
    """A loom with a part number and the halves at its ends."""

    id: RecordId
    name: Name
    part_number: Name = ""
    ends: tuple[HalfKey, ...] = ()
    when: Condition = ""


class Fit(Record):
    """What the documents say for a set of options. An option in neither list is undetermined."""

    id: RecordId
    name: Annotated[str, Field(min_length=1, max_length=200)]
    options_with: tuple[Name, ...] = ()
    options_without: tuple[Name, ...] = ()


PieceKind = Literal["join", "crossing", "gap", "touch", "end", "link", "mate", "lead", "name"]


class Confirmation(Record):
    """That one piece of a lead's path is right. The piece is named by its place on the paper, or by its record."""

    id: RecordId
    piece: PieceKind
    place: Anchor | None = None
    record: RecordId | None = None
    detail: Name = ""
    """Which part of the record: the cavity pair of a mate (`3=7`), the text of a name."""
    known: Known = Known()

    @model_validator(mode="after")
    def _somewhere(self) -> Self:
        if self.place is None and self.record is None:
            raise ValueError("a confirmation names a place or a record")
        return self


class Acceptance(Record):
    """A finding that the person has looked at and lets stand, with the reason."""

    id: RecordId
    finding: str
    reason: Annotated[str, Field(min_length=1)]


class Job(Record):
    """What is to be done, to which vehicle, and about which connectors."""

    title: Name = ""
    option: Name = ""
    vehicle: Vehicle = Vehicle()
    scope: tuple[HalfKey, ...] = ()
    fit: Name = ""
    target_fit: Name = ""
    """The fit that the vehicle is to be brought to."""
    vehicle_fit: Name = ""
    """The fit that the documents say this vehicle has."""
    cautions: tuple[str, ...] = ()


class Project(Record):
    """The whole document. `serial` grows with each new record, so that no id is ever used twice."""

    model_config = ConfigDict(populate_by_name=True)

    format: Literal["loomfolio.project/1"] = Field(default=PROJECT_SCHEMA, alias="schema")
    serial: int = Field(default=0, ge=0, lt=10**12)
    job: Job = Job()
    sheets: tuple[Sheet, ...] = ()
    parts: tuple[Part, ...] = ()
    references: tuple[Reference, ...] = ()
    mates: tuple[Mate, ...] = ()
    leads: tuple[Lead, ...] = ()
    groups: tuple[CableGroup, ...] = ()
    harnesses: tuple[Harness, ...] = ()
    fits: tuple[Fit, ...] = ()
    specimens: tuple[Specimen, ...] = ()
    marks: tuple[Mark, ...] = ()
    links: tuple[Link, ...] = ()
    confirmations: tuple[Confirmation, ...] = ()
    acceptances: tuple[Acceptance, ...] = ()
    survey: tuple[SurveyEntry, ...] = ()
    baselines: tuple[Baseline, ...] = ()
    closures: tuple[GapClosure, ...] = ()
    matches: tuple[ConnectorMatch, ...] = ()
    layouts: tuple[ListLayout, ...] = ()
    doings: tuple[Doing, ...] = ()
    meter_readings: tuple[MeterReading, ...] = ()
    signatures: tuple[Signature, ...] = ()
    electric_notes: tuple[ElectricNote, ...] = ()
    states: tuple[ElectricState, ...] = ()
    accepted_rules: tuple[RuleAcceptance, ...] = ()
    zones: tuple[Zone, ...] = ()
    zone_ways: tuple[ZoneWay, ...] = ()
    placements: tuple[Placement, ...] = ()
    operations: tuple[Operation, ...] = ()
    work_steps: tuple[WorkStep, ...] = ()
    step_orders: tuple[StepOrder, ...] = ()
    effort_rows: tuple[EffortRow, ...] = ()
    terminals: tuple[HousingTerminal, ...] = ()

    def sheet(self, sheet_id: str) -> Sheet:
        """Return the sheet with this id; `KeyError` if there is none."""
        return _by_id(self.sheets, sheet_id)

    def part(self, part_id: str) -> Part:
        """Return the part with this id; `KeyError` if there is none."""
        return _by_id(self.parts, part_id)


class _HasId(Protocol):
    @property
    def id(self) -> str: ...


_R = TypeVar("_R", bound=_HasId)


def _by_id(records: tuple[_R, ...], record_id: str) -> _R:
    for record in records:
        if record.id == record_id:
            return record
    raise KeyError(record_id)
