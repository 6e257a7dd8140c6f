"""Edits at the bench: tick what was done, note how it came out otherwise, keep readings, sign hold points."""

from __future__ import annotations

from datetime import date
from typing import NotRequired, Required, TypedDict, Unpack

from loomfolio.basics import EditError
from loomfolio.project.editing import Added, add, made, swap, take_out
from loomfolio.project.models import Project
from loomfolio.project.proof import Deviation, Doing, MeterReading, Signature
from loomfolio.project.specimens import Photo


class DoingFields(TypedDict):
    """What `record_doing` takes."""

    subject: Required[str]
    is_done: NotRequired[bool]
    on: NotRequired[date | None]
    by: NotRequired[str]
    photos: NotRequired[tuple[Photo | str, ...]]
    note: NotRequired[str]
    deviations: NotRequired[tuple[Deviation, ...]]


class ReadingFields(TypedDict):
    """What `add_reading` takes."""

    test: Required[str]
    value: NotRequired[float | None]
    unit: NotRequired[str]
    is_over_range: NotRequired[bool]
    text: NotRequired[str]
    instrument: NotRequired[str]
    on: NotRequired[date | None]
    by: NotRequired[str]
    note: NotRequired[str]


def record_doing(project: Project, **fields: Unpack[DoingFields]) -> Added:
    """Return the document with what was done to one subject; recording it again changes what is said."""
    for old in project.doings:
        if old.subject == fields["subject"]:
            changed = made(Doing, "tick", {**dict(old), **fields})
            return Added(swap(project, "doings", changed), old.id)
    return add(project, "doings", Doing, fields)


def withdraw_doing(project: Project, doing_id: str) -> Project:
    """Return the document in which one thing was not done."""
    return take_out(project, "doings", [doing_id])


def add_reading(project: Project, **fields: Unpack[ReadingFields]) -> Added:
    """Return the document with one more reading; earlier ones of the same test stay beside it."""
    return add(project, "meter_readings", MeterReading, fields)


def remove_reading(project: Project, reading_id: str) -> Project:
    """Return the document without one reading, as after a slip of the fingers."""
    return take_out(project, "meter_readings", [reading_id])


def sign_hold(
    project: Project, *, hold: str, by: str, read: str = "", on: date | None = None
) -> Added:
    """Return the document with a hold point signed.

    Raises
    ------
    EditError
        Nobody signs, or it is signed already: a signature is withdrawn before another one is given.
    """
    if not by.strip():
        raise EditError("A hold point is signed by a person; write the name.")
    if any(old.hold == hold for old in project.signatures):
        raise EditError("This hold point is signed already; withdraw that signature first.")
    return add(
        project, "signatures", Signature, {"hold": hold, "by": by.strip(), "read": read, "on": on}
    )


def withdraw_signature(project: Project, signature_id: str) -> Project:
    """Return the document in which a hold point is open again."""
    return take_out(project, "signatures", [signature_id])
