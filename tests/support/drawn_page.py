"""Small pages drawn feature by feature in mm, and the question which places are on one conductor."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import PxBox
from loomfolio.reading import Conductor, Reading, read_page

Mm = tuple[float, float]
Tone = int | tuple[int, int, int]
SHIFT = 6


class DrawnPage:
    """A white page that draws itself; all lengths in mm, y down, at `dpi`."""

    def __init__(
        self, width_mm: float = 60, height_mm: float = 40, *, dpi: float = 300, colour: bool = False
    ) -> None:
        self.dpi = dpi
        size = (round(height_mm * dpi / 25.4), round(width_mm * dpi / 25.4))
        shape = (*size, 3) if colour else size
        self.pixels: NDArray[np.uint8] = np.full(shape, 255, dtype=np.uint8)

    def px(self, length_mm: float) -> float:
        return length_mm * self.dpi / 25.4

    def _spot(self, at: Mm) -> tuple[int, int]:
        return tuple(round((self.px(v) - 0.5) * 2**SHIFT) for v in at)  # type: ignore[return-value]

    def line(self, *points: Mm, width_mm: float = 0.25, tone: Tone = 0) -> DrawnPage:
        for (ax, ay), (bx, by) in pairwise(points):
            size = float(np.hypot(bx - ax, by - ay)) or 1.0
            sx, sy = (by - ay) / size * width_mm / 2, (bx - ax) / size * width_mm / 2
            corners = (
                (ax + sx, ay - sy),
                (bx + sx, by - sy),
                (bx - sx, by + sy),
                (ax - sx, ay + sy),
            )
            polygon = np.array([self._spot(c) for c in corners], dtype=np.int32)
            cv2.fillPoly(self.pixels, [polygon], tone, cv2.LINE_AA, SHIFT)
        return self

    def dot(self, at: Mm, diameter_mm: float = 1.0, tone: Tone = 0) -> DrawnPage:
        radius = round(self.px(diameter_mm / 2) * 2**SHIFT)
        cv2.circle(self.pixels, self._spot(at), radius, tone, -1, cv2.LINE_AA, SHIFT)
        return self

    def arc(
        self, at: Mm, radius_mm: float, from_deg: float, to_deg: float, width_mm: float = 0.25
    ) -> DrawnPage:
        angles = np.radians(np.linspace(from_deg, to_deg, 60))
        points = [(at[0] + radius_mm * np.cos(a), at[1] + radius_mm * np.sin(a)) for a in angles]
        return self.line(*points, width_mm=width_mm)

    def box(self, x0: float, y0: float, x1: float, y1: float, width_mm: float = 0.3) -> DrawnPage:
        corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
        for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
            # Each side reaches half a pen beyond its corners, so that they are square.
            dx, dy = np.sign(b[0] - a[0]) * width_mm / 2, np.sign(b[1] - a[1]) * width_mm / 2
            self.line((a[0] - dx, a[1] - dy), (b[0] + dx, b[1] + dy), width_mm=width_mm)
        return self

    def text(self, at: Mm, words: str, height_mm: float = 2.0) -> DrawnPage:
        scale = self.px(height_mm) / 22.0
        spot = (round(self.px(at[0])), round(self.px(at[1])))
        cv2.putText(self.pixels, words, spot, cv2.FONT_HERSHEY_SIMPLEX, scale, 0, 2, cv2.LINE_AA)
        return self

    def wipe(self, x0: float, y0: float, x1: float, y1: float) -> DrawnPage:
        a, b = (round(self.px(v)) for v in (y0, y1))
        c, d = (round(self.px(v)) for v in (x0, x1))
        self.pixels[max(a, 0) : b, max(c, 0) : d] = 255
        return self

    def boxes(self, *boxes_mm: tuple[float, float, float, float]) -> list[PxBox]:
        return [PxBox(*(self.px(v) for v in box)) for box in boxes_mm]

    def read(self, *boxes_mm: tuple[float, float, float, float]) -> Reading:
        return read_page(self.pixels, dpi=self.dpi, bodies=self.boxes(*boxes_mm))


def conductor_at(reading: Reading, at: Mm, within_mm: float = 0.6) -> Conductor | None:
    """The conductor nearest to a place, if it is near."""
    px = reading.page.dpi / 25.4
    spot = np.array(at) * px
    found = [(distance_to(c, spot), c.id, c) for c in reading.conductors]
    near = min(found, default=None)
    return near[2] if near and near[0] <= within_mm * px else None


def distance_to(conductor: Conductor, spot: NDArray[np.float64]) -> float:
    """Distance in px from a place to the nearest line of a conductor."""
    best = np.inf
    for line in conductor.lines:
        points = np.array(line, dtype=np.float64)
        start, step = points[:-1], np.diff(points, axis=0)
        share = ((spot - start) * step).sum(axis=1) / np.maximum((step**2).sum(axis=1), 1e-9)
        on = start + np.clip(share, 0, 1)[:, None] * step
        best = min(best, float(np.hypot(*(on - spot).T).min()))
    return best


def nets_of(reading: Reading, places: Sequence[Mm]) -> list[set[int]]:
    """The places grouped by conductor, as sets of their numbers; a place on none is alone."""
    groups: dict[object, set[int]] = {}
    for number, place in enumerate(places):
        conductor = conductor_at(reading, place)
        key = ("none", number) if conductor is None else conductor.id
        groups.setdefault(key, set()).add(number)
    return sorted(groups.values(), key=min)
