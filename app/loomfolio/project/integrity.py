"""What must hold in a document beyond the shape of its records.

Ids are used once and lie at or below the serial, records refer to what exists, names that the person
goes by are used once, conditions can be read, texts can be written, and files lie inside the folder.
The same sentences serve an edit that is refused and a file that cannot be opened.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from functools import singledispatch
from pathlib import PurePosixPath
from typing import NamedTuple

from pydantic_core import PydanticSerializationError

from loomfolio.basics import EditError
from loomfolio.project.changes import Changes
from loomfolio.project.circuits import (
    CircuitNote,
    ElectricState,
    FuseNote,
    LoadNote,
    RelayNote,
    ResistanceNote,
    SupplyNote,
)
from loomfolio.project.conditions import parse
from loomfolio.project.facts import Record
from loomfolio.project.marks import BodyMark
from loomfolio.project.models import (
    CableGroup,
    Confirmation,
    Fit,
    Harness,
    Job,
    Lead,
    Link,
    Mate,
    Part,
    Project,
    Reference,
    Sheet,
)
from loomfolio.project.proof import Doing
from loomfolio.project.record_lists import (
    LIST_NAMES,
    RECORD_LISTS,
    AnyMark,
    AnyRecord,
    ListName,
    records_of,
)
from loomfolio.project.specimens import (
    BarEntry,
    Baseline,
    CavityEntry,
    ConnectorMatch,
    HalfEntry,
    HeaderEntry,
    LeadEntry,
    PositionEntry,
    Specimen,
)
from loomfolio.project.work import HousingTerminal, Outline, Placement, WorkStep, Zone, ZoneWay


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
    yield from _doubled_ids(project)
    yield from _high_ids(_all_records(project), project.serial)
    yield from _name_faults(project)
    for name in LIST_NAMES:
        for record in records_of(project, name):
            yield from (f"{record.id}: {fault}" for fault in record_faults(record, around))
    yield from (f"the job: {fault}" for fault in job_faults(project.job, around))


def change_faults(after: Project, changes: Changes) -> Iterator[str]:
    """Yield a plain clause for each thing that changes have broken in a document that was sound.

    Looks only at what changed, and at what could have spoken of records that went.
    """
    around = Surroundings(after)
    added = [placed.record for change in changes.lists for placed in change.added]
    changed = [pair.after for change in changes.lists for pair in change.changed]
    yield from _doubled_ids(after)
    has_sunk = changes.serial is not None and changes.serial[1] < changes.serial[0]
    yield from _high_ids(_all_records(after) if has_sunk else added, after.serial)
    yield from _name_faults(after)
    for record in (*added, *changed, *_bereft(after, changes)):
        yield from (f"{record.id}: {fault}" for fault in record_faults(record, around))
    yield from (f"the job: {fault}" for fault in job_faults(after.job, around))


_SPEAKERS: Mapping[ListName, tuple[ListName, ...]] = {
    "sheets": ("marks", "links", "zones", "zone_ways"),
    "parts": (
        "marks",
        "mates",
        "leads",
        "groups",
        "harnesses",
        "survey",
        "matches",
        "electric_notes",
        "states",
        "placements",
        "terminals",
    ),
    "references": ("parts",),
    "harnesses": ("leads", "specimens"),
    "specimens": ("survey", "baselines"),
    "zones": ("zone_ways", "placements", "work_steps"),
}
"""The lists whose records may speak of a record of a list; confirmations may speak of any."""


def _bereft(after: Project, changes: Changes) -> Iterator[AnyRecord]:
    """Yield the records that speak of one that went."""
    for change in changes.lists:
        gone = change.removed_ids
        for name in (*_SPEAKERS.get(change.name, ()), "confirmations") if gone else ():
            for record in records_of(after, name):
                if any(need.id in gone for need in needs(record)):
                    yield record


def record_faults(record: AnyRecord, around: Surroundings) -> Iterator[str]:
    """Yield a plain clause for each thing that does not hold for one record in a document."""
    yield from _missing(needs(record), around)
    yield from _text_faults(record)
    if isinstance(record, BodyMark) and not (
        record.box.x0 < record.box.x1 and record.box.y0 < record.box.y1
    ):
        yield "the box of a body has no width or no height"
    for file in files_of(record):
        if not is_inside_folder(file):
            yield f"its file {file!r} does not lie in the project folder"
    for condition in conditions_of(record):
        try:
            parse(condition)
        except EditError as error:
            yield str(error).rstrip(".")


def job_faults(job: Job, around: Surroundings) -> Iterator[str]:
    """Yield a plain clause for each thing that does not hold for the job in a document."""
    yield from _missing(needs(job), around)
    yield from _text_faults(job)


def namesake(project: Project, record: AnyRecord) -> str | None:
    """Return the name of another part, reference or fit that a record of that kind would share.

    Names that differ in capitals only count as the same: a person could not tell them apart.
    """
    if not isinstance(record, Part | Reference | Fit | ElectricState | Zone):
        return None
    others: tuple[Part | Reference | Fit | ElectricState | Zone, ...] = (
        *project.parts,
        *project.references,
        *project.fits,
        *project.states,
        *project.zones,
    )
    for other in others:
        is_alike = type(other) is type(record) and other.name.casefold() == record.name.casefold()
        if is_alike and other.id != record.id:
            return other.name
    return None


def _name_faults(project: Project) -> Iterator[str]:
    lists = (project.parts, project.references, project.fits, project.states, project.zones)
    for records in lists:
        names = Counter(record.name.casefold() for record in records)
        for record in records:
            if names.pop(record.name.casefold(), 1) > 1:
                yield f"the name {record.name!r} of {record.id} is used twice"


def _all_records(project: Project) -> Iterator[AnyRecord]:
    for name in LIST_NAMES:
        yield from records_of(project, name)


def _doubled_ids(project: Project) -> Iterator[str]:
    ids = [record.id for record in _all_records(project)]
    if len(set(ids)) < len(ids):
        yield from (f"the id {one} is used twice" for one, n in Counter(ids).items() if n > 1)


def _high_ids(records: Iterable[AnyRecord], serial: int) -> Iterator[str]:
    for record in records:
        if int(record.id.rpartition("-")[2]) > serial:
            yield f"the id {record.id} lies above the serial {serial}"


def _missing(wanted: Iterable[Need], around: Surroundings) -> Iterator[str]:
    for need in wanted:
        if not around.hold(need):
            yield f"it speaks of the {need.word} {need.id}, which the project does not hold"


def _text_faults(record: Record) -> Iterator[str]:
    """Half a character, as undecodable file names bring in, cannot be written to a file."""
    try:
        record.model_dump_json(warnings=False)
    except PydanticSerializationError:
        yield "a text in it holds a character that cannot be written"


def files_of(record: AnyRecord) -> tuple[str, ...]:
    """Return the files that a record speaks of, by their path in the project."""
    match record:
        case Sheet():
            return (record.file,)
        case Specimen() | Baseline() | Doing():
            return tuple(photo.file for photo in record.photos)
        case _:
            return ()


def is_inside_folder(file: str) -> bool:
    """Is `file` a plain relative path with forward slashes? Then it cannot lead out of a folder."""
    if not file or any(sign in file for sign in "\\:\0"):
        return False
    path = PurePosixPath(file)
    return not path.is_absolute() and ".." not in path.parts and path.parts != ()


# ------------------------------------------------------------------------------------- what is needed


@singledispatch
def needs(_record: Record) -> Iterator[Need]:
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


@needs.register
def _(specimen: Specimen) -> Iterator[Need]:
    if specimen.harness is not None:
        yield Need("harness", specimen.harness)


@needs.register
def _(entry: CavityEntry | HeaderEntry) -> Iterator[Need]:
    yield Need("specimen", entry.specimen)
    yield Need("part", entry.pin.part)


@needs.register
def _(entry: PositionEntry | BarEntry) -> Iterator[Need]:
    yield Need("specimen", entry.specimen)
    yield Need("part", entry.part)


@needs.register
def _(entry: HalfEntry) -> Iterator[Need]:
    yield Need("specimen", entry.specimen)
    yield Need("part", entry.half.part)


@needs.register
def _(entry: LeadEntry) -> Iterator[Need]:
    yield Need("specimen", entry.specimen)
    yield from (Need("part", pin.part) for pin in entry.ends)
    if entry.goes_to is not None:
        yield Need("part", entry.goes_to.part)


@needs.register
def _(baseline: Baseline) -> Iterator[Need]:
    yield Need("specimen", baseline.specimen)


@needs.register
def _(match: ConnectorMatch) -> Iterator[Need]:
    yield Need("part", match.target.part)
    yield Need("part", match.vehicle.part)


@needs.register
def _(note: CircuitNote) -> Iterator[Need]:
    yield Need("part", note.pin.part)


@needs.register
def _(note: LoadNote | SupplyNote) -> Iterator[Need]:
    yield Need("part", note.pin.part)
    if note.back is not None:
        yield Need("part", note.back.part)


@needs.register
def _(note: FuseNote | RelayNote) -> Iterator[Need]:
    yield Need("part", note.part)


@needs.register
def _(note: ResistanceNote) -> Iterator[Need]:
    yield Need("part", note.ends[0].part)


@needs.register
def _(state: ElectricState) -> Iterator[Need]:
    yield from (Need("part", pin.part) for pin in state.supplies)
    yield from (Need("part", pin.part) for setting in state.settings for pin in setting.ends)
    yield from (Need("part", drive.pin.part) for drive in state.drives)


def _outline_needs(outline: Outline | None) -> Iterator[Need]:
    if outline is not None:
        yield Need("sheet", outline.sheet)


@needs.register
def _(zone: Zone) -> Iterator[Need]:
    return _outline_needs(zone.outline)


@needs.register
def _(way: ZoneWay) -> Iterator[Need]:
    yield from (Need("zone", zone) for zone in way.zones)
    yield from _outline_needs(way.course)


@needs.register
def _(placement: Placement) -> Iterator[Need]:
    yield Need("part", placement.part)
    yield Need("zone", placement.zone)


@needs.register
def _(terminal: HousingTerminal) -> Iterator[Need]:
    yield Need("part", terminal.half.part)


@needs.register
def _(step: WorkStep) -> Iterator[Need]:
    if step.zone is not None:
        yield Need("zone", step.zone)


def _mark_needs(mark: AnyMark) -> Iterator[Need]:
    yield Need("sheet", mark.sheet)
    if isinstance(mark, BodyMark):
        yield Need("part", mark.part)


for _mark_type in AnyMark.__args__:
    needs.register(_mark_type, _mark_needs)


_CONDITIONAL = Sheet | Part | Lead | Link | AnyMark | Mate | CableGroup | Harness | Reference


def conditions_of(record: AnyRecord) -> Iterator[str]:
    """Yield the conditions that a record holds, those of connectors, cavities and ways included."""
    if isinstance(record, _CONDITIONAL):
        yield record.when
    if isinstance(record, Part):
        for connector in record.connectors:
            yield connector.when
            for half in connector.halves:
                yield from (cavity.when for cavity in half.cavities)
        yield from (way.when for way in record.ways)
