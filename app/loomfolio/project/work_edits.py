"""Edits of the work: zones, ways, placements, operations, general steps, their order, effort.

Of one gap there is one operation, of one thing one placement, of one kind of work one row of effort:
setting it again changes it in its place.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import NotRequired, Required, TypedDict, Unpack

from loomfolio.basics import EditError
from loomfolio.project.editing import Added, add, made, swap, take_out
from loomfolio.project.facts import STATED, HalfKey, Known, LeadColour
from loomfolio.project.models import Project
from loomfolio.project.record_lists import AnyRecord, ListName
from loomfolio.project.work import (
    EffortRow,
    HousingTerminal,
    Operation,
    OperationKind,
    Outline,
    Placement,
    StepKind,
    StepOrder,
    Vibration,
    WorkStep,
    Zone,
    ZoneWay,
)

# -------------------------------------------------------------------------------- zones and ways


class ZoneFields(TypedDict):
    """What `add_zone` takes."""

    name: Required[str]
    is_wet: NotRequired[bool | None]
    ambient_c: NotRequired[float | None]
    vibration: NotRequired[Vibration | None]
    covers: NotRequired[tuple[str, ...]]
    outline: NotRequired[Outline | None]
    note: NotRequired[str]
    known: NotRequired[Known]


def add_zone(project: Project, **fields: Unpack[ZoneFields]) -> Added:
    """Return the document with one more zone."""
    return add(project, "zones", Zone, {**fields, "name": fields["name"].strip()})


def change_zone(project: Project, zone: Zone) -> Project:
    """Return the document with another state of one zone."""
    return swap(project, "zones", zone)


def remove_zone(project: Project, zone_id: str) -> Project:
    """Return the document without a zone, its ways and placements; general steps in it lose their zone."""
    project = take_out(project, "zones", [zone_id])
    ways = [way.id for way in project.zone_ways if zone_id in way.zones]
    placed = [one.id for one in project.placements if one.zone == zone_id]
    project = take_out(take_out(project, "zone_ways", ways), "placements", placed)
    for step in project.work_steps:
        if step.zone == zone_id:
            project = swap(project, "work_steps", step.model_copy(update={"zone": None}))
    return project


class WayFields(TypedDict):
    """What `add_zone_way` takes."""

    zones: Required[tuple[str, str]]
    length_m: Required[float]
    opening_mm: NotRequired[float | None]
    label: NotRequired[str]
    course: NotRequired[Outline | None]
    known: NotRequired[Known]


def add_zone_way(project: Project, **fields: Unpack[WayFields]) -> Added:
    """Return the document with one more way between two zones."""
    return add(project, "zone_ways", ZoneWay, fields)


def change_zone_way(project: Project, way: ZoneWay) -> Project:
    """Return the document with another state of one way."""
    return swap(project, "zone_ways", way)


def remove_zone_way(project: Project, way_id: str) -> Project:
    """Return the document without one way."""
    return take_out(project, "zone_ways", [way_id])


def place_thing(
    project: Project, *, part: str, zone: str, half: HalfKey | None = None, known: Known = STATED
) -> Added:
    """Return the document with a part, or one connector half of it, in a zone; placing it again moves it."""
    fields = {"part": part, "half": half, "zone": zone, "known": known}
    for old in project.placements:
        if (old.part, old.half) == (part, half):
            return _told_anew(project, "placements", old, fields)
    return add(project, "placements", Placement, fields)


def remove_placement(project: Project, placement_id: str) -> Project:
    """Return the document in which it is not said where a thing lies."""
    return take_out(project, "placements", [placement_id])


# -------------------------------------------------------------------------------------- operations


class OperationFields(TypedDict):
    """What `choose_operation` takes."""

    gap: Required[str]
    offer: Required[str]
    kind: Required[OperationKind]
    size: NotRequired[str]
    insulation: NotRequired[str]
    colour: NotRequired[LeadColour | None]
    length_m: NotRequired[float | None]
    is_measured_on_vehicle: NotRequired[bool]
    distance_mm: NotRequired[float | None]
    fuse_distance_mm: NotRequired[float | None]
    fuse_a: NotRequired[float | None]
    in_spite_of: NotRequired[str]
    note: NotRequired[str]
    known: NotRequired[Known]


def choose_operation(project: Project, **fields: Unpack[OperationFields]) -> Added:
    """Return the document in which a gap is to be closed by an offer.

    Choosing the same offer again keeps what was set by hand and is not given now; another offer begins anew.
    """
    for old in project.operations:
        if old.gap == fields["gap"]:
            kept = dict(old) if old.offer == fields["offer"] else {}
            return _told_anew(project, "operations", old, {**kept, **fields})
    return add(project, "operations", Operation, fields)


def change_operation(project: Project, operation: Operation) -> Project:
    """Return the document with another state of one operation."""
    return swap(project, "operations", operation)


def withdraw_operations(project: Project, ids: Collection[str]) -> Project:
    """Return the document in which nothing is chosen any more for some gaps."""
    return take_out(project, "operations", ids)


class TerminalFields(TypedDict):
    """What `note_terminal` takes."""

    half: Required[HalfKey]
    name: Required[str]
    pins: NotRequired[tuple[str, ...]]
    least_area_mm2: NotRequired[float | None]
    greatest_area_mm2: NotRequired[float | None]
    least_outside_mm: NotRequired[float | None]
    greatest_outside_mm: NotRequired[float | None]
    current_a: NotRequired[float | None]
    known: NotRequired[Known]


def note_terminal(project: Project, **fields: Unpack[TerminalFields]) -> Added:
    """Return the document with the terminal of a housing, or of some of its cavities; noting it again changes it."""
    for old in project.terminals:
        if (old.half, old.pins) == (fields["half"], fields.get("pins", ())):
            return _told_anew(project, "terminals", old, fields)
    return add(project, "terminals", HousingTerminal, fields)


def remove_terminals(project: Project, ids: Collection[str]) -> Project:
    """Return the document in which it is not said which terminals some housings take."""
    return take_out(project, "terminals", ids)


# ----------------------------------------------------------------------------------- steps, effort


class StepFields(TypedDict):
    """What `add_work_step` takes."""

    title: Required[str]
    kind: NotRequired[StepKind]
    zone: NotRequired[str | None]
    after: NotRequired[tuple[str, ...]]
    before: NotRequired[tuple[str, ...]]
    hours: NotRequired[float]
    note: NotRequired[str]


def add_work_step(project: Project, **fields: Unpack[StepFields]) -> Added:
    """Return the document with one more piece of general work."""
    return add(project, "work_steps", WorkStep, fields)


def change_work_step(project: Project, step: WorkStep) -> Project:
    """Return the document with another state of one piece of general work."""
    return swap(project, "work_steps", step)


def remove_work_step(project: Project, step_id: str) -> Project:
    """Return the document without one piece of general work."""
    return take_out(project, "work_steps", [step_id])


def order_steps(project: Project, *, first: str, then: str, reason: str = "") -> Added:
    """Return the document in which one step comes before another, whatever the plan says.

    What was said about the two the other way round goes.
    """
    turned = [o.id for o in project.step_orders if (o.first, o.then) == (then, first)]
    project = take_out(project, "step_orders", turned)
    fields = {"first": first, "then": then, "reason": reason}
    for old in project.step_orders:
        if (old.first, old.then) == (first, then):
            return _told_anew(project, "step_orders", old, fields)
    return add(project, "step_orders", StepOrder, fields)


def withdraw_order(project: Project, order_id: str) -> Project:
    """Return the document in which the plan orders two steps again."""
    return take_out(project, "step_orders", [order_id])


def set_effort(
    project: Project,
    *,
    work: str,
    hours_least: float,
    hours_most: float,
    cost: float | None = None,
    note: str = "",
) -> Added:
    """Return the document with the person's own figures for a kind of work."""
    if not work.strip():
        raise EditError("Effort is that of a kind of work; name it.")
    fields: dict[str, object] = {"work": work.strip(), "hours_least": hours_least}
    fields |= {"hours_most": hours_most, "cost": cost, "note": note}
    for old in project.effort_rows:
        if old.work == work.strip():
            return _told_anew(project, "effort_rows", old, fields)
    return add(project, "effort_rows", EffortRow, fields)


def withdraw_effort(project: Project, row_id: str) -> Project:
    """Return the document in which the table's figures count again for a kind of work."""
    return take_out(project, "effort_rows", [row_id])


def _told_anew(
    project: Project, name: ListName, old: AnyRecord, fields: Mapping[str, object]
) -> Added:
    record = made(type(old), "record", {**fields, "id": old.id})
    return Added(swap(project, name, record), old.id)
