"""Diodes: a triangle, open or filled, with a bar across its tip and a line at either side.

The triangle is found by the paper it encloses (in two halves where the line is drawn through) or by
the ink that is thicker than any line. It is a diode only with the bar: without one it is the head
of an arrow that may lie on a line that goes on.

Legend: H, W of the working image.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from loomfolio.basics import PxBox
from loomfolio.reading.bodies import Body
from loomfolio.reading.settings import ReaderSettings

U8 = NDArray[np.uint8]
I32 = NDArray[np.int32]
F64 = NDArray[np.float64]

TRIANGLE_LEAST = 0.76
"""Share of the smallest triangle round it that a shape fills; a square fills half of it."""
EVEN_SIDES_MOST = 1.2
SLIM_MOST = 2.2
THICKER = (1.7, 3.0)
"""Pens that a filled triangle is thicker than; the second leaves nothing of a line twice as wide."""
INKED_LEAST = 0.8


@dataclass(frozen=True)
class _Triangle:
    """An isosceles triangle, float64 (2,) each: its tip and the ends of its base."""

    tip: F64
    left: F64
    right: F64

    @property
    def foot(self) -> F64:
        """The middle of the base."""
        return np.asarray((self.left + self.right) / 2)


def find_diodes(
    mask: U8, holes: Sequence[I32], stroke_px: float, settings: ReaderSettings
) -> tuple[Body, ...]:
    """Find diodes in ink, uint8 (H, W); `holes` are int32 (P, 2) ink px round enclosed paper."""
    found: dict[PxBox, Body] = {}
    shapes = [*_open_shapes(holes, settings)]
    for pens in THICKER:
        shapes += _filled_shapes(mask, pens * stroke_px, settings)
    for shape in shapes:
        for triangle in _triangles(shape):
            body = _diode(triangle, mask, stroke_px, settings)
            if body is not None:
                found[body.box] = body
                break
    return tuple(found[box] for box in sorted(found))


def _open_shapes(holes: Sequence[I32], settings: ReaderSettings) -> Iterator[I32]:
    """The outlines of triangular holes, and of two that lie side by side as halves of one."""
    least, most = settings.px(0.5), settings.px(settings.diode_max_mm)
    fits: list[I32] = []
    for hole in holes:
        size = hole.max(axis=0) - hole.min(axis=0)
        if size.max() <= most and size.max() >= 2 * least and size.min() >= least:
            hull = np.asarray(cv2.convexHull(hole), dtype=np.int32).reshape(-1, 2)
            whole = cv2.contourArea(hull)
            if whole > 0 and cv2.contourArea(hole) >= 0.8 * whole and _fill(hull) >= TRIANGLE_LEAST:
                fits.append(hull.astype(np.int32))
    yield from fits
    if len(fits) < 2:
        return
    middles = np.array([hull.mean(axis=0) for hull in fits])
    for k, j in sorted(cKDTree(middles).query_pairs(most / 2)):
        both = np.vstack([fits[k], fits[j]])
        yield np.asarray(cv2.convexHull(both), dtype=np.int32).reshape(-1, 2)


def _filled_shapes(mask: U8, thicker_px: float, settings: ReaderSettings) -> Iterator[I32]:
    """The outlines of ink that is thicker than any line and as small as a symbol."""
    size = max(3, round(thicker_px)) | 1
    core = cv2.erode(mask, np.ones((size, size), np.uint8), borderValue=0)
    _, _, stats, _ = cv2.connectedComponentsWithStats(core, connectivity=8)
    most, grow = settings.px(settings.diode_max_mm), size // 2
    for x, y, w, h, area in stats[1:].tolist():
        if max(w, h) > most or area < 6:
            continue
        part = mask[max(y - grow, 0) : y + h + grow, max(x - grow, 0) : x + w + grow]
        inner = np.zeros_like(part)
        top, left = y - max(y - grow, 0), x - max(x - grow, 0)
        inner[top : top + h, left : left + w] = core[y : y + h, x : x + w]
        blob = np.minimum(cv2.dilate(inner, np.ones((size, size), np.uint8)), part)
        rows, columns = np.nonzero(blob)
        spots = np.stack([columns + max(x - grow, 0), rows + max(y - grow, 0)], axis=1)
        hull = np.asarray(cv2.convexHull(spots.astype(np.int32)), dtype=np.int32).reshape(-1, 2)
        if len(hull) >= 3 and _fill(hull) >= TRIANGLE_LEAST - 0.1:
            yield hull


def _fill(hull: NDArray[np.int32]) -> float:
    """Share of the smallest triangle round a hull that it fills."""
    area, _ = cv2.minEnclosingTriangle(hull.reshape(-1, 1, 2).astype(np.float32))
    return float(cv2.contourArea(hull)) / float(area) if area > 0 else 0.0


def _triangles(hull: I32) -> Iterator[_Triangle]:
    """The isosceles triangles that a shape may be, for each of its corners as the tip."""
    area, corners = cv2.minEnclosingTriangle(hull.reshape(-1, 1, 2).astype(np.float32))
    if area <= 0 or float(cv2.contourArea(hull)) < 0.66 * area:
        return
    points = np.asarray(corners, dtype=np.float64).reshape(3, 2) + 0.5
    for k in range(3):
        tip, left, right = points[k], points[(k + 1) % 3], points[(k + 2) % 3]
        one, two = float(np.hypot(*(left - tip))), float(np.hypot(*(right - tip)))
        base = float(np.hypot(*(left - right)))
        height = float(np.hypot(*(tip - (left + right) / 2)))
        if max(one, two) <= EVEN_SIDES_MOST * min(one, two) and (
            base <= SLIM_MOST * height and height <= SLIM_MOST * base
        ):
            yield _Triangle(tip, left, right)


def _diode(
    triangle: _Triangle, mask: U8, stroke_px: float, settings: ReaderSettings
) -> Body | None:
    """The body of a diode, if a bar lies across the tip and lines lead to it and from it."""
    base = triangle.right - triangle.left
    wide = float(np.hypot(*base))
    along = triangle.tip - triangle.foot
    high = float(np.hypot(*along))
    if not settings.px(0.9) <= high <= settings.px(settings.diode_max_mm) or wide < 1:
        return None
    across, along = base / wide, along / high
    bar = _bar_at(triangle, mask, (along, across), (wide, stroke_px))
    if bar is None:
        return None
    behind = max(2.5 * stroke_px, 5.0)
    lines = (
        triangle.foot - along * np.arange(1.6 * stroke_px, 1.6 * stroke_px + behind, 0.5)[:, None],
        triangle.tip + along * (bar + np.arange(stroke_px, stroke_px + behind, 0.5)[:, None]),
    )
    if any(_ink(mask, line).mean() < INKED_LEAST for line in lines):
        return None
    half = wide / 2 + 1.5 * stroke_px + 1.0
    ends = (triangle.foot - along * (stroke_px + 0.5), triangle.tip + along * (bar + stroke_px))
    corners = (ends[0] - half * across, ends[0] + half * across,
               ends[1] + half * across, ends[1] - half * across)  # fmt: skip
    low, high_corner = np.min(corners, axis=0), np.max(corners, axis=0)
    return Body(
        PxBox(*low.tolist(), *high_corner.tolist()),
        corners=tuple((float(x), float(y)) for x, y in corners),
    )


def _bar_at(
    triangle: _Triangle, mask: U8, ways: tuple[F64, F64], sizes: tuple[float, float]
) -> float | None:
    """How far ahead of the tip a bar lies across, about as long as the base; None without one."""
    along, across = ways
    wide, pen = sizes
    near = np.arange(0.22, 0.4, 0.02) * wide
    far = np.arange(0.5 * wide + 2.5 * pen, 0.5 * wide + 5.0 * pen, 0.5)
    for ahead in np.arange(-1.5 * pen - 1, 2.5 * pen + 1, 0.5):
        at = triangle.tip + ahead * along
        sides = [at + sign * near[:, None] * across for sign in (1, -1)]
        if all(_ink(mask, side).all() for side in sides):
            beyond = [at + sign * far[:, None] * across for sign in (1, -1)]
            short = all(_ink(mask, side).mean() < 0.4 for side in beyond)
            # Half way back to the base there is no bar: ink there is the triangle's own.
            back = at - max(3.0 * pen, 0.3 * wide) * along
            outer = [back + sign * 0.46 * wide * across for sign in (1, -1)]
            open_sides = not all(_ink(mask, spot[None]).any() for spot in outer)
            return float(ahead) if short and open_sides else None
    return None


def _ink(mask: U8, places: F64) -> U8:
    x = np.clip(places[:, 0].astype(np.int64), 0, mask.shape[1] - 1)
    y = np.clip(places[:, 1].astype(np.int64), 0, mask.shape[0] - 1)
    return np.asarray(mask[y, x])
