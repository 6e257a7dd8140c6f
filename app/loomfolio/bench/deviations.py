"""What was done otherwise than planned becomes a fact of the document, so that every check runs over it again.

A lead of another size, colour or length changes the operation that it was made for; a joint in another
place its distance; a fuse of another rating the note of that fuse. The plan made anew then holds the new
size against its bounds, and says where it does not serve. What is only told in words stays with the tick.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from loomfolio.basics import EditError
from loomfolio.project import (
    Deviation,
    Doing,
    FuseNote,
    Known,
    LeadColour,
    Operation,
    Project,
    edits,
)
from loomfolio.retrofit import PlannedJoint, PlannedLead, PlannedPart, WorkPlan

_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
DONE = Known(how="seen", source="bench")
"""How a fact is known that was made at the bench."""


def with_deviations(project: Project, plan: WorkPlan) -> Project:
    """Return the document with each deviation of its ticks taken over; the same document where there is none.

    `plan` is the plan that the ticks are about. Taking over twice changes nothing more.

    Raises
    ------
    EditError
        A deviation is no number where one is needed.
    """
    for doing, deviation in _deviations(project):
        project = _taken_over(project, plan, doing, deviation)
    return project


def _deviations(project: Project) -> Iterator[tuple[Doing, Deviation]]:
    for doing in project.doings:
        for deviation in doing.deviations:
            yield doing, deviation


def _taken_over(project: Project, plan: WorkPlan, doing: Doing, one: Deviation) -> Project:
    lead = next((x for x in plan.leads if x.key == doing.subject), None)
    joint = next((x for x in plan.joints if x.key == doing.subject), None)
    part = next((x for x in plan.parts if x.key == doing.subject), None)
    if lead is not None:
        return _lead_done(project, lead, one)
    if joint is not None and one.what == "joint":
        return _joint_done(project, joint, one)
    if part is not None and one.what == "fuse":
        return _fuse_done(project, part, one)
    return project


def _number(one: Deviation) -> float:
    found = _NUMBER.search(one.done)
    if found is None:
        raise EditError(f"{one.done!r} is no number; give the {one.what} as it was done.")
    return float(found[0].replace(",", "."))


def _operations(project: Project, gaps: tuple[str, ...]) -> list[Operation]:
    return [one for one in project.operations if one.gap in gaps]


def _lead_done(project: Project, lead: PlannedLead, one: Deviation) -> Project:
    update: dict[str, object]
    match one.what:
        case "area":
            _number(one)
            unit = " mm²" if one.done.strip().replace(",", ".").replace(".", "").isdigit() else ""
            update = {"size": f"{one.done.strip().replace(',', '.')}{unit}"}
        case "length":
            update = {"length_m": _number(one), "is_measured_on_vehicle": False}
        case "colour":
            base, _, stripe = one.done.partition("/")
            update = {"colour": LeadColour(text=one.done, base=base, stripe=stripe)}
        case _:
            return project
    for operation in _operations(project, lead.gaps):
        changed = operation.model_copy(update={**update, "known": DONE})
        project = edits.change_operation(project, changed)
    return project


def _joint_done(project: Project, joint: PlannedJoint, one: Deviation) -> Project:
    for operation in _operations(project, joint.gaps):
        update = {"distance_mm": _number(one), "known": DONE}
        project = edits.change_operation(project, operation.model_copy(update=update))
    return project


def _fuse_done(project: Project, part: PlannedPart, one: Deviation) -> Project:
    if part.part is None:
        return project
    notes = (n for n in project.electric_notes if isinstance(n, FuseNote) and n.part == part.part)
    old = next(notes, None)
    return edits.note_fuse(
        project,
        part=part.part,
        rating_a=_number(one),
        fuse_kind=old.fuse_kind if old is not None else "other",
        rated_v=old.rated_v if old is not None else None,
        known=DONE,
    ).project
