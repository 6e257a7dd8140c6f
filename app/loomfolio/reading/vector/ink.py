"""From what a page draws to lines, dots and symbols: what each stroke and each fill is for the reader.

What lies on top hides what lies below: paper-coloured areas and pens (halos) cut earlier lines, so that
a gap drawn by covering is a gap. A filled disc is a dot, a long thin filled box is a line, fills as
large and as ragged as letters are letters, other dark fills are symbols.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.vector.lines import Circle, Dot, Line, fitted_circle, span_of
from loomfolio.sheets import DrawnFill, DrawnStroke, PageDrawing, area_of, lines_in

F64 = NDArray[np.float64]

PAPER_DARKNESS = 40
"""Paint less dark than this, of 255, is paper: it hides what it covers and draws nothing itself."""
DOT_MOST_MM = 3.2
"""Diameter of the largest dot; larger discs are lamps, wheels and the like."""
BAR_RATIO = 3.0
"""A filled box this much longer than wide, and no wider than a pen, is a line."""
SYMBOL_MOST_MM = 8.0
"""A dark area larger than this is a body's ground and covers what is below it."""


@dataclass(frozen=True)
class VectorInk:
    """What is drawn on a page, sorted; working px.

    Attributes
    ----------
    lines : the strokes as far as they can be seen, and thin filled boxes
    circles : lines drawn as whole circles
    dots : filled discs
    symbols : float64 (P, 2) each
        Outlines of other small dark areas: arrow heads, triangles, bars.
    letter_boxes : float64, (N, 4)
        x0, y0, x1, y1 of letters, from words and from fills.
    """

    lines: tuple[Line, ...]
    circles: tuple[Circle, ...]
    dots: tuple[Dot, ...]
    symbols: tuple[F64, ...]
    letter_boxes: F64


@dataclass(frozen=True)
class _Cover:
    area: Any
    order: float
    is_pen: bool
    way: F64 | None = None


def sort_ink(drawing: PageDrawing, scale: float, settings: ReaderSettings) -> VectorInk:
    """Sort all that a page draws; `scale` is working px per px of the page."""
    lines = [_line_of(s, scale) for s in drawing.strokes if s.colour.darkness >= PAPER_DARKNESS]
    fills = _Fills(settings, scale)
    for fill in drawing.fills:
        fills.add(fill)
    halos = [s for s in drawing.strokes if s.colour.darkness < PAPER_DARKNESS]
    covers = [*fills.covers, *(_halo(s, scale) for s in halos)]
    lines, dots = _without_hidden([*lines, *fills.lines], fills.dots, covers)
    strokes, circles, discs = _circles_apart(lines, settings)
    boxes = [tuple(v * scale for v in box) for word in drawing.words for box in word.letter_boxes
             if not word.is_hidden]  # fmt: skip
    letters = np.array([*boxes, *fills.letters], dtype=np.float64).reshape(-1, 4)
    return VectorInk(tuple(strokes), tuple(circles), (*dots, *discs), tuple(fills.symbols), letters)


def _line_of(stroke: DrawnStroke, scale: float) -> Line:
    return Line(
        stroke.points * scale,
        stroke.width_px * scale,
        stroke.colour,
        stroke.order,
        stroke.cap_px * scale,
        stroke.is_dashed,
        stroke.is_curved,
    )


def _halo(stroke: DrawnStroke, scale: float) -> _Cover:
    line = shapely.linestrings(stroke.points * scale)
    area = shapely.buffer(line, stroke.width_px * scale / 2, cap_style="flat", join_style="mitre")
    return _Cover(area, stroke.order, is_pen=True, way=stroke.points * scale)


class _Fills:
    """Sorts filled areas."""

    def __init__(self, settings: ReaderSettings, scale: float) -> None:
        self.settings, self.scale = settings, scale
        self.lines: list[Line] = []
        self.dots: list[Dot] = []
        self.symbols: list[F64] = []
        self.letters: list[tuple[float, float, float, float]] = []
        self.covers: list[_Cover] = []

    def add(self, fill: DrawnFill) -> None:
        """Take one fill: a cover, or the ink of one or several shapes."""
        rings = [ring * self.scale for ring in fill.rings]
        largest = max(span_of(ring) for ring in rings)
        dark = fill.colour.darkness >= PAPER_DARKNESS
        if not dark or (largest > self.settings.px(SYMBOL_MOST_MM) and not self._are_thin(rings)):
            self.covers.append(
                _Cover(area_of(rings, even_odd=fill.is_even_odd), fill.order, is_pen=False)
            )
            return
        outer = _outer_rings(rings)
        ragged = [k for k, inner in outer.items() if inner or _is_ragged(rings[k])]
        if ragged and all(
            span_of(rings[k]) <= self.settings.px(self.settings.glyph_max_mm) for k in outer
        ):
            self.letters += [_box_of(rings[k]) for k in outer]
            return
        for k in outer:
            self._shape(rings[k], fill)

    def _are_thin(self, rings: Sequence[F64]) -> bool:
        return all(_bar_of(ring, self.settings) is not None for ring in rings)

    def _shape(self, ring: F64, fill: DrawnFill) -> None:
        circle = fitted_circle(ring)
        half_pen = fill.pen_px * self.scale / 2
        if circle is not None:
            x, y, radius = circle
            if 2 * (radius + half_pen) <= self.settings.px(DOT_MOST_MM):
                self.dots.append(Dot(x, y, radius + half_pen, fill.order))
                return
        bar = _bar_of(ring, self.settings)
        if bar is not None:
            points, width = bar
            self.lines.append(Line(points, width + 2 * half_pen, fill.colour, fill.order))
            return
        if circle is None and _is_compact(ring, self.settings):
            x, y = ((ring.min(axis=0) + ring.max(axis=0)) / 2).tolist()
            self.dots.append(Dot(x, y, float(np.ptp(ring, axis=0).min()) / 2, fill.order))
            return
        self.symbols.append(ring)


def _outer_rings(rings: Sequence[F64]) -> dict[int, list[int]]:
    """The rings that lie in no other, each with those that lie in it."""
    if len(rings) == 1:
        return {0: []}
    shapes = [shapely.polygons(ring) for ring in rings]
    outer: dict[int, list[int]] = {}
    for k in sorted(range(len(rings)), key=lambda n: -float(shapely.area(shapes[n]))):
        holder = next((o for o in outer if shapely.contains_properly(shapes[o], shapes[k])), None)
        if holder is None:
            outer[k] = []
        else:
            outer[holder].append(k)
    return outer


def _is_ragged(ring: F64) -> bool:
    """Tell a letter from a symbol: its outline fills clearly less than the hull round it."""
    shape = shapely.polygons(ring)
    hull = float(shapely.area(shapely.convex_hull(shape)))
    return bool(hull > 0 and len(ring) > 5) and float(shapely.area(shape)) < 0.85 * hull


def _is_compact(ring: F64, settings: ReaderSettings) -> bool:
    """Tell a small filled square or diamond: a dot drawn with four corners."""
    wide, high = np.ptp(ring, axis=0).tolist()
    if len(ring) != 5 or not 0.8 <= wide / max(high, 1e-9) <= 1.25:
        return False
    area = float(shapely.area(shapely.polygons(ring)))
    return bool(wide <= settings.px(2.0) and area >= 0.45 * wide * high)


def _bar_of(ring: F64, settings: ReaderSettings) -> tuple[F64, float] | None:
    """The middle line, float64 (2, 2), and the width of a long thin filled box."""
    corners = ring[:-1]
    if len(corners) != 4:
        return None
    sides = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
    first = 0 if sides[0] + sides[2] < sides[1] + sides[3] else 1
    width, length = float(sides[first]), float(sides[1 - first])
    if width > settings.px(settings.stroke_max_mm) or length < BAR_RATIO * width:
        return None
    if abs(float(shapely.area(shapely.polygons(ring))) - width * length) > 0.05 * width * length:
        return None
    start = (corners[first] + corners[(first + 1) % 4]) / 2
    end = (corners[(first + 2) % 4] + corners[(first + 3) % 4]) / 2
    return np.array([start, end]), width


def _box_of(ring: F64) -> tuple[float, float, float, float]:
    (x0, y0), (x1, y1) = ring.min(axis=0).tolist(), ring.max(axis=0).tolist()
    return x0, y0, x1, y1


def _circles_apart(
    lines: Sequence[Line], settings: ReaderSettings
) -> tuple[list[Line], list[Circle], list[Dot]]:
    """Set whole circles apart from lines; one drawn with a pen as wide as itself is a dot."""
    rest: list[Line] = []
    circles: list[Circle] = []
    discs: list[Dot] = []
    for line in lines:
        circle = fitted_circle(line.points) if line.is_closed else None
        if circle is None or line.is_dashed:
            rest.append(line)
            continue
        x, y, radius = circle
        if line.width >= 1.2 * radius:
            discs.append(Dot(x, y, radius + line.width / 2, line.order))
        elif 2 * radius <= settings.px(16.0):
            circles.append(Circle(x, y, radius, line.width))
        else:
            rest.append(line)
    return rest, circles, discs


def _without_hidden(
    lines: Sequence[Line], dots: Sequence[Dot], covers: Sequence[_Cover]
) -> tuple[list[Line], list[Dot]]:
    """Cut from each line what a later cover hides, and drop the dots that are hidden."""
    if not covers:
        return list(lines), list(dots)
    tree = shapely.STRtree([cover.area for cover in covers])
    seen: list[Line] = []
    for line in lines:
        geometry = shapely.linestrings(line.points)
        hiding = [
            covers[k]
            for k in np.sort(tree.query(geometry, predicate="intersects")).tolist()
            if covers[k].order > line.order and not _runs_along(line, covers[k])
        ]
        if not hiding:
            seen.append(line)
            continue
        left = shapely.difference(geometry, shapely.union_all([cover.area for cover in hiding]))
        seen += [line.along(points) for points in lines_in(shapely.line_merge(left))]
    shown = [
        dot
        for dot in dots
        if not any(
            covers[k].order > dot.order
            for k in tree.query(shapely.points(dot.x, dot.y), predicate="within").tolist()
        )
    ]
    return seen, shown


def _runs_along(line: Line, cover: _Cover) -> bool:
    """Tell a light stripe on its own line from a halo across it."""
    if not cover.is_pen or cover.way is None:
        return False
    on = shapely.distance(shapely.linestrings(line.points), shapely.points(cover.way))
    return bool((on <= line.width / 2).all())
