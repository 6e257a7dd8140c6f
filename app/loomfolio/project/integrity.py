"""What must hold in a document beyond the shape of its records.

Ids are used once and lie at or below the serial, records refer to what exists, names that the person
goes by are used once, conditions can be read, positions are finite, and files lie inside the folder.
The same sentences serve an edit that is refused and a file that cannot be opened.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from functools import singledispatch
from pathlib import PurePosixPath
from typing import NamedTuple

from loomfolio.basics import EditError
from loomfolio.project.changes import Changes
from loomfolio.project.conditions import parse
from loomfolio.project.facts import Record
from loomfolio.project.marks import BodyMark, LineMark
from loomfolio.project.models import (
    CableGroup,
    Confirmation,
    Harness,
    Job,
    Lead,
    Link,
    Mate,
    Part,
    Project,
    Sheet,
)
from loomfolio.project.record_lists import (
    LIST_NAMES,
    RECORD_LISTS,
    AnyMark,
    AnyRecord,
    records_of,
)


class Need(NamedTuple):
    """That a record speaks of another one. The word `record` stands for a record of any kind."""

    word: str
    id: str


class Surroundings:
    """What a record is held against: the document that it is, or would be, in."""

    def __init__(self, project: Project) -> None:
        self._project = project
        self._ids: dict[str, frozenset[str]] = {}

    def hold(self, need: Need) -> bool:
        """Is the record there that is spoken of?"""
        ids = self._ids.get(need.word)
        if ids is None:
            ids = self._ids[need.word] = frozenset(
                record.id
                for name in LIST_NAMES
                if need.word in {"record", RECORD_LISTS[name].word}
                for record in records_of(self._project, name)
            )
        return need.id in ids


def faults(project: Project) -> Iterator[str]:
    """Yield a plain clause for each thing that does not hold in a document; none for a sound one."""
    around = Surroundings(project)
    yield from _id_faults(project)
    yield from name_faults(project)
    for name in LIST_NAMES:
        for record in records_of(project, name):
            for fault in record_faults(record, around):
                yield f"{record.id}: {fault}"
    for fault in _missing(needs(project.job), around):
        yield f"the job: {fault}"


def change_faults(after: Project, changes: Changes) -> Iterator[str]:
    """Yield a plain clause for each thing that changes have broken in a document that was sound.

    Only what changed is looked at, unless records went: then others may have spoken of them.
    """
    if (
        changes.serial is not None
        or changes.job is not None
        or any(c.removed for c in changes.lists)
    ):
        yield from faults(after)
        return
    around = Surroundings(after)
    yield from name_faults(after)
    for change in changes.lists:
        for pair in change.changed:
            yield from (f"{pair.after.id}: {fault}" for fault in record_faults(pair.after, around))


def record_faults(record: AnyRecord, around: Surroundings) -> Iterator[str]:
    """Yield a plain clause for each thing that does not hold for one record in a document."""
    yield from _missing(needs(record), around)
    yield from _place_faults(record)
    for condition in conditions_of(record):
        try:
            parse(condition)
        except EditError as error:
            yield str(error).rstrip(".")


def name_faults(project: Project) -> Iterator[str]:
    """Yield a plain clause for each name that two parts, two references or two fits share.

    Names that differ in capitals only count as the same: a person could not tell them apart.
    """
    for word, records in (
        ("parts", project.parts),
        ("references", project.references),
        ("fits", project.fits),
    ):
        names = Counter(record.name.casefold() for record in records)
        for record in records:
            if names.pop(record.name.casefold(), 1) > 1:
                yield f"two {word} are called {record.name!r}"


def _id_faults(project: Project) -> Iterator[str]:
    seen: set[str] = set()
    for name in LIST_NAMES:
        for record in records_of(project, name):
            if record.id in seen:
                yield f"the id {record.id} is used twice"
            seen.add(record.id)
            if int(record.id.rpartition("-")[2]) > project.serial:
                yield f"the id {record.id} lies above the serial {project.serial}"


def _missing(wanted: Iterable[Need], around: Surroundings) -> Iterator[str]:
    for need in wanted:
        if not around.hold(need):
            yield f"it speaks of the {need.word} {need.id}, which the project does not hold"


def _place_faults(record: AnyRecord) -> Iterator[str]:
    if not all(math.isfinite(value) for value in _numbers(record)):
        yield "a position is no finite number"
    if isinstance(record, BodyMark) and not (
        record.box.x0 < record.box.x1 and record.box.y0 < record.box.y1
    ):
        yield "the box of a body has no width or no height"
    if isinstance(record, Sheet) and not is_inside_folder(record.file):
        yield f"its file {record.file!r} does not lie in the project folder"


def is_inside_folder(file: str) -> bool:
    """Is `file` a plain relative path with forward slashes that cannot lead out of a folder?"""
    if not file or any(sign in file for sign in "\\:\0"):
        return False
    path = PurePosixPath(file)
    return not path.is_absolute() and ".." not in path.parts and path.parts != ()


def _numbers(record: AnyRecord) -> Iterator[float]:
    match record:
        case Sheet():
            yield from (*record.table_at, record.x_dpi, record.y_dpi)
        case LineMark():
            for point in record.points:
                yield from point
        case BodyMark():
            yield from record.box
            for pin in record.pins:
                yield from pin.at
        case Link() | Confirmation():
            places = (record.a, record.b) if isinstance(record, Link) else (record.place,)
            for place in places:
                if place is not None:
                    yield from place.at
        case _ if isinstance(record, AnyMark):
            yield from record.at
        case _:
            return


# ------------------------------------------------------------------------------------- what is needed


@singledispatch
def needs(record: Record) -> Iterator[Need]:
    """Yield the other records that a record, or the job, speaks of by their ids."""
    return iter(())


@needs.register
def _(job: Job) -> Iterator[Need]:
    return (Need("part", half.part) for half in job.scope)


@needs.register
def _(part: Part) -> Iterator[Need]:
    if part.reference is not None:
        yield Need("reference", part.reference)


@needs.register
def _(mate: Mate) -> Iterator[Need]:
    yield Need("part", mate.a.part)
    yield Need("part", mate.b.part)


@needs.register
def _(lead: Lead) -> Iterator[Need]:
    yield from (Need("part", end.part) for end in lead.ends)
    if lead.harness is not None:
        yield Need("harness", lead.harness)


@needs.register
def _(group: CableGroup) -> Iterator[Need]:
    for pair in group.pins:
        yield from (Need("part", pin.part) for pin in pair)
    yield from (Need("part", pin.part) for pin in group.screen_ends)


@needs.register
def _(harness: Harness) -> Iterator[Need]:
    return (Need("part", end.part) for end in harness.ends)


@needs.register
def _(link: Link) -> Iterator[Need]:
    yield Need("sheet", link.a.sheet)
    if link.b is not None:
        yield Need("sheet", link.b.sheet)


@needs.register
def _(confirmation: Confirmation) -> Iterator[Need]:
    if confirmation.place is not None:
        yield Need("sheet", confirmation.place.sheet)
    if confirmation.record is not None:
        yield Need("record", confirmation.record)


def _mark_needs(mark: AnyMark) -> Iterator[Need]:
    yield Need("sheet", mark.sheet)
    if isinstance(mark, BodyMark):
        yield Need("part", mark.part)


for _mark_type in AnyMark.__args__:
    needs.register(_mark_type, _mark_needs)


def conditions_of(record: AnyRecord) -> Iterator[str]:
    """Yield the conditions that a record holds, its connectors' and cavities' included."""
    if isinstance(record, Sheet | Part | Lead | Link | AnyMark):
        yield record.when
    if isinstance(record, Part):
        for connector in record.connectors:
            yield connector.when
            for half in connector.halves:
                yield from (cavity.when for cavity in half.cavities)
