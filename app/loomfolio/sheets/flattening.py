"""Curves as polylines, never farther from the curve than a known distance.

A cubic Bézier curve cut into n even pieces leaves its chords by at most sqrt(3)/18 of its largest
second difference over n² (Wang's bound is 6/8 of it and holds for all cubics); n follows from that.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

F64 = NDArray[np.float64]
Point = tuple[float, float]

FLATTENING_PX = 0.1
"""A chord leaves its curve by no more than this: less than 0.01 mm at 300 dpi."""
PIECES_MOST = 200


def flattened(start: Point, control: Sequence[Point], tolerance_px: float) -> list[Point]:
    """Return the points of a cubic curve after `start`; `control` are its other three points."""
    corners = np.array([start, *control], dtype=np.float64)
    bend = np.abs(np.diff(corners, n=2, axis=0))
    largest = float(np.hypot(bend[:, 0], bend[:, 1]).max())
    pieces = math.ceil(math.sqrt(0.75 * largest / tolerance_px)) if largest > 0 else 1
    if not math.isfinite(largest):
        return [control[-1]]
    t = np.linspace(0.0, 1.0, min(max(pieces, 1), PIECES_MOST) + 1)[1:, None]
    s = 1.0 - t
    a, b, c, d = corners
    points = s**3 * a + 3 * s * s * t * b + 3 * s * t * t * c + t**3 * d
    return [(float(x), float(y)) for x, y in points]
