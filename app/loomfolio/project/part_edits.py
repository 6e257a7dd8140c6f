"""Edits of the things in the vehicle: parts, references, leads, cable groups, harnesses.

Removing a part removes its appearances, its mates, its leads and what was seen of it, and takes it out of
cable groups, harnesses and the scope. Nothing is left that speaks of a part that is not there.
"""

from __future__ import annotations

from typing import Literal, NotRequired, Required, TypedDict, Unpack

from loomfolio.basics import EditError
from loomfolio.project.circuits import ElectricState
from loomfolio.project.editing import Added, add, found, put_in, swap, take_out
from loomfolio.project.facts import STATED, Condition, HalfKey, Known, LeadColour, PinKey
from loomfolio.project.integrity import Need, needs
from loomfolio.project.marks import BodyMark
from loomfolio.project.models import (
    CableGroup,
    Connector,
    Harness,
    InnerWay,
    Lead,
    Part,
    PartKind,
    Project,
    Reference,
)
from loomfolio.project.record_lists import ListName, records_of

# -------------------------------------------------------------------------------------------- parts


class PartFields(TypedDict):
    """What `add_part` takes."""

    name: Required[str]
    kind: NotRequired[PartKind]
    connectors: NotRequired[tuple[Connector, ...]]
    ways: NotRequired[tuple[InnerWay, ...]]
    reference: NotRequired[str | None]
    when: NotRequired[Condition]
    note: NotRequired[str]
    known: NotRequired[Known]


def add_part(project: Project, **fields: Unpack[PartFields]) -> Added:
    """Return the document with one more thing in the vehicle; its name must be free."""
    return add(project, "parts", Part, {**fields, "name": fields["name"].strip()})


def change_part(project: Project, part: Part) -> Project:
    """Return the document with another state of one part."""
    return swap(project, "parts", part)


def rename_part(project: Project, part_id: str, name: str) -> Project:
    """Return the document with one part called `name`."""
    part = found(project, "parts", part_id)
    return swap(project, "parts", part.model_copy(update={"name": name.strip()}))


def remove_part(project: Project, part_id: str) -> Project:
    """Return the document without one part and without all that hangs on it."""
    project = take_out(project, "parts", [part_id])
    bodies = [m.id for m in project.marks if isinstance(m, BodyMark) and m.part == part_id]
    project = take_out(project, "marks", bodies)
    mates = [m.id for m in project.mates if part_id in {m.a.part, m.b.part}]
    project = take_out(project, "mates", mates)
    leads = [lead.id for lead in project.leads if part_id in {end.part for end in lead.ends}]
    project = take_out(project, "leads", leads)
    project = _thin_groups(project, part_id)
    project = put_in(project, "harnesses", [_thinned(h, part_id) for h in project.harnesses])
    project = put_in(project, "states", [_without_part(s, part_id) for s in project.states])
    speakers: tuple[ListName, ...] = (
        "survey",
        "matches",
        "electric_notes",
        "placements",
        "terminals",
    )
    for name in speakers:
        gone = [
            record.id
            for record in records_of(project, name)
            if Need("part", part_id) in set(needs(record))
        ]
        project = take_out(project, name, gone)
    scope = tuple(half for half in project.job.scope if half.part != part_id)
    if scope == project.job.scope:
        return project
    return project.model_copy(update={"job": project.job.model_copy(update={"scope": scope})})


def _thin_groups(project: Project, part_id: str) -> Project:
    groups: list[CableGroup] = []
    for group in project.groups:
        pins = tuple(pair for pair in group.pins if part_id not in {pin.part for pin in pair})
        ends = tuple(pin for pin in group.screen_ends if pin.part != part_id)
        if (pins, ends) == (group.pins, group.screen_ends):
            groups.append(group)
        else:
            groups.append(group.model_copy(update={"pins": pins, "screen_ends": ends}))
    return put_in(project, "groups", groups)


def _thinned(harness: Harness, part_id: str) -> Harness:
    ends = tuple(end for end in harness.ends if end.part != part_id)
    return harness if ends == harness.ends else harness.model_copy(update={"ends": ends})


def _without_part(state: ElectricState, part_id: str) -> ElectricState:
    """The state with nothing said of a part; the same record where it said nothing."""
    told = {
        "supplies": tuple(pin for pin in state.supplies if pin.part != part_id),
        "settings": tuple(one for one in state.settings if one.ends[0].part != part_id),
        "drives": tuple(one for one in state.drives if one.pin.part != part_id),
    }
    if all(getattr(state, name) == left for name, left in told.items()):
        return state
    return state.model_copy(update=told)


# --------------------------------------------------------------------------------------- references


def add_reference(
    project: Project,
    *,
    name: str,
    kind: Literal["chassis", "sensor ground", "case", "screen", "traction minus", "other"],
    when: str = "",
) -> Added:
    """Return the document with one more node that others are measured against."""
    return add(project, "references", Reference, {"name": name.strip(), "kind": kind, "when": when})


def change_reference(project: Project, reference: Reference) -> Project:
    """Return the document with another state of one reference."""
    return swap(project, "references", reference)


def remove_reference(project: Project, reference_id: str) -> Project:
    """Return the document without one reference; parts that stood on it then stand on none."""
    project = take_out(project, "references", [reference_id])
    parts = [
        part.model_copy(update={"reference": None}) if part.reference == reference_id else part
        for part in project.parts
    ]
    return put_in(project, "parts", parts)


# -------------------------------------------------------------------- leads, cable groups, harnesses


class LeadFields(TypedDict):
    """What `add_lead` takes."""

    ends: Required[tuple[PinKey, PinKey]]
    name: NotRequired[str]
    colour: NotRequired[LeadColour | None]
    area_mm2: NotRequired[float | None]
    length_m: NotRequired[float | None]
    insulation: NotRequired[str]
    harness: NotRequired[str | None]
    when: NotRequired[Condition]
    known: NotRequired[Known]


def add_lead(project: Project, **fields: Unpack[LeadFields]) -> Added:
    """Return the document with a real wire between two pins."""
    _check_ends(fields["ends"])
    return add(project, "leads", Lead, fields)


def change_lead(project: Project, lead: Lead) -> Project:
    """Return the document with another state of one lead."""
    _check_ends(lead.ends)
    return swap(project, "leads", lead)


def remove_lead(project: Project, lead_id: str) -> Project:
    """Return the document without one lead, and without the confirmations of it."""
    return take_out(project, "leads", [lead_id])


def _check_ends(ends: tuple[PinKey, PinKey]) -> None:
    if ends[0] == ends[1]:
        raise EditError("A lead has two ends; choose another pin for the second one.")


def add_group(
    project: Project,
    *,
    name: str,
    kind: Literal["pair", "twist", "screen", "cable"],
    pins: tuple[tuple[PinKey, PinKey], ...] = (),
    screen_ends: tuple[PinKey, ...] = (),
    when: str = "",
    known: Known = STATED,
) -> Added:
    """Return the document with leads that belong together, each given by its two pins."""
    fields = {"name": name.strip(), "kind": kind, "pins": pins, "screen_ends": screen_ends}
    return add(project, "groups", CableGroup, {**fields, "when": when, "known": known})


def change_group(project: Project, group: CableGroup) -> Project:
    """Return the document with another state of one cable group."""
    return swap(project, "groups", group)


def remove_group(project: Project, group_id: str) -> Project:
    """Return the document without one cable group; its leads stay."""
    return take_out(project, "groups", [group_id])


def add_harness(
    project: Project,
    *,
    name: str,
    part_number: str = "",
    ends: tuple[HalfKey, ...] = (),
    when: str = "",
) -> Added:
    """Return the document with one more loom and the halves at its ends."""
    fields = {"name": name.strip(), "part_number": part_number.strip(), "ends": ends}
    return add(project, "harnesses", Harness, {**fields, "when": when})


def change_harness(project: Project, harness: Harness) -> Project:
    """Return the document with another state of one harness."""
    return swap(project, "harnesses", harness)


def remove_harness(project: Project, harness_id: str) -> Project:
    """Return the document without one harness; its leads stay and belong to none."""
    project = take_out(project, "harnesses", [harness_id])
    leads = [
        lead.model_copy(update={"harness": None}) if lead.harness == harness_id else lead
        for lead in project.leads
    ]
    specimens = [
        specimen.model_copy(update={"harness": None})
        if specimen.harness == harness_id
        else specimen
        for specimen in project.specimens
    ]
    return put_in(put_in(project, "leads", leads), "specimens", specimens)
