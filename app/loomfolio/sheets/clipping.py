"""Windows that hide what lies outside them: upright boxes where they are, polygons where not.

Nearly every window on a page is an upright box that hides nothing, and then nothing is computed.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from loomfolio.basics import PxBox

F64 = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Window:
    """What can be seen: inside `box`, and inside `shape` where that is no upright box."""

    box: PxBox
    shape: Any = None

    def narrowed(self, rings: Iterable[F64]) -> Window:
        """Return the part of the window inside closed rings, each float64 (P, 2), even-odd."""
        kept = [ring for ring in rings if len(ring) >= 3]
        if not kept:
            return Window(PxBox(0.0, 0.0, 0.0, 0.0))
        low = np.min([ring.min(axis=0) for ring in kept], axis=0)
        high = np.max([ring.max(axis=0) for ring in kept], axis=0)
        box = _common(self.box, PxBox(*low.tolist(), *high.tolist()))
        if len(kept) == 1 and _is_upright_box(kept[0]):
            return Window(box, self.shape)
        shape = area_of(kept, even_odd=True)
        return Window(box, shape if self.shape is None else shape.intersection(self.shape))

    def shows_all(self, points: F64, margin: float = 0.0) -> bool:
        """Tell whether nothing of the points, float64 (P, 2), with a margin, is hidden."""
        if self.shape is not None:
            return False
        (x0, y0), (x1, y1) = points.min(axis=0) - margin, points.max(axis=0) + margin
        return bool(
            x0 >= self.box.x0 and y0 >= self.box.y0 and x1 <= self.box.x1 and y1 <= self.box.y1
        )

    def shows_none(self, points: F64) -> bool:
        """Tell whether all of the points, float64 (P, 2), lie on one side outside the box."""
        (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
        return bool(x1 < self.box.x0 or y1 < self.box.y0 or x0 > self.box.x1 or y0 > self.box.y1)

    def seen_lines(self, points: F64) -> list[F64]:
        """Return the visible pieces of a polyline, float64 (P, 2) each, along its direction."""
        found = shapely.intersection(shapely.linestrings(points), self._area())
        return lines_in(found)

    def seen_rings(self, rings: tuple[F64, ...], *, even_odd: bool) -> tuple[F64, ...]:
        """Return the visible part of an area as rings."""
        return rings_of(shapely.intersection(area_of(rings, even_odd=even_odd), self._area()))

    def _area(self) -> Any:
        box = shapely.box(*self.box)
        return box if self.shape is None else shapely.intersection(box, self.shape)


def area_of(rings: Iterable[F64], *, even_odd: bool) -> Any:
    """Return the area of closed rings: what an odd number of them holds, or what any of them holds.

    Rings that go round the other way inside one are holes by both rules, as fonts draw them.
    """
    shapes = [shapely.make_valid(shapely.polygons(ring)) for ring in rings if len(ring) >= 3]
    if not shapes:
        return shapely.Polygon()
    if len(shapes) == 1:
        return shapes[0]
    if even_odd:
        area = shapes[0]
        for shape in shapes[1:]:
            area = shapely.symmetric_difference(area, shape)
        return area
    return shapely.union_all(shapes)


def rings_of(area: Any) -> tuple[F64, ...]:
    """Return the rings of an area, outer and inner, float64 (P, 2) each."""
    rings: list[F64] = []
    for part in shapely.get_parts(area):
        if shapely.get_type_id(part) != 3:  # a polygon
            rings += rings_of(part) if shapely.get_num_geometries(part) > 1 else ()
            continue
        rings.append(shapely.get_coordinates(shapely.get_exterior_ring(part)))
        rings += [
            shapely.get_coordinates(shapely.get_interior_ring(part, k))
            for k in range(shapely.get_num_interior_rings(part))
        ]
    return tuple(rings)


def lines_in(found: Any) -> list[F64]:
    """Return the polylines of a geometry; points alone count for nothing."""
    return [
        shapely.get_coordinates(part)
        for part in shapely.get_parts(found)
        if shapely.get_type_id(part) == 1 and shapely.length(part) > 0  # a line
    ]


def _common(a: PxBox, b: PxBox) -> PxBox:
    x0, y0 = max(a.x0, b.x0), max(a.y0, b.y0)
    return PxBox(x0, y0, max(x0, min(a.x1, b.x1)), max(y0, min(a.y1, b.y1)))


def _is_upright_box(ring: F64) -> bool:
    """Tell whether a ring is an upright box: four corners, each side level or upright."""
    points = ring[:-1] if np.array_equal(ring[0], ring[-1]) else ring
    if len(points) != 4:
        return False
    steps = np.abs(np.diff(np.vstack([points, points[:1]]), axis=0))
    return bool((steps.min(axis=1) < 1e-3).all())
