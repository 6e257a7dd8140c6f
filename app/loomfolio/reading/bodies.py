"""Bodies: the boxes a person marked, and the rings found on the page; where conductors end at them.

The ink of a body is taken out before lines are sought, so that its outline never joins what ends
at it. A small ring is a terminal: a line runs on through it.

Legend: H, W of the working image.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import PxBox
from loomfolio.reading.settings import ReaderSettings

U8 = NDArray[np.uint8]

PEN_SHARE = 0.6
"""Share of a body's side that is inked where its outline runs; lines that end there ink up to 0.3."""
PEN_LEAST_PX = 30
"""Sides shorter than this say nothing: one thick line and its number may ink most of them."""


@dataclass(frozen=True)
class Body:
    """A closed outline in working px; `terminal` says that it joins the lines that end at it."""

    box: PxBox
    round: bool = False
    terminal: bool = False
    given: bool = False
    corners: tuple[tuple[float, float], ...] = ()

    @property
    def centre(self) -> tuple[float, float]:
        """The middle of the box."""
        return (self.box.x0 + self.box.x1) / 2, (self.box.y0 + self.box.y1) / 2

    def distance(self, x: float, y: float) -> float:
        """Distance of a point from the body; a drawn outline counts from both sides."""
        if self.corners:
            return abs(float(cv2.pointPolygonTest(self._contour, (x, y), measureDist=True)))
        if self.round:
            cx, cy = self.centre
            radius = (self.box.x1 - self.box.x0 + self.box.y1 - self.box.y0) / 4
            return max(0.0, math.hypot(x - cx, y - cy) - radius)
        dx = max(self.box.x0 - x, 0.0, x - self.box.x1)
        dy = max(self.box.y0 - y, 0.0, y - self.box.y1)
        return math.hypot(dx, dy)

    def edge_point(self, x: float, y: float, dx: float, dy: float) -> tuple[float, float]:
        """The point of the edge that a line through (x, y) with direction (dx, dy) aims at."""
        if self.corners:
            return _nearest_on(np.asarray(self.corners, dtype=np.float64), x, y)
        if self.round:
            cx, cy = self.centre
            radius = (self.box.x1 - self.box.x0) / 2
            size = math.hypot(x - cx, y - cy) or 1.0
            return cx + (x - cx) * radius / size, cy + (y - cy) * radius / size
        best = (_clamped(x, self.box.x0, self.box.x1), _clamped(y, self.box.y0, self.box.y1))
        near = math.inf
        for t in self._edge_steps(x, y, dx, dy):
            px, py = x + t * dx, y + t * dy
            if self.distance(px, py) < 0.05 and abs(t) < near:
                best, near = (px, py), abs(t)
        return best

    @property
    def _contour(self) -> NDArray[np.float32]:
        return np.asarray(self.corners, dtype=np.float32).reshape(-1, 1, 2)

    def _edge_steps(self, x: float, y: float, dx: float, dy: float) -> list[float]:
        steps = [(edge - x) / dx for edge in (self.box.x0, self.box.x1) if abs(dx) > 1e-6]
        return steps + [(edge - y) / dy for edge in (self.box.y0, self.box.y1) if abs(dy) > 1e-6]


def _nearest_on(corners: NDArray[np.float64], x: float, y: float) -> tuple[float, float]:
    """The point of a closed polygon, float64 (P, 2), that is nearest to a point."""
    steps = np.roll(corners, -1, axis=0) - corners
    rel = np.array([x, y]) - corners
    share = (rel * steps).sum(axis=1) / np.maximum((steps**2).sum(axis=1), 1e-9)
    on = corners + np.clip(share, 0, 1)[:, None] * steps
    best = on[int(np.argmin(np.hypot(on[:, 0] - x, on[:, 1] - y)))]
    return float(best[0]), float(best[1])


def _clamped(value: float, low: float, high: float) -> float:
    return min(max(value, low), high)


def given_bodies(boxes: Sequence[PxBox], scale: float) -> tuple[Body, ...]:
    """Bring the boxes that a person marked into the working image."""
    return tuple(
        Body(
            PxBox(
                min(b[0], b[2]) * scale,
                min(b[1], b[3]) * scale,
                max(b[0], b[2]) * scale,
                max(b[1], b[3]) * scale,
            ),
            given=True,
        )
        for b in boxes
    )


def find_rings(lines: U8, stroke_px: float, settings: ReaderSettings) -> tuple[Body, ...]:
    """Find circles drawn as one unbroken ring in ink, uint8 (H, W) of zeros and ones."""
    if not lines.any():
        return ()
    contours, tree = cv2.findContours(lines, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    least, most = settings.px(0.6), settings.px(16.0)
    rings: list[Body] = []
    for contour, links in zip(contours, np.reshape(tree, (-1, 4)), strict=True):
        if links[3] < 0 or len(contour) < 8:
            continue
        _, _, w, h = cv2.boundingRect(contour)
        if not (least <= min(w, h) and max(w, h) <= most and 0.8 <= w / h <= 1.25):
            continue
        ring = _ring_of(np.asarray(contour, dtype=np.int32), stroke_px, settings)
        if ring is not None:
            rings.append(ring)
    return tuple(sorted(rings, key=lambda r: r.box))


def _ring_of(contour: NDArray[np.int32], stroke_px: float, settings: ReaderSettings) -> Body | None:
    """The ring around a hole, if the hole is round; `contour` int32 (P, 1, 2) on its ink side."""
    hull = cv2.convexHull(contour)
    if not _mostly_on_circle(contour, np.asarray(hull, dtype=np.int32)):
        return None
    # A line that reaches into the ring notches the hole; its hull is round all the same.
    points = hull.reshape(-1, 2).astype(np.float64) + 0.5
    low, high = points.min(axis=0), points.max(axis=0)
    centre = (low + high) / 2
    radius = np.hypot(*(points - centre).T)
    mean = float(radius.mean())
    if float(np.abs(radius - mean).max()) > max(1.0, 0.09 * mean):
        return None
    # The corners of a square are as far from its middle as each other: only its area tells.
    if cv2.contourArea(hull) < 0.88 * math.pi * mean * mean:
        return None
    # The contour runs on the inmost ink px; the outer edge lies a line width farther out.
    outer = mean + stroke_px - 0.5
    box = PxBox(*(centre - outer).tolist(), *(centre + outer).tolist())
    return Body(box, round=True, terminal=2 * outer <= settings.px(settings.ring_max_mm))


def _mostly_on_circle(contour: NDArray[np.int32], hull: NDArray[np.int32]) -> bool:
    """Tell whether the edge of a hole is a circle but for what reaches into it."""
    (x, y), radius = cv2.minEnclosingCircle(hull)
    points = contour.reshape(-1, 2)
    off = np.abs(np.hypot(points[:, 0] - x, points[:, 1] - y) - radius)
    return float((off <= 0.08 * radius + 1.2).mean()) >= 0.6


def without_bodies(lines: U8, bodies: Sequence[Body], edge_px: float, pen_px: float = 0.0) -> U8:
    """Return the ink without what lies inside the bodies and within `edge_px` of their edge.

    The outline's own pen may lie up to `pen_px` outside the box a person dragged. A rim of it left
    there would join all lines that end at the body, so it is taken out too.
    """
    left = lines.copy()
    for body in bodies:
        if body.round:
            cx, cy = body.centre
            radius = (body.box.x1 - body.box.x0) / 2 + edge_px
            centre = (round((cx - 0.5) * 16), round((cy - 0.5) * 16))
            cv2.circle(left, centre, round(radius * 16), 0, -1, cv2.LINE_8, 4)
        else:
            x0, y0, x1, y1 = _with_pen(lines, body.box, edge_px, pen_px)
            left[y0:y1, x0:x1] = 0
    return left


def _with_pen(lines: U8, box: PxBox, edge_px: float, pen_px: float) -> tuple[int, int, int, int]:
    """The px range of a box, widened at each side by the edge and by what pen lies beyond it."""
    height, width = lines.shape
    x0, x1 = max(0, int(box.x0 - edge_px)), min(width, math.ceil(box.x1 + edge_px))
    y0, y1 = max(0, int(box.y0 - edge_px)), min(height, math.ceil(box.y1 + edge_px))
    reach = math.ceil(pen_px)
    if reach == 0 or x1 <= x0 or y1 <= y0:
        return x0, y0, max(x0, x1), max(y0, y1)
    column, row = slice(y0, y1), slice(x0, x1)
    x0 -= _pen_rows(lines[column, max(0, x0 - reach) : x0].T[::-1])
    x1 += _pen_rows(lines[column, x1 : x1 + reach].T)
    y0 -= _pen_rows(lines[max(0, y0 - reach) : y0, row][::-1])
    y1 += _pen_rows(lines[y1 : y1 + reach, row])
    return x0, y0, x1, y1


def _pen_rows(beside: U8) -> int:
    """How many rows beside an edge, nearest first and without a break, its pen takes, and its rim."""
    if beside.size == 0 or beside.shape[1] < PEN_LEAST_PX:
        return 0
    bare = np.flatnonzero(beside.mean(axis=1) < PEN_SHARE)
    inked = int(bare[0]) if len(bare) else len(beside)
    return min(inked + 2, len(beside)) if inked else 0
