"""The journal: one line of JSON per edit, on disk before the screen shows the edit.

A line carries a checksum over the rest of it, the number of the edit, its title, and what changed::

    {"check":"9d1f03ab","schema":"loomfolio.edit/1","edit":13,"title":"Name the net","changes":{…}}

`changes` speaks of the JSON of the document, not of the models, so a journal of an old version can be
applied to the document of that version before both are brought to the present one. Undo and redo
are lines like all others. A line counts when its end-of-line is there: what lies behind the last one is an
edit that was never shown.
"""

from __future__ import annotations

import json
import re
import zlib
from collections.abc import Iterator
from typing import Annotated, NamedTuple

from pydantic import BaseModel, ConfigDict, Field, JsonValue, ValidationError

from loomfolio.project.changes import Changes, ListChange, rebuilt
from loomfolio.project.record_lists import JsonObject, record_data

EDIT_SCHEMA = "loomfolio.edit/1"

_LINE = re.compile(rb'\{"check":"(?P<check>[0-9a-f]{8})",(?P<rest>.*\})\n')


class _Told(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class ToldList(_Told):
    """What changed in one list: ids that went, records in their new state, records with their index, order."""

    removed: tuple[str, ...] = ()
    changed: tuple[JsonObject, ...] = ()
    added: tuple[tuple[Annotated[int, Field(ge=0)], JsonObject], ...] = ()
    order: tuple[str, ...] = ()


class ToldChanges(_Told):
    """What one edit changed, in the JSON of the document."""

    job: JsonObject | None = None
    serial: int | None = None
    lists: dict[str, ToldList] = {}


class ToldEdit(_Told):
    """One edit as its line tells it."""

    format: Annotated[str, Field(alias="schema", pattern=r"^loomfolio\.edit/[1-9][0-9]{0,5}$")]
    edit: Annotated[int, Field(ge=1)]
    title: str
    changes: ToldChanges

    @property
    def version(self) -> int:
        """The version of the document's JSON that the changes speak of."""
        return int(self.format.rpartition("/")[2])


class JournalLine(NamedTuple):
    """An edit, and where its line ends in the file, in bytes."""

    told: ToldEdit
    end: int


class Journal(NamedTuple):
    """What a journal file holds: its whole lines up to the first that is not, and what lies behind them."""

    lines: tuple[JournalLine, ...]
    rest: bytes


class ChangesMisfitError(ValueError):
    """The changes of a line do not fit the document that they are to be applied to."""


def line_bytes(edit: int, title: str, changes: Changes) -> bytes:
    """Return the line that tells one edit, with its end-of-line."""
    body = {"schema": EDIT_SCHEMA, "edit": edit, "title": title, "changes": _told(changes)}
    text = json.dumps(body, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    rest = text.encode(errors="replace")[1:]
    return b'{"check":"%08x",%b\n' % (zlib.crc32(rest), rest)


def _told(changes: Changes) -> JsonObject:
    told: JsonObject = {}
    if changes.job is not None:
        told["job"] = changes.job[1].model_dump(mode="json", exclude_defaults=True)
    if changes.serial is not None:
        told["serial"] = changes.serial[1]
    if changes.lists:
        told["lists"] = {change.name: _told_list(change) for change in changes.lists}
    return told


def _told_list(change: ListChange) -> JsonObject:
    told: JsonObject = {
        "removed": [placed.record.id for placed in change.removed],
        "changed": [record_data(pair.after) for pair in change.changed],
        "added": [[placed.position, record_data(placed.record)] for placed in change.added],
        "order": list(change.order.after) if change.order is not None else [],
    }
    return {key: value for key, value in told.items() if value}


def read_journal(data: bytes) -> Journal:
    """Return the whole lines of a journal; reading stops at the first that is torn or damaged."""
    lines = tuple(_whole_lines(data))
    return Journal(lines, data[lines[-1].end if lines else 0 :])


def _whole_lines(data: bytes) -> Iterator[JournalLine]:
    start = 0
    while end := data.find(b"\n", start) + 1:
        told = _told_edit(data[start:end])
        if told is None:
            return
        yield JournalLine(told, end)
        start = end


def _told_edit(line: bytes) -> ToldEdit | None:
    match = _LINE.fullmatch(line)
    if match is None or int(match["check"], 16) != zlib.crc32(match["rest"]):
        return None
    try:
        return ToldEdit.model_validate_json(b"{" + match["rest"])
    except ValidationError:
        return None


def patched(document: JsonObject, changes: ToldChanges) -> JsonObject:
    """Return the JSON of a document with the changes of an edit made; nothing is changed in place.

    Raises
    ------
    ChangesMisfitError
        The changes were made from another document.
    """
    result = dict(document)
    if changes.job is not None:
        result["job"] = changes.job
    if changes.serial is not None:
        result["serial"] = changes.serial
    for name, change in changes.lists.items():
        result[name] = _patched_list(name, result.get(name, []), change)
    return result


def _patched_list(name: str, records: JsonValue, change: ToldList) -> JsonValue:
    if not isinstance(records, list):
        raise ChangesMisfitError(f"{name} is no list")
    try:
        return list(
            rebuilt(
                records,
                removed=change.removed,
                changed={_id_of(record): record for record in change.changed},
                added=change.added,
                order=change.order or None,
                id_of=_id_of,
            )
        )
    except KeyError as error:
        raise ChangesMisfitError(f"{name} does not hold {error.args[0]}") from error


def _id_of(record: JsonValue) -> str:
    record_id = record.get("id") if isinstance(record, dict) else None
    if not isinstance(record_id, str):
        raise KeyError("a record with an id")
    return record_id
