"""Edits of what was seen: survey entries, baselines, closed gaps, connector matches, layouts of lists.

Of one thing on one specimen there is one entry; recording it again replaces it in its place. What lies
in a cavity can be recorded only where it is settled from which side its half was looked at: a face
read from the wrong side is a mirror image, and every entry of it would be wrong.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import date
from typing import Literal, NotRequired, Required, TypedDict, Unpack

from loomfolio.basics import EditError
from loomfolio.project.editing import Added, add, made, swap, take_out
from loomfolio.project.facts import STATED, HalfKey, Known, LeadColour, PinKey
from loomfolio.project.models import Project
from loomfolio.project.record_lists import AnyEntry
from loomfolio.project.specimens import (
    SEEN,
    BarEntry,
    Baseline,
    CavityEntry,
    CavityState,
    ConnectorMatch,
    FaceSide,
    FaultCode,
    FunctionCheck,
    GapClosure,
    HalfEntry,
    HalfState,
    HeaderEntry,
    HeaderState,
    LeadEntry,
    ListColumn,
    ListLayout,
    Photo,
    PositionEntry,
    PositionGrade,
)

# ------------------------------------------------------------------------------------------- survey


def subject_of(entry: AnyEntry) -> tuple[object, ...]:
    """Return what an entry is about: two entries of one specimen with the same subject cannot both stand."""
    match entry:
        case CavityEntry() | HeaderEntry():
            return (entry.kind, entry.pin)
        case PositionEntry():
            return (entry.kind, entry.part)
        case HalfEntry():
            return (entry.kind, entry.half)
        case BarEntry():
            return (entry.kind, entry.part, entry.label)
        case LeadEntry():
            return (entry.kind, frozenset(entry.ends))


def _record(project: Project, kind: type[AnyEntry], fields: Mapping[str, object]) -> Added:
    """Add an entry, or put it in the place of the one that is about the same thing."""
    draft = made(kind, "survey entry", {**fields, "id": "entry-0"})
    for old in project.survey:
        if old.specimen == draft.specimen and subject_of(old) == subject_of(draft):
            return Added(swap(project, "survey", draft.model_copy(update={"id": old.id})), old.id)
    return add(project, "survey", kind, fields)


class HalfEntryFields(TypedDict):
    """What `record_half` takes."""

    specimen: Required[str]
    half: Required[HalfKey]
    viewed_from: Required[FaceSide]
    state: NotRequired[HalfState]
    bridged: NotRequired[tuple[str, ...]]
    note: NotRequired[str]
    known: NotRequired[Known]


def record_half(project: Project, **fields: Unpack[HalfEntryFields]) -> Added:
    """Return the document with a half looked at; this settles the side for its cavities.

    A half with recorded cavities keeps its side: what was seen from one side is not true of the other.
    """
    before = half_entry(project, fields["specimen"], fields["half"])
    if (
        before is not None
        and before.viewed_from not in {fields["viewed_from"], "unknown"}
        and cavity_entries(project, fields["specimen"], fields["half"])
    ):
        raise EditError(
            f"The cavities of this half were looked at from the {before.viewed_from};"
            " remove what was recorded of them before you look from the other side."
        )
    return _record(project, HalfEntry, fields)


class CavityFields(TypedDict):
    """What `record_cavity` takes."""

    specimen: Required[str]
    pin: Required[PinKey]
    state: Required[CavityState]
    colour: NotRequired[LeadColour | None]
    area_mm2: NotRequired[float | None]
    note: NotRequired[str]
    known: NotRequired[Known]


def record_cavity(project: Project, **fields: Unpack[CavityFields]) -> Added:
    """Return the document with what was seen in one cavity.

    Raises
    ------
    EditError
        The side from which the half was looked at is not settled (`record_half`).
    """
    half = half_entry(project, fields["specimen"], fields["pin"].half_key)
    if half is None or half.viewed_from == "unknown":
        raise EditError(
            "It is not settled from which side this half was looked at; say wire side or mating side first."
        )
    return _record(project, CavityEntry, fields)


def record_header(
    project: Project,
    *,
    specimen: str,
    pin: PinKey,
    state: HeaderState,
    note: str = "",
    known: Known = SEEN,
) -> Added:
    """Return the document with what was seen of a module's own contact, or of what stands behind it."""
    fields = {"specimen": specimen, "pin": pin, "state": state, "note": note, "known": known}
    return _record(project, HeaderEntry, fields)


def record_position(
    project: Project,
    *,
    specimen: str,
    part: str,
    grade: PositionGrade,
    note: str = "",
    known: Known = SEEN,
) -> Added:
    """Return the document with how complete the position of a fuse, relay or other device is."""
    fields = {"specimen": specimen, "part": part, "grade": grade, "note": note, "known": known}
    return _record(project, PositionEntry, fields)


def record_bar(
    project: Project,
    *,
    specimen: str,
    part: str,
    label: str,
    state: Literal["there", "missing"],
    note: str = "",
    known: Known = SEEN,
) -> Added:
    """Return the document with whether a bar of a joint connector is there."""
    fields = {"specimen": specimen, "part": part, "label": label, "state": state}
    return _record(project, BarEntry, {**fields, "note": note, "known": known})


class LeadEntryFields(TypedDict):
    """What `record_lead` takes."""

    specimen: Required[str]
    ends: Required[tuple[PinKey, PinKey]]
    state: Required[Literal["there", "not there", "goes elsewhere"]]
    goes_to: NotRequired[PinKey | None]
    colour: NotRequired[LeadColour | None]
    area_mm2: NotRequired[float | None]
    note: NotRequired[str]
    known: NotRequired[Known]


def record_lead(project: Project, **fields: Unpack[LeadEntryFields]) -> Added:
    """Return the document with a lead that was found, missed, or found to go elsewhere."""
    return _record(project, LeadEntry, fields)


def remove_entries(project: Project, ids: Collection[str]) -> Project:
    """Return the document without some survey entries."""
    return take_out(project, "survey", ids)


def half_entry(project: Project, specimen: str, half: HalfKey) -> HalfEntry | None:
    """Return what is recorded of a half on a specimen as a whole; None where nobody looked."""
    for entry in project.survey:
        if isinstance(entry, HalfEntry) and entry.specimen == specimen and entry.half == half:
            return entry
    return None


def cavity_entries(project: Project, specimen: str, half: HalfKey) -> tuple[CavityEntry, ...]:
    """Return what is recorded of the cavities of a half on a specimen."""
    return tuple(
        entry
        for entry in project.survey
        if isinstance(entry, CavityEntry)
        and entry.specimen == specimen
        and entry.pin.half_key == half
    )


# ----------------------------------------------------------------------------------------- baseline


class BaselineFields(TypedDict):
    """What `add_baseline` takes."""

    specimen: Required[str]
    when: Required[Literal["before", "after"]]
    on: NotRequired[date | None]
    fault_codes: NotRequired[tuple[FaultCode, ...]]
    functions: NotRequired[tuple[FunctionCheck, ...]]
    sleep_current_ma: NotRequired[float | None]
    note: NotRequired[str]
    photos: NotRequired[tuple[Photo | str, ...]]


def add_baseline(project: Project, **fields: Unpack[BaselineFields]) -> Added:
    """Return the document with how a vehicle is before the work, or after it; once each."""
    for old in project.baselines:
        if (old.specimen, old.when) == (fields["specimen"], fields["when"]):
            raise EditError(
                f"How it was {old.when} the work is noted already; change that baseline."
            )
    return add(project, "baselines", Baseline, fields)


def change_baseline(project: Project, baseline: Baseline) -> Project:
    """Return the document with another state of one baseline."""
    return swap(project, "baselines", baseline)


def remove_baseline(project: Project, baseline_id: str) -> Project:
    """Return the document without one baseline."""
    return take_out(project, "baselines", [baseline_id])


# ------------------------------------------------------------------------------ gaps, matches, lists


def close_gap(
    project: Project,
    *,
    gap: str,
    by: Literal["work", "survey", "reason"],
    reason: str,
    known: Known = STATED,
) -> Added:
    """Return the document with a gap closed, for a written reason; closing again changes the reason."""
    if not reason.strip():
        raise EditError(
            "A gap is closed for a reason; write what was done or seen, or why it may stay."
        )
    fields = {"gap": gap, "by": by, "reason": reason.strip(), "known": known}
    for old in project.closures:
        if old.gap == gap:
            changed = made(GapClosure, "gap closure", {**fields, "id": old.id})
            return Added(swap(project, "closures", changed), old.id)
    return add(project, "closures", GapClosure, fields)


def reopen_gap(project: Project, closure_id: str) -> Project:
    """Return the document in which a gap stands open again."""
    return take_out(project, "closures", [closure_id])


def match_connectors(
    project: Project,
    *,
    target: HalfKey,
    vehicle: HalfKey,
    is_same: bool = True,
    known: Known = STATED,
) -> Added:
    """Return the document with the answer whether two halves are the same connector; answering again changes it."""
    fields = {"target": target, "vehicle": vehicle, "is_same": is_same, "known": known}
    if is_same:
        rivals = [
            old.id
            for old in project.matches
            if old.is_same and (old.target == target) != (old.vehicle == vehicle)
        ]
        project = take_out(project, "matches", rivals)
    for old in project.matches:
        if (old.target, old.vehicle) == (target, vehicle):
            changed = made(ConnectorMatch, "connector match", {**fields, "id": old.id})
            return Added(swap(project, "matches", changed), old.id)
    return add(project, "matches", ConnectorMatch, fields)


def withdraw_match(project: Project, match_id: str) -> Project:
    """Return the document without one answer about connectors."""
    return take_out(project, "matches", [match_id])


def remember_layout(project: Project, columns: Sequence[ListColumn]) -> Added:
    """Return the document with how lists with these headings are read; the same headings again replace it."""
    fields = {"columns": tuple(columns)}
    headings = [column.heading for column in columns]
    if len(set(headings)) < len(headings):
        raise EditError("Two columns of this list have the same heading; rename one in the file.")
    for old in project.layouts:
        if {column.heading for column in old.columns} == set(headings):
            changed = made(ListLayout, "list layout", {**fields, "id": old.id})
            return Added(swap(project, "layouts", changed), old.id)
    return add(project, "layouts", ListLayout, fields)
