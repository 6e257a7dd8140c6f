"""What all edits are made of: make a checked record, add it, swap it, take it out with all that hangs on it.

An edit is a pure function from document to document. It either returns a document in which everything
of `integrity.py` holds, or raises `EditError` with one plain sentence; it shares all that it left alone.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import NamedTuple, TypeVar

from pydantic import BaseModel, ValidationError

from loomfolio.basics import EditError
from loomfolio.project.integrity import Need, Surroundings, namesake, record_faults
from loomfolio.project.models import Project
from loomfolio.project.record_lists import RECORD_LISTS, AnyRecord, ListName, records_of

_PLAINER = {
    "missing": "is missing",
    "extra_forbidden": "is no field that this version knows",
    "string_too_short": "is empty",
    "string_type": "is no text",
    "string_unicode": "holds a character that cannot be written",
    "tuple_type": "is no list",
    "union_tag_invalid": "is of a kind that this version does not know",
    "union_tag_not_found": "has no kind",
    # Python's own reader was content with it before; this one is stricter in one thing only.
    "json_invalid": "a text in it holds a character that cannot be written",
}
"""What the kinds of fault that a person meets most are called; the others are said as they come."""

_M = TypeVar("_M", bound=BaseModel)
_R = TypeVar("_R", bound=AnyRecord)


class Added(NamedTuple):
    """The document with a new record, and the id that the record was given."""

    project: Project
    id: str


def made(record_type: type[_M], word: str, fields: Mapping[str, object]) -> _M:
    """Return a record made from its fields; `EditError` where they do not fit."""
    try:
        return record_type.model_validate(fields)
    except ValidationError as error:
        raise EditError(f"This {word} cannot be kept: {plain_fault(error)}.") from error


def plain_fault(error: ValidationError) -> str:
    """Return the first thing that a record's shape is wrong in, as a clause."""
    first = error.errors(include_url=False, include_input=False)[0]
    place = ".".join(str(part) for part in first["loc"])
    said = first["msg"].removeprefix("Value error, ").removeprefix("Input ")
    what = _PLAINER.get(first["type"]) or f"{said[:1].lower()}{said[1:]}"
    return f"{place} {what}" if place else what


def found(project: Project, name: ListName, record_id: str) -> AnyRecord:
    """Return the record with this id; `EditError` where the list does not hold it."""
    for record in records_of(project, name):
        if record.id == record_id:
            return record
    word = RECORD_LISTS[name].word
    raise EditError(f"There is no {word} {record_id!r} in the project; it may have been removed.")


def add(
    project: Project, name: ListName, record_type: type[_R], fields: Mapping[str, object]
) -> Added:
    """Return the document with a new record at the end of its list, and the new id."""
    serial = project.serial + 1
    record_list = RECORD_LISTS[name]
    new_id = f"{record_list.prefix}-{serial}"
    record = made(record_type, record_list.word, {**fields, "id": new_id})
    after = project.model_copy(
        update={name: (*records_of(project, name), record), "serial": serial}
    )
    return Added(_checked(after, name, record), new_id)


def swap(project: Project, name: ListName, record: AnyRecord) -> Project:
    """Return the document with another state of a record that it holds, in the same place of the list."""
    before = found(project, name, record.id)
    if type(before) is not type(record):
        raise EditError(
            f"{record.id} cannot become another kind of {RECORD_LISTS[name].word};"
            " remove it and put a new one."
        )
    record = made(type(record), RECORD_LISTS[name].word, dict(record))
    if record == before:
        return project
    records = tuple(record if old is before else old for old in records_of(project, name))
    return _checked(project.model_copy(update={name: records}), name, record)


def _checked(project: Project, name: ListName, record: AnyRecord) -> Project:
    word = RECORD_LISTS[name].word
    for fault in record_faults(record, Surroundings(project)):
        raise EditError(f"This {word} cannot be kept: {fault}.")
    other = namesake(project, record)
    if other is not None:
        raise EditError(f"There is already a {word} called {other!r}; choose another name.")
    return project


def take_out(project: Project, name: ListName, ids: Collection[str]) -> Project:
    """Return the document without some records of one list, and without the confirmations of them."""
    for record_id in ids:
        found(project, name, record_id)
    return _without(project, name, frozenset(ids))


def _without(project: Project, name: ListName, ids: frozenset[str]) -> Project:
    if not ids:
        return project
    kept = tuple(record for record in records_of(project, name) if record.id not in ids)
    project = project.model_copy(update={name: kept})
    return withdraw(project, {c.id for c in project.confirmations if c.record in ids})


def withdraw(project: Project, ids: Collection[str]) -> Project:
    """Return the document without some confirmations."""
    if not ids:
        return project
    kept = tuple(c for c in project.confirmations if c.id not in ids)
    return project.model_copy(update={"confirmations": kept})


def put_in(project: Project, name: ListName, records: Collection[AnyRecord]) -> Project:
    """Return the document with one list replaced as a whole; the same document where nothing differs."""
    new = tuple(records)
    old = records_of(project, name)
    if len(new) == len(old) and all(a is b for a, b in zip(new, old, strict=True)):
        return project
    return project.model_copy(update={name: new})


def require(project: Project, *needs: Need) -> None:
    """Refuse with `EditError` where the document does not hold what is spoken of."""
    around = Surroundings(project)
    for need in needs:
        if not around.hold(need):
            raise EditError(
                f"There is no {need.word} {need.id!r} in the project; it may have been removed."
            )
