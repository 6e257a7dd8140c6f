"""What is drawn over each sheet of the documents: bodies, leads of the job, marks, answers, gaps, words to search.

Places are mm on the sheet, as the document and the desk have them; the sheet's own page is put below
unchanged (`annotated`). A lead is drawn as a casing on both sides of its ink, so that the print stays readable.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import shapely

from loomfolio.basics import MmPoint
from loomfolio.bench.leads import BenchLead
from loomfolio.nets import Netlist, follow
from loomfolio.project import (
    ApartMark,
    BodyMark,
    JoinMark,
    NameMark,
    PinKey,
    Project,
    Sheet,
    half_text,
)
from loomfolio.reading import Reading
from loomfolio.retrofit import Gap

CASING_MM = 0.7
"""How far from the middle of the ink the two lines of a lead's casing run."""
MM_PER_INCH = 25.4

FormKind = Literal["joined", "apart", "confirmed", "doubt", "gap"]
LeadForm = Literal["released", "not released"]


@dataclass(frozen=True, slots=True)
class DrawnWordBox:
    """A printed word with its box in mm: it is not seen, but found when one searches."""

    text: str
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class BodyBox:
    """A body with its name."""

    name: str
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Casing:
    """The casing of a lead on one sheet: closed outlines in mm, its number, and where that stands."""

    outlines: tuple[tuple[tuple[float, float], ...], ...]
    form: LeadForm
    is_new: bool
    label: str
    label_at: tuple[float, float]


@dataclass(frozen=True, slots=True)
class SheetForm:
    """A form of a state at its place."""

    kind: FormKind
    x: float
    y: float
    text: str


@dataclass(frozen=True, slots=True)
class SheetNotes:
    """Everything that is drawn over one sheet, in mm from its upper left corner."""

    title: str
    width: float
    height: float
    bodies: tuple[BodyBox, ...]
    casings: tuple[Casing, ...]
    forms: tuple[SheetForm, ...]
    words: tuple[DrawnWordBox, ...]
    names: tuple[SheetForm, ...]


def sheet_size_mm(sheet: Sheet) -> tuple[float, float]:
    """Return the width and height of a sheet in mm."""
    return (
        sheet.width_px / sheet.x_dpi * MM_PER_INCH,
        sheet.height_px / sheet.y_dpi * MM_PER_INCH,
    )


def sheet_notes(
    project: Project,
    netlist: Netlist,
    leads: Sequence[BenchLead],
    gaps: Sequence[Gap],
    readings: Mapping[str, Reading],
    *,
    new_numbers: Mapping[frozenset[PinKey], str] | None = None,
) -> tuple[SheetNotes, ...]:
    """Return what is drawn over each sheet, in the order of the sheets.

    `leads` are those that the job is about; `new_numbers` are the numbers of new leads by their two ends.
    """
    casings = _casings(netlist, leads, new_numbers or {})
    return tuple(
        _notes(project, netlist, sheet, casings.get(sheet.id, ()), gaps, readings.get(sheet.id))
        for sheet in project.sheets
    )


def _notes(
    project: Project,
    netlist: Netlist,
    sheet: Sheet,
    casings: Sequence[Casing],
    gaps: Sequence[Gap],
    reading: Reading | None,
) -> SheetNotes:
    width, height = sheet_size_mm(sheet)
    own = [mark for mark in netlist.project.marks if mark.sheet == sheet.id]
    return SheetNotes(
        title=sheet.title,
        width=width,
        height=height,
        bodies=tuple(
            BodyBox(
                half_text(project, mark.half_key),
                mark.box.x0,
                mark.box.y0,
                mark.box.x1 - mark.box.x0,
                mark.box.y1 - mark.box.y0,
            )
            for mark in own
            if isinstance(mark, BodyMark)
        ),
        casings=tuple(casings),
        forms=tuple(_forms(project, netlist, sheet, gaps)),
        words=() if reading is None else tuple(_words(sheet, reading)),
        names=tuple(
            SheetForm("joined", mark.at.x, mark.at.y, mark.name)
            for mark in own
            if isinstance(mark, NameMark)
        ),
    )


def _forms(
    project: Project, netlist: Netlist, sheet: Sheet, gaps: Iterable[Gap]
) -> Iterator[SheetForm]:
    for mark in netlist.project.marks:
        if mark.sheet == sheet.id and isinstance(mark, JoinMark | ApartMark):
            kind: FormKind = "joined" if isinstance(mark, JoinMark) else "apart"
            yield SheetForm(kind, mark.at.x, mark.at.y, "")
    for one in project.confirmations:
        if one.place is not None and one.place.sheet == sheet.id:
            yield SheetForm("confirmed", one.place.at.x, one.place.at.y, "")
    for spot in netlist.spots_on(sheet.id):
        if spot.is_doubt and spot.answer is None:
            yield SheetForm("doubt", spot.at.x, spot.at.y, "")
    for gap in gaps:
        if gap.in_scope and gap.is_open and gap.place is not None and gap.place.sheet == sheet.id:
            yield SheetForm("gap", gap.place.at.x, gap.place.at.y, "")


def _words(sheet: Sheet, reading: Reading) -> Iterator[DrawnWordBox]:
    x_mm = sheet_size_mm(sheet)[0] / reading.page.width_px
    y_mm = sheet_size_mm(sheet)[1] / reading.page.height_px
    for word in reading.texts:
        box = word.box
        yield DrawnWordBox(
            word.text,
            box.x0 * x_mm,
            box.y0 * y_mm,
            (box.x1 - box.x0) * x_mm,
            (box.y1 - box.y0) * y_mm,
        )


# ------------------------------------------------------------------------------------------ casings


def _casings(
    netlist: Netlist, leads: Sequence[BenchLead], new_numbers: Mapping[frozenset[PinKey], str]
) -> dict[str, list[Casing]]:
    """The casing of each lead on each sheet that draws it, along the run that is walked from end to end."""
    found: dict[str, list[Casing]] = {}
    rows = [lead.row for lead in leads]
    for lead in leads:
        if lead.row.b is None:
            continue
        ways = follow(netlist, lead.row.a, to=lead.row.b, rows=rows)
        if not ways:
            continue
        number = new_numbers.get(frozenset((lead.row.a, lead.row.b)), "")
        for sheet, points in (line for step in ways[0].steps for line in step.lines):
            if len(points) > 1:
                casing = _casing(points, number or str(lead.number), lead, is_new=bool(number))
                found.setdefault(sheet, []).append(casing)
    return found


def _casing(points: Sequence[MmPoint], label: str, lead: BenchLead, *, is_new: bool) -> Casing:
    line = shapely.LineString([(point.x, point.y) for point in points])
    area = line.buffer(CASING_MM, cap_style="flat", join_style="mitre")
    middle = line.interpolate(0.5, normalized=True)
    return Casing(
        outlines=tuple(_rings(area)),
        form="released" if lead.row.is_released else "not released",
        is_new=is_new,
        label=label,
        label_at=(middle.x, middle.y),
    )


def _rings(area: shapely.Geometry) -> Iterator[tuple[tuple[float, float], ...]]:
    for polygon in getattr(area, "geoms", (area,)):
        for ring in (polygon.exterior, *polygon.interiors):
            yield tuple((round(x, 3), round(y, 3)) for x, y in ring.coords)
