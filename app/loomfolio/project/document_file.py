"""`project.json`: the document as text that a person can read, compare and mend.

What equals its default is left out, lists keep the order of the document, and a value that fits on a
line stays on one, so that a diff shows one record per change. `saved_edit` stands beside the document:
the number of the last edit that the file includes, so that the journal is never applied twice.

Old versions open forever: `MIGRATIONS` holds, for each version but the present one, the function that
turns its JSON into that of the next.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from pydantic import JsonValue, ValidationError

from loomfolio.basics import DocumentError
from loomfolio.project.editing import plain_fault
from loomfolio.project.integrity import faults
from loomfolio.project.models import PROJECT_SCHEMA, Project
from loomfolio.project.record_lists import (
    LIST_NAMES,
    JsonObject,
    record_data,
    records_of,
)

SCHEMA_FAMILY, _, _number = PROJECT_SCHEMA.rpartition("/")
PRESENT_VERSION = int(_number)

Migration = Callable[[JsonObject], JsonObject]
MIGRATIONS: Mapping[int, Migration] = {}
"""From version to the way to the next one. Version 1 is the first and the present one."""

_LINE_WIDTH = 100


def document_bytes(project: Project, *, saved_edit: int) -> bytes:
    """Return what `project.json` holds for a document."""
    data: JsonObject = {
        "schema": project.format,
        "saved_edit": saved_edit,
        "serial": project.serial,
    }
    job = project.job.model_dump(mode="json", exclude_defaults=True)
    if job:
        data["job"] = job
    for name in LIST_NAMES:
        records = records_of(project, name)
        if records:
            data[name] = [record_data(record) for record in records]
    return ("".join(_laid_out(data, 0)) + "\n").encode()


def _laid_out(value: JsonValue, depth: int, *, used: int = 0) -> Iterator[str]:
    """Yield pieces of JSON text: on one line where it fits behind `used` signs, else one entry each."""
    flat = json.dumps(value, ensure_ascii=False, allow_nan=False)
    fits = depth > 0 and depth + used + len(flat) <= _LINE_WIDTH
    if isinstance(value, dict) and not fits:
        named = [(f"{json.dumps(key, ensure_ascii=False)}: ", item) for key, item in value.items()]
        yield from _entries("{}", named, depth)
    elif isinstance(value, list) and not fits:
        yield from _entries("[]", [("", item) for item in value], depth)
    else:
        yield flat


def _entries(brackets: str, entries: Sequence[tuple[str, JsonValue]], depth: int) -> Iterator[str]:
    yield brackets[0]
    for number, (name, item) in enumerate(entries):
        yield f"{',' if number else ''}\n{' ' * (depth + 1)}{name}"
        yield from _laid_out(item, depth + 1, used=len(name) + 1)
    yield f"\n{' ' * depth}{brackets[1]}"


class NotJsonError(ValueError):
    """The bytes are empty, torn, or no JSON object at all."""


def parsed(data: bytes) -> JsonObject:
    """Return the JSON object that the bytes hold; `NotJsonError` where they hold none."""
    try:
        value: JsonValue = json.loads(data, parse_constant=_refuse_constant)
    except (ValueError, RecursionError) as error:
        raise NotJsonError(str(error)) from error
    if not isinstance(value, dict):
        raise NotJsonError("the outermost value is no object")
    return value


def _refuse_constant(word: str) -> JsonValue:
    raise ValueError(f"{word} is no JSON number")


def version_of(path: Path, data: JsonObject, *, present: int = PRESENT_VERSION) -> int:
    """Return the version of the JSON of a document; `DocumentError` where it is foreign or newer."""
    family, _, number = str(data.get("schema", "")).rpartition("/")
    if family != SCHEMA_FAMILY or not (number.isascii() and number.isdecimal() and int(number)):
        raise DocumentError(
            path,
            f"the file is no project (its schema should read {PROJECT_SCHEMA})",
            "choose a folder that loomfolio has made",
        )
    if int(number) > present:
        raise DocumentError(
            path,
            f"the project was written by a newer version (format {number}, this one knows {present})",
            "update loomfolio to open it",
        )
    return int(number)


def migrated(
    data: JsonObject,
    *,
    version: int,
    to: int = PRESENT_VERSION,
    migrations: Mapping[int, Migration] = MIGRATIONS,
) -> JsonObject:
    """Return the JSON of a document of one version as that of a later one."""
    for step in range(version, to):
        data = migrations[step](data)
    return data


def saved_edit_of(path: Path, data: JsonObject) -> int:
    """Return the number of the last edit that the file includes."""
    saved = data.get("saved_edit", 0)
    if not isinstance(saved, int) or isinstance(saved, bool) or saved < 0:
        raise DocumentError(path, "saved_edit is no count of edits", "write 0 there")
    return saved


def project_from(path: Path, data: JsonObject) -> Project:
    """Return the document that the JSON of the present version holds.

    Raises
    ------
    DocumentError
        One sentence that names the place in the file.
    """
    try:
        fields = {key: value for key, value in data.items() if key != "saved_edit"}
        # As JSON, because only there do strict types know lists for tuples and texts for dates.
        project = Project.model_validate_json(json.dumps(fields), strict=True)
    except ValidationError as error:
        raise _mend(path, plain_fault(error)) from error
    for fault in faults(project):
        raise _mend(path, fault)
    return project


def _mend(path: Path, what: str) -> DocumentError:
    return DocumentError(path, what, "mend it in a text editor or take an earlier copy")
