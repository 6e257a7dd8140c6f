"""Connector faces and printed tables."""

from __future__ import annotations

import itertools
from collections.abc import Iterable

from drawing.plan import FacePlan, TablePlan
from drawing.shapes import Area, Ink, Lettering, Stroke, arc, corners, line, rectangle
from loomfolio.basics import MmBox, MmPoint

_PITCH_MM = 7.0
_CAVITY_MM = 2.7
_ROW_MM = 5.2


def draw_face(face: FacePlan) -> Iterable[Ink]:
    """A connector as one looks at it: housing with latch, rows of round cavities, the side in words."""
    wide = max(len(row) for row in face.rows) * _PITCH_MM + 5
    high = len(face.rows) * _PITCH_MM + 5
    x, y = face.at
    yield Lettering(face.title, MmPoint(x, y - 9.4), 2.3, is_bold=True)
    for number, words in enumerate(face.words):
        yield Lettering(words, MmPoint(x, y - 6.0 + 3 * number), 1.7)
    housing = MmBox(x, y, x + wide, y + high)
    yield Stroke(_rounded(housing, 2.0), 0.5, "outline")
    middle = housing.centre.x
    yield rectangle(MmBox(middle - 5, y - 2.2, middle + 5, y), 0.4)
    for row, cavities in enumerate(face.rows):
        first = middle - (len(cavities) - 1) * _PITCH_MM / 2
        for column, cavity in enumerate(cavities):
            centre = MmPoint(first + column * _PITCH_MM, y + 6.0 + row * _PITCH_MM)
            yield from _cavity(centre, cavity, is_blanked=cavity in face.blanked)
    if face.seen_from:
        at = MmPoint(middle, housing.y1 + 3.4)
        yield Lettering(f"SEEN FROM THE {face.seen_from}", at, 1.7, "centre")


def _cavity(centre: MmPoint, number: str, *, is_blanked: bool) -> Iterable[Ink]:
    radii = (_CAVITY_MM, _CAVITY_MM)
    yield arc(centre, radii, from_degrees=0, to_degrees=360, width_mm=0.3, role="outline")
    if is_blanked:
        for slope in (1, -1):
            yield line(
                (centre.x - 1.9, centre.y - 1.9 * slope),
                (centre.x + 1.9, centre.y + 1.9 * slope),
                0.25,
                "symbol",
            )
    else:
        yield Lettering(number, centre, 1.8, "centre")


def _rounded(box: MmBox, radius_mm: float) -> tuple[MmPoint, ...]:
    """A box with cut corners, closed."""
    r = radius_mm
    points = [
        (box.x0 + r, box.y0),
        (box.x1 - r, box.y0),
        (box.x1, box.y0 + r),
        (box.x1, box.y1 - r),
        (box.x1 - r, box.y1),
        (box.x0 + r, box.y1),
        (box.x0, box.y1 - r),
        (box.x0, box.y0 + r),
        (box.x0 + r, box.y0),
    ]
    return tuple(itertools.starmap(MmPoint, points))


def draw_table(table: TablePlan) -> Iterable[Ink]:
    """A table with a grey head and thin rules."""
    x, y = table.at
    right = x + table.columns_mm[-1]
    bottom = y + _ROW_MM * (len(table.rows) + 1)
    yield Area(corners(MmBox(x, y, right, y + _ROW_MM)), 224)
    yield rectangle(MmBox(x, y, right, bottom), 0.4, "rule")
    for number in range(1, len(table.rows) + 1):
        level = y + _ROW_MM * number
        yield line((x, level), (right, level), 0.2, "rule")
    for edge in table.columns_mm[1:-1]:
        yield line((x + edge, y), (x + edge, bottom), 0.2, "rule")
    for number, row in enumerate((table.head, *table.rows)):
        for edge, text in zip(table.columns_mm, row, strict=False):
            at = MmPoint(x + edge + 1.4, y + _ROW_MM * (number + 0.5))
            yield Lettering(text, at, 1.7, is_bold=number == 0)
