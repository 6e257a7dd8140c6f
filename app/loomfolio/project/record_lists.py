"""The lists of the document: what each is called, what its records are, and how their ids begin.

One table serves the edits, the comparison of documents, the journal and the checks, so that a list
added to `Project` cannot be forgotten in one of them (a test holds the table against the model).
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Literal, NamedTuple, TypeAlias, get_args

from pydantic import JsonValue, TypeAdapter

from loomfolio.project.circuits import (
    CircuitNote,
    ElectricNote,
    ElectricState,
    FuseNote,
    LoadNote,
    RelayNote,
    ResistanceNote,
    RuleAcceptance,
    SupplyNote,
)
from loomfolio.project.marks import (
    ApartMark,
    BodyMark,
    JoinMark,
    LeadMark,
    LineMark,
    Mark,
    NameMark,
    NotConductorMark,
)
from loomfolio.project.models import (
    Acceptance,
    CableGroup,
    Confirmation,
    Fit,
    Harness,
    Lead,
    Link,
    Mate,
    Part,
    Project,
    Reference,
    Sheet,
)
from loomfolio.project.proof import Doing, MeterReading, Signature
from loomfolio.project.specimens import (
    BarEntry,
    Baseline,
    CavityEntry,
    ConnectorMatch,
    GapClosure,
    HalfEntry,
    HeaderEntry,
    LeadEntry,
    ListLayout,
    PositionEntry,
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

JsonObject: TypeAlias = dict[str, JsonValue]

AnyMark: TypeAlias = (
    NameMark | LeadMark | LineMark | JoinMark | ApartMark | NotConductorMark | BodyMark
)
AnyEntry: TypeAlias = CavityEntry | HeaderEntry | PositionEntry | HalfEntry | BarEntry | LeadEntry
AnyNote: TypeAlias = CircuitNote | LoadNote | SupplyNote | FuseNote | ResistanceNote | RelayNote
AnyRecord: TypeAlias = (
    Sheet
    | Part
    | Reference
    | Mate
    | Lead
    | CableGroup
    | Harness
    | Fit
    | Specimen
    | AnyMark
    | Link
    | Confirmation
    | Acceptance
    | AnyEntry
    | Baseline
    | GapClosure
    | ConnectorMatch
    | ListLayout
    | Doing
    | MeterReading
    | Signature
    | AnyNote
    | ElectricState
    | RuleAcceptance
    | Zone
    | ZoneWay
    | Placement
    | Operation
    | WorkStep
    | StepOrder
    | EffortRow
    | HousingTerminal
)
"""A record with an id of its own."""

ListName = Literal[
    "sheets",
    "parts",
    "references",
    "mates",
    "leads",
    "groups",
    "harnesses",
    "fits",
    "specimens",
    "marks",
    "links",
    "confirmations",
    "acceptances",
    "survey",
    "baselines",
    "closures",
    "matches",
    "layouts",
    "doings",
    "meter_readings",
    "signatures",
    "electric_notes",
    "states",
    "accepted_rules",
    "zones",
    "zone_ways",
    "placements",
    "operations",
    "work_steps",
    "step_orders",
    "effort_rows",
    "terminals",
]
LIST_NAMES: tuple[ListName, ...] = get_args(ListName)


class RecordList(NamedTuple):
    """One list of the document: the word for a record of it, and what such a record is."""

    word: str
    adapter: TypeAdapter[AnyRecord]

    @property
    def prefix(self) -> str:
        """How the ids of its records begin: `cable group` becomes `group`."""
        return self.word.rpartition(" ")[2]


RECORD_LISTS: Mapping[ListName, RecordList] = {
    "sheets": RecordList("sheet", TypeAdapter(Sheet)),
    "parts": RecordList("part", TypeAdapter(Part)),
    "references": RecordList("reference", TypeAdapter(Reference)),
    "mates": RecordList("mate", TypeAdapter(Mate)),
    "leads": RecordList("lead", TypeAdapter(Lead)),
    "groups": RecordList("cable group", TypeAdapter(CableGroup)),
    "harnesses": RecordList("harness", TypeAdapter(Harness)),
    "fits": RecordList("fit", TypeAdapter(Fit)),
    "specimens": RecordList("specimen", TypeAdapter(Specimen)),
    "marks": RecordList("mark", TypeAdapter(Mark)),
    "links": RecordList("link", TypeAdapter(Link)),
    "confirmations": RecordList("confirmation", TypeAdapter(Confirmation)),
    "acceptances": RecordList("acceptance", TypeAdapter(Acceptance)),
    "survey": RecordList("survey entry", TypeAdapter(SurveyEntry)),
    "baselines": RecordList("baseline", TypeAdapter(Baseline)),
    "closures": RecordList("gap closure", TypeAdapter(GapClosure)),
    "matches": RecordList("connector match", TypeAdapter(ConnectorMatch)),
    "layouts": RecordList("list layout", TypeAdapter(ListLayout)),
    "doings": RecordList("tick", TypeAdapter(Doing)),
    "meter_readings": RecordList("meter reading", TypeAdapter(MeterReading)),
    "signatures": RecordList("signature", TypeAdapter(Signature)),
    "electric_notes": RecordList("electric note", TypeAdapter(ElectricNote)),
    "states": RecordList("electric state", TypeAdapter(ElectricState)),
    "accepted_rules": RecordList("accepted rule", TypeAdapter(RuleAcceptance)),
    "zones": RecordList("zone", TypeAdapter(Zone)),
    "zone_ways": RecordList("zone way", TypeAdapter(ZoneWay)),
    "placements": RecordList("placement", TypeAdapter(Placement)),
    "operations": RecordList("operation", TypeAdapter(Operation)),
    "work_steps": RecordList("work step", TypeAdapter(WorkStep)),
    "step_orders": RecordList("step order", TypeAdapter(StepOrder)),
    "effort_rows": RecordList("effort", TypeAdapter(EffortRow)),
    "terminals": RecordList("terminal", TypeAdapter(HousingTerminal)),
}


def records_of(project: Project, name: ListName) -> tuple[AnyRecord, ...]:
    """Return one of the document's lists by its name."""
    records: tuple[AnyRecord, ...] = getattr(project, name)
    return records


def record_data(record: AnyRecord) -> JsonObject:
    """Return a record as it is written: what equals its default is left out, but never a kind."""
    data: JsonObject = record.model_dump(mode="json", exclude_defaults=True, warnings=False)
    if isinstance(record, AnyMark | AnyEntry | AnyNote):
        return {"id": record.id, "kind": record.kind, **data}
    return data


def reads_back(name: ListName, record: AnyRecord) -> bool:
    """Is what is written for a record read as the same record? Not so where it was never checked."""
    try:
        written = json.dumps(record_data(record))
        return RECORD_LISTS[name].adapter.validate_json(written, strict=True) == record
    except ValueError:
        return False
