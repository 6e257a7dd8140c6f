"""Generated vehicles for the benchmarks: sheets of parallel and crossing leads between boxed parts."""

from __future__ import annotations

from dataclasses import dataclass

from loomfolio.basics import MM_PER_INCH, MmBox, MmPoint, PxPoint
from loomfolio.project import (
    BodyMark,
    BodyPin,
    CavityEntry,
    Fit,
    HalfEntry,
    HalfKey,
    Job,
    Part,
    Project,
    Sheet,
    Specimen,
)
from loomfolio.reading import Conductor, PageSize, Reading

LEADS_PER_SHEET = 40
_DPI = 300.0
_WIDTH_PX, _HEIGHT_PX = 4961, 3508  # A3
_PITCH_MM = 6.0


@dataclass(frozen=True)
class Vehicle:
    """A document with its readings, and how many leads it has."""

    project: Project
    readings: dict[str, Reading]
    leads: int


def make_vehicle(*, sheets: int) -> Vehicle:
    """Return a vehicle of `sheets` A3 sheets, each with two modules and 40 leads between them."""
    made = [_sheet(number) for number in range(1, sheets + 1)]
    project = Project(
        serial=10_000_000,
        sheets=tuple(sheet for sheet, _, _, _ in made),
        parts=tuple(part for _, _, parts, _ in made for part in parts),
        marks=tuple(mark for _, _, _, marks in made for mark in marks),
    )
    readings = {sheet.id: reading for sheet, reading, _, _ in made}
    return Vehicle(project, readings, sheets * LEADS_PER_SHEET)


def _px(x_mm: float, y_mm: float) -> PxPoint:
    return PxPoint(x_mm * _DPI / MM_PER_INCH, y_mm * _DPI / MM_PER_INCH)


def _sheet(number: int) -> tuple[Sheet, Reading, tuple[Part, ...], tuple[BodyMark, ...]]:
    sheet = Sheet(
        id=f"sheet-{number}",
        title=f"Sheet {number}",
        file=f"sheets/{number}.png",
        sha256="0" * 64,
        width_px=_WIDTH_PX,
        height_px=_HEIGHT_PX,
        x_dpi=_DPI,
        y_dpi=_DPI,
    )
    heights = [20.0 + _PITCH_MM * n for n in range(LEADS_PER_SHEET)]
    conductors = tuple(
        Conductor(
            id=n,
            lines=(
                (
                    _px(50, y),
                    _px(100 + 3 * n, y),
                    _px(100 + 3 * n, 20 + 265 - y),
                    _px(350, 285 - y),
                ),
            ),
            stroke_px=4.0,
        )
        for n, y in enumerate(heights, start=1)
    )
    page = PageSize(width_px=_WIDTH_PX, height_px=_HEIGHT_PX, dpi=_DPI)
    parts = tuple(
        Part(id=f"part-{2 * number + side}", name=f"M{number}{'LR'[side]}", kind="module")
        for side in (0, 1)
    )
    left, right = (
        BodyMark(
            id=f"mark-{2 * number + side}",
            sheet=sheet.id,
            box=box,
            part=parts[side].id,
            connector="C1",
            pins=tuple(
                BodyPin(at=MmPoint(x, y if side == 0 else 285 - y), pin=str(n))
                for n, y in enumerate(heights, start=1)
            ),
        )
        for side, box, x in (
            (0, MmBox(20, 10, 50, 275), 50.0),
            (1, MmBox(350, 10, 380, 275), 350.0),
        )
    )
    return sheet, Reading(page=page, conductors=conductors), parts, (left, right)


# ------------------------------------------------------------------------------ in two fits, surveyed

PINS_PER_MODULE = 12
OPTION_EVERY = 10
"""On every tenth sheet one of the four modules belongs to the option that the vehicle gets."""


def make_vehicle_in_two_fits(*, sheets: int) -> Vehicle:
    """Return a vehicle of A3 sheets with four modules and 24 leads each, drawn for the option and without it.

    Of 200 sheets: 800 connectors and 9,600 pins. The job is about the modules of the option; the survey
    has looked into one connector of the first sheet.
    """
    made = [_sheet_of_four(number) for number in range(1, sheets + 1)]
    leads = sheets * 2 * PINS_PER_MODULE
    option_parts = [part for _, _, parts, _ in made for part in parts if part.when]
    looked_at = HalfKey(part=made[0][2][0].id, connector="C1")
    van = Specimen(id="specimen-9000001", name="Van", kind="this vehicle")
    project = Project(
        serial=10_000_000,
        sheets=tuple(sheet for sheet, _, _, _ in made),
        parts=tuple(part for _, _, parts, _ in made for part in parts),
        marks=tuple(mark for _, _, _, marks in made for mark in marks),
        fits=(
            Fit(id="fit-9000002", name="equipped", options_with=("option",)),
            Fit(id="fit-9000003", name="base", options_without=("option",)),
        ),
        specimens=(van,),
        survey=(
            HalfEntry(id="entry-9000004", specimen=van.id, half=looked_at, viewed_from="wire side"),
            CavityEntry(id="entry-9000005", specimen=van.id, pin=looked_at.pin("1"), state="empty"),
        ),
        job=Job(
            target_fit="equipped",
            vehicle_fit="base",
            scope=tuple(HalfKey(part=part.id, connector="C1") for part in option_parts),
        ),
    )
    return Vehicle(project, {sheet.id: reading for sheet, reading, _, _ in made}, leads)


def _sheet_of_four(
    number: int,
) -> tuple[Sheet, Reading, tuple[Part, ...], tuple[BodyMark, ...]]:
    sheet, reading, _, _ = _sheet(number)
    count = 2 * PINS_PER_MODULE
    reading = reading.model_copy(update={"conductors": reading.conductors[:count]})
    parts: list[Part] = []
    marks: list[BodyMark] = []
    for place in range(4):
        is_right, is_second = divmod(place, 2)
        is_option = place == 3 and number % OPTION_EVERY == 1
        part = Part(
            id=f"part-{4 * number + place}",
            name=f"M{number}{'ABCD'[place]}",
            kind="module",
            when="option" if is_option else "",
        )
        heights = [
            20.0 + _PITCH_MM * (PINS_PER_MODULE * is_second + n) for n in range(PINS_PER_MODULE)
        ]
        x0, edge = (20.0, 50.0) if not is_right else (380.0, 350.0)
        tops = heights if not is_right else [285.0 - y for y in heights]
        box = MmBox(min(x0, edge), min(tops) - 2, max(x0, edge), max(tops) + 2)
        pins = tuple(BodyPin(at=MmPoint(edge, y), pin=str(n)) for n, y in enumerate(tops, start=1))
        parts.append(part)
        marks.append(
            BodyMark(
                id=f"mark-{4 * number + place}",
                sheet=sheet.id,
                box=box,
                part=part.id,
                connector="C1",
                pins=pins,
            )
        )
    return sheet, reading, tuple(parts), tuple(marks)
