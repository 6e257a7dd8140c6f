"""Edits of the job: what is to be done, the sheets that lie on the table, fits and specimens."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from typing import NotRequired, Required, TypedDict, Unpack

from loomfolio.basics import MmPoint
from loomfolio.project.editing import (
    Added,
    add,
    found,
    made,
    put_in,
    require,
    swap,
    take_out,
    withdraw,
)
from loomfolio.project.facts import Anchor, Condition, HalfKey, ValidFor, Vehicle
from loomfolio.project.integrity import needs
from loomfolio.project.mark_edits import replaced
from loomfolio.project.models import (
    Fit,
    Job,
    Link,
    Project,
    ResolutionSource,
    Sheet,
    SheetKind,
)
from loomfolio.project.record_lists import AnyRecord
from loomfolio.project.specimens import Photo, Specimen, SpecimenKind


def set_job(project: Project, job: Job) -> Project:
    """Return the document with another statement of the job."""
    job = made(Job, "job", dict(job))
    require(project, *needs(job))
    return project if job == project.job else project.model_copy(update={"job": job})


def set_scope(project: Project, halves: Collection[HalfKey]) -> Project:
    """Return the document with the connectors that the job is about; doubled ones are taken once."""
    scope = tuple(dict.fromkeys(halves))
    return set_job(project, project.job.model_copy(update={"scope": scope}))


# ------------------------------------------------------------------------------------------- sheets


class SheetFields(TypedDict):
    """What `add_sheet` takes."""

    title: Required[str]
    file: Required[str]
    sha256: Required[str]
    width_px: Required[int]
    height_px: Required[int]
    x_dpi: Required[float]
    y_dpi: Required[float]
    page: NotRequired[int]
    resolution_from: NotRequired[ResolutionSource]
    kind: NotRequired[SheetKind]
    valid_for: NotRequired[ValidFor]
    when: NotRequired[Condition]
    is_read: NotRequired[bool]
    table_at: NotRequired[MmPoint]


def add_sheet(project: Project, **fields: Unpack[SheetFields]) -> Added:
    """Return the document with one more page of the documents."""
    return add(project, "sheets", Sheet, fields)


def change_sheet(project: Project, sheet: Sheet) -> Project:
    """Return the document with another state of one sheet."""
    return swap(project, "sheets", sheet)


def resize_sheet(
    project: Project,
    sheet_id: str,
    *,
    x_dpi: float,
    y_dpi: float,
    resolution_from: ResolutionSource,
) -> Project:
    """Return the document with another size of one sheet on paper, and all that lies on it where it was printed.

    Marks, ends of links and confirmed places are anchored in mm of the paper; they move with the print, so
    that each stays on the same pixel. The pixels themselves do not change.
    """
    sheet = found(project, "sheets", sheet_id)
    if not isinstance(sheet, Sheet):  # pragma: no cover - the list holds nothing else
        raise TypeError(sheet_id)
    fields = {"x_dpi": x_dpi, "y_dpi": y_dpi, "resolution_from": resolution_from}
    resized = made(Sheet, "sheet", {**dict(sheet), **fields})
    across, down = sheet.x_dpi / resized.x_dpi, sheet.y_dpi / resized.y_dpi

    def moved(point: MmPoint) -> MmPoint:
        return MmPoint(point.x * across, point.y * down)

    def laid(anchor: Anchor | None) -> Anchor | None:
        if anchor is None or anchor.sheet != sheet_id:
            return anchor
        return anchor.model_copy(update={"at": moved(anchor.at)})

    project = swap(project, "sheets", resized)
    marks = [replaced(m, moved) if m.sheet == sheet_id else m for m in project.marks]
    links = [
        link.model_copy(update={"a": laid(link.a), "b": laid(link.b)})
        if _touches(link, sheet_id)
        else link
        for link in project.links
    ]
    confirmations = [
        c.model_copy(update={"place": laid(c.place)})
        if c.place is not None and c.place.sheet == sheet_id
        else c
        for c in project.confirmations
    ]
    project = put_in(project, "marks", marks)
    return put_in(put_in(project, "links", links), "confirmations", confirmations)


def move_sheet(project: Project, sheet_id: str, *, table_at: MmPoint) -> Project:
    """Return the document with one sheet laid elsewhere on the light table."""
    sheet = found(project, "sheets", sheet_id)
    return swap(project, "sheets", sheet.model_copy(update={"table_at": table_at}))


def remove_sheet(project: Project, sheet_id: str) -> Project:
    """Return the document without one sheet, its marks, and what was confirmed on it.

    A link that had its other end on the sheet stays with the end that is left: the arrow is still
    printed there. The file stays in the folder, so that undo finds it.
    """
    project = take_out(project, "sheets", [sheet_id])
    project = take_out(project, "marks", [m.id for m in project.marks if m.sheet == sheet_id])
    project = _without_outlines(_cut_links(project, sheet_id), sheet_id)
    on_sheet = (c for c in project.confirmations if c.place and c.place.sheet == sheet_id)
    return withdraw(project, {confirmation.id for confirmation in on_sheet})


def _cut_links(project: Project, sheet_id: str) -> Project:
    touched = {link.id: link for link in project.links if _touches(link, sheet_id)}
    left = {link.id: _left_of(link, sheet_id) for link in touched.values()}
    project = withdraw(project, {c.id for c in project.confirmations if c.record in touched})
    links = (left.get(link.id, link) for link in project.links)
    return put_in(project, "links", [link for link in links if link is not None])


def _without_outlines(project: Project, sheet_id: str) -> Project:
    """The zones and ways stay; what was drawn of them on the sheet goes with it."""
    zones = [
        zone.model_copy(update={"outline": None})
        if zone.outline is not None and zone.outline.sheet == sheet_id
        else zone
        for zone in project.zones
    ]
    ways = [
        way.model_copy(update={"course": None})
        if way.course is not None and way.course.sheet == sheet_id
        else way
        for way in project.zone_ways
    ]
    return put_in(put_in(project, "zones", zones), "zone_ways", ways)


def _touches(link: Link, sheet_id: str) -> bool:
    return any(end is not None and end.sheet == sheet_id for end in (link.a, link.b))


def _left_of(link: Link, sheet_id: str) -> Link | None:
    for end in (link.a, link.b):
        if end is not None and end.sheet != sheet_id:
            return link.model_copy(update={"a": end, "b": None})
    return None


# --------------------------------------------------------------------------------- fits and specimens


def add_fit(
    project: Project,
    *,
    name: str,
    options_with: tuple[str, ...] = (),
    options_without: tuple[str, ...] = (),
) -> Added:
    """Return the document with one more set of options of which the sheets speak."""
    fields = {
        "name": name.strip(),
        "options_with": options_with,
        "options_without": options_without,
    }
    return add(project, "fits", Fit, fields)


def change_fit(project: Project, fit: Fit) -> Project:
    """Return the document with another state of one fit; a job that is for it follows its new name."""
    before = found(project, "fits", fit.id)
    return _renamed_in_job(swap(project, "fits", fit), before, fit.name)


def remove_fit(project: Project, fit_id: str) -> Project:
    """Return the document without one fit; a job that was for it is then for none."""
    before = found(project, "fits", fit_id)
    return _renamed_in_job(take_out(project, "fits", [fit_id]), before, "")


def _renamed_in_job(project: Project, before: AnyRecord, name: str) -> Project:
    """The job speaks of fits by their names, and follows them."""
    if not isinstance(before, Fit):
        return project
    job = project.job
    words = {"fit": job.fit, "target_fit": job.target_fit, "vehicle_fit": job.vehicle_fit}
    changed = {word: name for word, old in words.items() if old == before.name}
    return set_job(project, job.model_copy(update=changed)) if changed else project


class SpecimenFields(TypedDict):
    """What `add_specimen` takes."""

    name: Required[str]
    kind: Required[SpecimenKind]
    vehicle: NotRequired[Vehicle]
    photos: NotRequired[tuple[Photo | str, ...]]
    on: NotRequired[date | None]
    note: NotRequired[str]
    harness: NotRequired[str | None]


def add_specimen(project: Project, **fields: Unpack[SpecimenFields]) -> Added:
    """Return the document with one more real thing that was looked at."""
    return add(project, "specimens", Specimen, fields)


def change_specimen(project: Project, specimen: Specimen) -> Project:
    """Return the document with another state of one specimen."""
    return swap(project, "specimens", specimen)


def remove_specimen(project: Project, specimen_id: str) -> Project:
    """Return the document without one specimen, and without its survey and baselines."""
    project = take_out(project, "specimens", [specimen_id])
    survey = [entry.id for entry in project.survey if entry.specimen == specimen_id]
    baselines = [one.id for one in project.baselines if one.specimen == specimen_id]
    return take_out(take_out(project, "survey", survey), "baselines", baselines)
