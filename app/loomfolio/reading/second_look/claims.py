"""What a finished reading claims about the ink: segments, vertices, crossings in working px.

The second look asks the ink about each of these; it never asks how the first reading came to them.

Legend: S segments, V vertices, N points, H and W of the working image.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeVar

import cv2
import numpy as np
import shapely
from numpy.typing import NDArray

from loomfolio.reading.records import Conductor, Reading
from loomfolio.reading.settings import ReaderSettings

F64 = NDArray[np.float64]
I64 = NDArray[np.int64]
I32 = NDArray[np.int32]
U8 = NDArray[np.uint8]
Bools = NDArray[np.bool_]
Px = TypeVar("Px", np.bool_, np.uint8, np.int32)

_VERTEX_STEPS = 100  # per px of the page: vertices equal to this are one, as the records say
_LEAST_MM = 3.4  # a smaller conductor is the stroke of a letter
_LETTER_MM = 2.6  # a smaller body may be a letter or a part of one
_FINE = 4  # bits of sub-pixel places when painting
_BENT = 0.35  # length of the sum of two unit vectors away from a bend: above it, about 20 deg


@dataclass(frozen=True)
class Claims:
    """A reading in working px.

    Attributes
    ----------
    segments : float64, (S, 4)
        x0, y0, x1, y1 of every straight piece.
    owner : int64, (S,)
        Its conductor, counted from 1.
    width : float64, (S,)
        The width of that conductor's line.
    vertices, degree, first, bent : float64 (V, 2), int64 (V,), int64 (V,), bool (V,)
        Shared points, how many segment ends are there, one of these segments, and whether just two
        of them meet in a clear bend.
    apart : float64, (C, 2)
        Where the reading says that lines cross apart.
    hops : float64, (K, 2)
        Those of them that are no plain crossings.
    labels : int32, (H, W)
        The conductor painted at each px, 0 where there is none.
    inside : uint8, (H, W)
        1 in bodies, where conductors end.
    scale : float
        Working px per px of the page.
    """

    segments: F64
    owner: I64
    width: F64
    vertices: F64
    degree: I64
    first: I64
    bent: Bools
    apart: F64
    hops: F64
    labels: I32
    inside: U8
    scale: float

    @property
    def lengths(self) -> F64:
        """The length of each segment, float64 (S,)."""
        step = self.segments[:, 2:] - self.segments[:, :2]
        return np.asarray(np.hypot(step[:, 0], step[:, 1]))

    @property
    def vertex_width(self) -> F64:
        """The width of a line at each vertex, float64 (V,)."""
        return self.width[self.first]

    def outward(self, vertices: I64) -> F64:
        """Unit vectors in which lines would go on beyond ends, float64 (N, 2)."""
        near, far = self.segments[self.first[vertices]].reshape(-1, 2, 2).transpose(1, 0, 2)
        at = self.vertices[vertices]
        swap = np.abs(near - at).sum(axis=1) > np.abs(far - at).sum(axis=1)
        way = at - np.where(swap[:, None], near, far)
        return np.asarray(way / np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-9)[:, None])

    def nearest_on(self, conductor: int, x: float, y: float) -> tuple[float, float]:
        """The point of a conductor that is nearest to a place."""
        own = self.segments[self.owner == conductor]
        step = own[:, 2:] - own[:, :2]
        rel = np.array([x, y]) - own[:, :2]
        share = (rel * step).sum(axis=1) / np.maximum((step**2).sum(axis=1), 1e-9)
        on = own[:, :2] + np.clip(share, 0, 1)[:, None] * step
        best = on[int(np.hypot(on[:, 0] - x, on[:, 1] - y).argmin())]
        return float(best[0]), float(best[1])

    def passes(self, conductor: int, x: float, y: float, reach_px: float) -> bool:
        """Does a conductor pass within reach of a point? No conductor, 0, passes nowhere."""
        if conductor == 0:
            return False
        near_x, near_y = self.nearest_on(conductor, x, y)
        return math.hypot(near_x - x, near_y - y) <= reach_px

    def drawn_crossings(self) -> tuple[F64, F64]:
        """Where lines of two conductors cross, and the wider one's width: (N, 2) and (N,)."""
        lines = shapely.linestrings(self.segments.reshape(-1, 2, 2))
        a, b = shapely.STRtree(lines).query(lines, predicate="crosses")
        other = (a < b) & (self.owner[a] != self.owner[b])
        a, b = a[other], b[other]
        at = shapely.intersection(lines[a], lines[b])
        places = np.column_stack([shapely.get_x(at), shapely.get_y(at)])
        return places, np.maximum(self.width[a], self.width[b])


def look_at(picture: NDArray[Px], points: F64) -> NDArray[Px]:
    """The px of a picture, (H, W), under points, float64 (..., 2); zero off the page."""
    column = np.floor(points[..., 0]).astype(np.int64)
    row = np.floor(points[..., 1]).astype(np.int64)
    on = (column >= 0) & (row >= 0) & (column < picture.shape[1]) & (row < picture.shape[0])
    seen = picture[np.where(on, row, 0), np.where(on, column, 0)]
    seen[~on] = 0
    return seen


def claims_of(reading: Reading, shape: tuple[int, int], settings: ReaderSettings) -> Claims:
    """Return what a reading claims, in the working image of the given shape (H, W).

    Conductors no bigger than a letter are left out: joined to whatever they are, no net hangs on it.
    """
    scale = shape[1] / max(reading.page.width_px, 1)
    kept = [
        (number, c)
        for number, c in enumerate(reading.conductors, 1)
        if _extent(c) * scale >= settings.px(_LEAST_MM)
    ]
    labels = np.zeros(shape, dtype=np.int32)
    segments, owners, widths = [np.zeros((0, 4))], [np.zeros(0, np.int64)], [np.zeros(0)]
    for number, conductor in kept:
        width = conductor.stroke_px * scale
        for line in conductor.lines:
            points = np.array(line, dtype=np.float64) * scale
            segments.append(np.hstack([points[:-1], points[1:]]))
            owners.append(np.full(len(points) - 1, number, dtype=np.int64))
            widths.append(np.full(len(points) - 1, width))
            _paint(labels, points, round(width) + 2, number)
    flat = np.vstack(segments)
    vertices, degree, first, bent = _vertices(flat, scale)
    crossings = [(c.x, c.y, c.kind != "plain") for c in reading.crossings]
    apart = np.array(crossings, dtype=np.float64).reshape(-1, 3)
    return Claims(
        segments=flat,
        owner=np.concatenate(owners),
        width=np.concatenate(widths),
        vertices=vertices,
        degree=degree,
        first=first,
        bent=bent,
        apart=apart[:, :2] * scale,
        hops=apart[apart[:, 2] > 0, :2] * scale,
        labels=labels,
        inside=_insides(reading, labels, scale, settings),
        scale=scale,
    )


def _extent(conductor: Conductor) -> float:
    points = np.vstack([np.array(line, dtype=np.float64) for line in conductor.lines])
    return float((points.max(axis=0) - points.min(axis=0)).max())


def _paint(labels: I32, points: F64, thickness: int, number: int) -> None:
    fixed = np.round((points - 0.5) * (1 << _FINE)).astype(np.int32)
    cv2.polylines(labels, [fixed], isClosed=False, color=number, thickness=thickness, shift=_FINE)


def _insides(reading: Reading, labels: I32, scale: float, settings: ReaderSettings) -> U8:
    """Paint the bodies, except two sorts.

    Not those as small as a letter, which may be one, struck through by its line; nor those that the
    reading itself looks into: it has conductors inside.
    """
    inside = np.zeros(labels.shape, dtype=np.uint8)
    margin = settings.px(settings.body_reach_mm)
    for body in reading.bodies:
        x0, y0, x1, y1 = (v * scale for v in body.box)
        if max(x1 - x0, y1 - y0) < settings.px(_LETTER_MM):
            continue
        edge = max(margin, 0.12 * min(x1 - x0, y1 - y0))
        rows = slice(max(0, int(y0 + edge)), max(0, int(y1 - edge)))
        columns = slice(max(0, int(x0 + edge)), max(0, int(x1 - edge)))
        if np.count_nonzero(labels[rows, columns]) <= settings.px(1.0) ** 2 / 2:
            low, high = (int(x0), int(y0)), (int(x1), int(y1))
            cv2.rectangle(inside, low, high, 1, -1)
    return inside


def _vertices(segments: F64, scale: float) -> tuple[F64, I64, I64, Bools]:
    """Shared points of the segments, their degrees, a segment of each, and which are bends."""
    ends = segments.reshape(-1, 2)
    keys = np.round(ends / scale * _VERTEX_STEPS).astype(np.int64)
    _, where, own, degree = np.unique(
        keys, axis=0, return_index=True, return_inverse=True, return_counts=True
    )
    away = segments.reshape(-1, 2, 2)[:, ::-1].reshape(-1, 2) - ends
    away /= np.maximum(np.hypot(away[:, 0], away[:, 1]), 1e-9)[:, None]
    own, count = own.ravel(), len(degree)
    both = np.hypot(np.bincount(own, away[:, 0], count), np.bincount(own, away[:, 1], count))
    bent = (degree == 2) & (both > _BENT)
    return ends[where], degree.astype(np.int64), where.astype(np.int64) // 2, bent
