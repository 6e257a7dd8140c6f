"""Coils drawn as one stroke with loops: no conductor crosses itself time and again within a few mm.

Where a line does, what lies between its first and its last crossing of itself is a symbol, and the line ends
on both sides of it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.vector.graph import piece_of
from loomfolio.reading.vector.lines import Line, span_of

F64 = NDArray[np.float64]

LOOPS_LEAST = 2
COIL_MOST_MM = 25.0
MOST_POINTS = 1500
"""A line with more corners is no symbol."""


def without_coils(lines: Sequence[Line], settings: ReaderSettings) -> list[Line]:
    """Return the lines without the looped parts of those that cross themselves."""
    left: list[Line] = []
    for line in lines:
        span = _looped(line, settings)
        if span is None:
            left.append(line)
            continue
        # What is left of an outer loop is the coil's too; a lead is longer.
        least = settings.px(settings.glyph_max_mm)
        first, last = span
        if first > least:
            left.append(line.along(piece_of(line.points, 0.0, first)))
        if line.length - last > least:
            left.append(line.along(piece_of(line.points, last, line.length)))
    return left


def _looped(line: Line, settings: ReaderSettings) -> tuple[float, float] | None:
    """Where along a line its loops begin and end."""
    count = len(line.points)
    if line.is_closed or not 8 <= count <= MOST_POINTS:
        return None
    if shapely.is_simple(shapely.linestrings(line.points)):
        return None
    crossings = _own_crossings(line.points)
    if len(crossings) < LOOPS_LEAST:
        return None
    first, last = float(crossings.min()), float(crossings.max())
    looped = piece_of(line.points, first, last)
    return (first, last) if span_of(looped) <= settings.px(COIL_MOST_MM) else None


def _own_crossings(points: F64) -> F64:
    """The places along a line, float64 (K, 2), of each crossing with itself: coming and going."""
    a, b = points[:-1], points[1:]
    steps = b - a
    length = np.hypot(steps[:, 0], steps[:, 1])
    start = np.concatenate([[0.0], np.cumsum(length)[:-1]])
    i, j = np.triu_indices(len(a), 2)
    cross = steps[i, 0] * steps[j, 1] - steps[i, 1] * steps[j, 0]
    gap = a[j] - a[i]
    safe = np.where(np.abs(cross) > 1e-9, cross, 1.0)
    t = (gap[:, 0] * steps[j, 1] - gap[:, 1] * steps[j, 0]) / safe
    u = (gap[:, 0] * steps[i, 1] - gap[:, 1] * steps[i, 0]) / safe
    hit = (np.abs(cross) > 1e-9) & (t >= 0) & (t < 1) & (u >= 0) & (u < 1)
    return np.stack(
        [start[i[hit]] + t[hit] * length[i[hit]], start[j[hit]] + u[hit] * length[j[hit]]], axis=1
    )
