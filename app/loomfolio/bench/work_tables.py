"""The plan of the work as lines with columns that stay: leads, joints, parts and material, steps.

CSV, XLSX and JSON carry the same columns, made from the fields; their names are a contract. The JSON is
`loomfolio.work/1`; its schema is published as `assets/schemas/work-1.schema.json`. After a change of the columns:

    PYTHONPATH=app python -c "from loomfolio.bench import write_work_schema; write_work_schema()"
"""

from __future__ import annotations

from pathlib import Path
from typing import Final, Literal

from pydantic import BaseModel, ConfigDict, Field

from loomfolio.basics import asset_path
from loomfolio.bench.joint_sheet import PrintedPlanJoint, printed_joints, ring_out_first, tool_of
from loomfolio.bench.json_records import record_bytes, schema_text
from loomfolio.bench.plan_words import PlanWords
from loomfolio.bench.spreadsheets import Table
from loomfolio.bench.tables import Line
from loomfolio.electrics import Figure
from loomfolio.retrofit import PlannedJoint, PlannedLead

WORK_SCHEMA: Final = "loomfolio.work/1"
WORK_SCHEMA_PATH = asset_path("schemas", "work-1.schema.json")


class PlanLeadLine(Line):
    """One new lead."""

    lead: str = Field(description="number on this version of the pack, N1 and on")
    net: str
    a: str = Field(description="first end: a pin, or the number of a joint")
    a_terminal: str
    a_strip_mm: float | None
    a_seal: str
    b: str
    b_terminal: str
    b_strip_mm: float | None
    b_seal: str
    colour: str
    size: str = Field(description="as it is ordered: mm² or AWG")
    area_mm2: float | None
    insulation: str
    length_m: float | None = Field(description="empty: measure on the vehicle")
    length_reason: str
    zones: tuple[str, ...]
    group: str
    sleeve: str
    load_a: float | None
    fuse: str
    bought: bool = Field(description="part of an assembly: not cut here")
    released: bool
    doubts: tuple[str, ...]
    done: bool
    key: str


class PlanJointLine(Line):
    """One joint."""

    joint: str = Field(description="number on this version of the pack, J1 and on")
    joint_kind: str
    net: str
    vehicle_lead: tuple[str, ...] = Field(description="the ends of the lead that it lies in")
    vehicle_colour: str = Field(description="as seen, otherwise as drawn")
    drawn_colour: str = Field(description="as drawn, where what was seen differs")
    new_leads: tuple[str, ...]
    near: str
    distance_mm: float | None
    stagger_mm: float | None
    strip_mm: float | None
    pull_force_n: float | None
    sleeve: str
    sealed: bool
    tool: str
    zone: str
    stubs: tuple[str, ...]
    ring_out_first: str
    instruction: str
    released: bool
    doubts: tuple[str, ...]
    done: bool
    key: str


class PlanItemLine(Line):
    """A part or material with its sum."""

    count: float
    unit: str
    item: str
    rating: str
    used_for: tuple[str, ...]
    notes: tuple[str, ...]


class PlanStepLine(Line):
    """One step in its order."""

    step: int
    title: str
    kind: str
    zone: str
    makes: tuple[str, ...]
    hold_point: tuple[str, ...] = Field(description="what has to be read before anybody goes on")
    blocked_by: str
    hours_least: float
    hours_most: float
    done: bool
    key: str


class WorkRecord(BaseModel):
    """The plan of the work."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    format: Literal["loomfolio.work/1"] = Field(default=WORK_SCHEMA, alias="schema")
    job: str
    open_gaps: tuple[str, ...] = Field(description="keys of the gaps without a chosen operation")
    leads: tuple[PlanLeadLine, ...]
    joints: tuple[PlanJointLine, ...]
    items: tuple[PlanItemLine, ...]
    steps: tuple[PlanStepLine, ...]


PLAN_LEAD_COLUMNS = tuple(PlanLeadLine.model_fields)
PLAN_JOINT_COLUMNS = tuple(PlanJointLine.model_fields)
PLAN_ITEM_COLUMNS = tuple(PlanItemLine.model_fields)
PLAN_STEP_COLUMNS = tuple(PlanStepLine.model_fields)


def _value(figure: Figure | None) -> float | None:
    return None if figure is None else figure.value


def plan_lead_lines(words: PlanWords) -> tuple[PlanLeadLine, ...]:
    """Return one line for each new lead."""
    return tuple(_lead_line(words, lead) for lead in words.plan.leads)


def _lead_line(words: PlanWords, lead: PlannedLead) -> PlanLeadLine:
    a, b = lead.ends
    return PlanLeadLine(
        lead=words.lead_numbers[lead.key],
        net=lead.net_name,
        a=words.end(a),
        a_terminal=a.terminal,
        a_strip_mm=_value(a.strip_mm),
        a_seal=a.seal,
        b=words.end(b),
        b_terminal=b.terminal,
        b_strip_mm=_value(b.strip_mm),
        b_seal=b.seal,
        colour=lead.colour.text if lead.colour else "",
        size=lead.size,
        area_mm2=lead.area_mm2,
        insulation=lead.insulation,
        length_m=_value(lead.length_m),
        length_reason=lead.length_reason,
        zones=tuple(words.zone_text(zone) for zone in lead.zones),
        group=lead.group,
        sleeve=lead.sleeve,
        load_a=_value(lead.load_a),
        fuse=lead.fuse_text,
        bought=lead.is_bought,
        released=lead.released,
        doubts=lead.doubts,
        done=words.is_done(lead.key),
        key=lead.key,
    )


def plan_joint_lines(words: PlanWords) -> tuple[PlanJointLine, ...]:
    """Return one line for each joint."""
    printed = {
        joint.number: joint
        for joint in printed_joints(PlanWords(words.project, words.job, words.plan))
    }
    return tuple(_joint_line(words, joint, printed) for joint in words.plan.joints)


def _joint_line(
    words: PlanWords, joint: PlannedJoint, printed: dict[str, PrintedPlanJoint]
) -> PlanJointLine:
    number = words.joint_numbers[joint.key]
    stubs = printed[number].stubs
    own = [stub for stub in stubs if stub.whose == "VEHICLE"]
    return PlanJointLine(
        joint=number,
        joint_kind=joint.kind,
        net=joint.net_name,
        vehicle_lead=tuple(words.node(node) for node in joint.lead_ends or ()),
        vehicle_colour=own[0].wire.text if own else "",
        drawn_colour=own[0].drawn if own else "",
        new_leads=tuple(stub.number for stub in stubs if stub.whose != "VEHICLE"),
        near=joint.near_half,
        distance_mm=_value(joint.distance_mm),
        stagger_mm=_value(joint.stagger_mm),
        strip_mm=_value(joint.strip_mm),
        pull_force_n=_value(joint.pull_force_n),
        sleeve=joint.sleeve,
        sealed=joint.is_sealed,
        tool=tool_of(joint),
        zone=words.zone_text(joint.zone),
        stubs=joint.stubs,
        ring_out_first=ring_out_first(words, joint),
        instruction=joint.sentence,
        released=joint.released,
        doubts=joint.doubts,
        done=words.is_done(joint.key),
        key=joint.key,
    )


def plan_item_lines(words: PlanWords) -> tuple[PlanItemLine, ...]:
    """Return one line for each part, then one for each material with its sum."""
    numbers = words.lead_numbers | words.joint_numbers
    parts = [
        PlanItemLine(
            count=1,
            unit="piece",
            item=part.what,
            rating=part.rating,
            used_for=(words.side.part_names.get(part.part, ""),) if part.part else (),
            notes=part.notes,
        )
        for part in words.plan.parts
    ]
    material = [
        PlanItemLine(
            count=row.count,
            unit=row.unit,
            item=row.item,
            rating="",
            used_for=tuple(numbers[key] for key in row.of if key in numbers),
            notes=(),
        )
        for row in words.plan.material
    ]
    return (*parts, *material)


def plan_step_lines(words: PlanWords) -> tuple[PlanStepLine, ...]:
    """Return one line for each step, in the order of the work."""
    numbers = words.lead_numbers | words.joint_numbers
    return tuple(
        PlanStepLine(
            step=number,
            title=step.title,
            kind=step.kind,
            zone=words.zone_text(step.zone),
            makes=tuple(numbers[key] for key in step.subjects if key in numbers),
            hold_point=step.hold.to_read if step.hold else (),
            blocked_by=step.blocked_by,
            hours_least=step.hours.least,
            hours_most=step.hours.most,
            done=words.is_done(step.key),
            key=step.key,
        )
        for number, step in enumerate(words.plan.steps, 1)
    )


def plan_lines(words: PlanWords) -> tuple[Line, ...]:
    """Return all lines of a plan: two prints of the same lines say the same."""
    return (
        *plan_lead_lines(words),
        *plan_joint_lines(words),
        *plan_item_lines(words),
        *plan_step_lines(words),
    )


def work_tables(words: PlanWords) -> tuple[Table, ...]:
    """Return the plan as the sheets of a workbook."""
    return (
        _table("leads", PLAN_LEAD_COLUMNS, plan_lead_lines(words)),
        _table("joints", PLAN_JOINT_COLUMNS, plan_joint_lines(words)),
        _table("parts", PLAN_ITEM_COLUMNS, plan_item_lines(words)),
        _table("steps", PLAN_STEP_COLUMNS, plan_step_lines(words)),
    )


def _table(name: str, columns: tuple[str, ...], lines: tuple[Line, ...]) -> Table:
    return Table(name, columns, tuple(line.cells() for line in lines))


def work_json(words: PlanWords) -> bytes:
    """Return the plan of the work as JSON."""
    return record_bytes(
        WorkRecord(
            job=words.project.job.title,
            open_gaps=words.plan.open_gaps,
            leads=plan_lead_lines(words),
            joints=plan_joint_lines(words),
            items=plan_item_lines(words),
            steps=plan_step_lines(words),
        )
    )


def work_schema_text() -> str:
    """Return the JSON Schema (draft 2020-12) of what `work_json` gives, as published."""
    return schema_text(WorkRecord)


def write_work_schema(path: Path = WORK_SCHEMA_PATH) -> None:
    """Write the published schema anew."""
    path.write_text(work_schema_text(), encoding="utf-8")
