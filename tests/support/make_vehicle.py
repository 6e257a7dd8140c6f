"""A generated vehicle for the benchmarks: sheets of parallel and crossing leads between boxed parts."""

from __future__ import annotations

from dataclasses import dataclass

from loomfolio.basics import MM_PER_INCH, MmBox, MmPoint, PxPoint
from loomfolio.project import BodyMark, BodyPin, Part, Project, Sheet
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
