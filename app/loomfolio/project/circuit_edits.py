"""Edits of what is known of the circuits: notes, states, and rules that are let stand.

Of one subject there is one note; noting it again changes it in its place.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import NotRequired, Required, TypedDict, Unpack

from loomfolio.basics import EditError
from loomfolio.project.circuits import (
    CircuitClass,
    CircuitNote,
    ElectricState,
    FuseKind,
    FuseNote,
    LoadNote,
    PinDrive,
    RelayLayout,
    RelayNote,
    ResistanceNote,
    RuleAcceptance,
    SupplyNote,
    Suppression,
    WaySetting,
)
from loomfolio.project.editing import Added, add, made, swap, take_out
from loomfolio.project.facts import STATED, Known, PinKey
from loomfolio.project.models import Project
from loomfolio.project.record_lists import AnyNote


def note_subject(note: AnyNote) -> tuple[object, ...]:
    """Return what a note is about: two notes with the same subject cannot both stand."""
    match note:
        case CircuitNote():
            return (note.kind, note.pin, note.circuit)
        case LoadNote():
            return (note.kind, note.pin, note.back)
        case SupplyNote():
            return (note.kind, note.pin)
        case FuseNote() | RelayNote():
            return (note.kind, note.part)
        case ResistanceNote():
            return (note.kind, frozenset(note.ends))


def _note(project: Project, kind: type[AnyNote], fields: Mapping[str, object]) -> Added:
    draft = made(kind, "electric note", {**fields, "id": "note-0"})
    for old in project.electric_notes:
        if note_subject(old) == note_subject(draft):
            changed = draft.model_copy(update={"id": old.id})
            return Added(swap(project, "electric_notes", changed), old.id)
    return add(project, "electric_notes", kind, fields)


def note_circuit(
    project: Project,
    *,
    pin: PinKey,
    circuit: CircuitClass,
    voltage_v: float | None = None,
    kbit_per_s: float | None = None,
    known: Known = STATED,
) -> Added:
    """Return the document with the class of the net that a pin belongs to."""
    fields = {"pin": pin, "circuit": circuit, "voltage_v": voltage_v, "kbit_per_s": kbit_per_s}
    return _note(project, CircuitNote, {**fields, "known": known})


class LoadFields(TypedDict):
    """What `note_load` takes."""

    pin: Required[PinKey]
    current_a: Required[float]
    back: NotRequired[PinKey | None]
    inrush_a: NotRequired[float | None]
    inrush_s: NotRequired[float | None]
    duty_share: NotRequired[float]
    note: NotRequired[str]
    known: NotRequired[Known]


def note_load(project: Project, **fields: Unpack[LoadFields]) -> Added:
    """Return the document with what is drawn at a pin."""
    return _note(project, LoadNote, fields)


class SupplyFields(TypedDict):
    """What `note_supply` takes."""

    pin: Required[PinKey]
    voltage_v: Required[float]
    back: NotRequired[PinKey | None]
    source_ohm: NotRequired[float | None]
    fuse_a: NotRequired[float | None]
    note: NotRequired[str]
    known: NotRequired[Known]


def note_supply(project: Project, **fields: Unpack[SupplyFields]) -> Added:
    """Return the document with a source at a pin."""
    return _note(project, SupplyNote, fields)


def note_fuse(
    project: Project,
    *,
    part: str,
    rating_a: float,
    fuse_kind: FuseKind = "other",
    rated_v: float | None = None,
    known: Known = STATED,
) -> Added:
    """Return the document with the rating of a fuse."""
    fields = {"part": part, "rating_a": rating_a, "fuse_kind": fuse_kind, "rated_v": rated_v}
    return _note(project, FuseNote, {**fields, "known": known})


def note_resistance(
    project: Project, *, ends: tuple[PinKey, PinKey], ohm: float, known: Known = STATED
) -> Added:
    """Return the document with the resistance between two pins of a part."""
    return _note(project, ResistanceNote, {"ends": ends, "ohm": ohm, "known": known})


def note_relay(
    project: Project,
    *,
    part: str,
    suppression: Suppression = "unknown",
    layout: RelayLayout = "unknown",
    socket_layout: RelayLayout = "unknown",
    known: Known = STATED,
) -> Added:
    """Return the document with how a relay is suppressed and laid out."""
    fields = {"part": part, "suppression": suppression, "layout": layout}
    return _note(project, RelayNote, {**fields, "socket_layout": socket_layout, "known": known})


def remove_notes(project: Project, ids: Collection[str]) -> Project:
    """Return the document without some electric notes."""
    return take_out(project, "electric_notes", ids)


# ------------------------------------------------------------------------------------------- states


class StateFields(TypedDict):
    """What `add_state` takes."""

    name: Required[str]
    supplies: NotRequired[tuple[PinKey, ...]]
    settings: NotRequired[tuple[WaySetting, ...]]
    drives: NotRequired[tuple[PinDrive, ...]]
    note: NotRequired[str]


def add_state(project: Project, **fields: Unpack[StateFields]) -> Added:
    """Return the document with one more state of the vehicle; its name must be free."""
    return add(project, "states", ElectricState, {**fields, "name": fields["name"].strip()})


def change_state(project: Project, state: ElectricState) -> Project:
    """Return the document with one state as it is now."""
    return swap(project, "states", state)


def remove_state(project: Project, state_id: str) -> Project:
    """Return the document without one state."""
    return take_out(project, "states", [state_id])


# -------------------------------------------------------------------------------------------- rules


def accept_rule(project: Project, rule: str, reason: str) -> Added:
    """Return the document in which all findings of a rule are let stand, with the reason.

    Raises
    ------
    EditError
        There is no reason: what is let stand is let stand by somebody, for something.
    """
    if not reason.strip():
        raise EditError("A rule is let stand only with a reason; write it.")
    fields = {"rule": rule, "reason": reason.strip()}
    for old in project.accepted_rules:
        if old.rule == rule:
            changed = made(RuleAcceptance, "accepted rule", {**fields, "id": old.id})
            return Added(swap(project, "accepted_rules", changed), old.id)
    return add(project, "accepted_rules", RuleAcceptance, fields)


def withdraw_rule_acceptance(project: Project, acceptance_id: str) -> Project:
    """Return the document in which a rule speaks again."""
    return take_out(project, "accepted_rules", [acceptance_id])
