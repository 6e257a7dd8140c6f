"""Lines drawn upon lines: a stripe of a second colour, a line drawn twice, a piece drawn again.

What lies wholly upon another line says nothing of where the conductor goes, and is dropped; what it
told of the colour is the page's, not the net's.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from loomfolio.reading.vector.lines import Line

F64 = NDArray[np.float64]

ALONG = 0.35
"""Two lines lie upon each other where their middles are no farther apart than this share of the wider
pen: beside each other they are one pen apart."""
STEP_PX = 4.0


def without_overlays(lines: Sequence[Line]) -> list[Line]:
    """Return the lines without those that lie wholly upon another one."""
    if len(lines) < 2:
        return list(lines)
    shapes = [shapely.linestrings(line.points) for line in lines]
    tree = shapely.STRtree(shapes)
    lengths = np.array([line.length for line in lines])
    firsts = np.array([line.points[0] for line in lines])
    lasts = np.array([line.points[-1] for line in lines])
    widest = np.array([line.width for line in lines])
    # A line upon another has its first end upon it; that leaves few pairs to look at closely.
    ends, hosts = tree.query(
        shapely.points(firsts), predicate="dwithin", distance=ALONG * float(widest.max())
    )
    gone = np.zeros(len(lines), dtype=np.bool_)
    for k, host in sorted(zip(ends.tolist(), hosts.tolist(), strict=True)):
        if k == host or gone[host] or gone[k] or not _may_lie_on(lengths, k, host):
            continue
        reach = ALONG * max(widest[k], widest[host])
        if float(shapely.distance(shapes[host], shapely.points(lasts[k]))) > reach:
            continue
        spots = shapely.points(_spots(lines[k].points))
        gone[k] = bool((shapely.distance(shapes[host], spots) <= reach).all())
    return [line for line, drop in zip(lines, gone, strict=True) if not drop]


def _may_lie_on(lengths: F64, k: int, host: int) -> bool:
    """A line lies on one that is longer; of two that are equal the later one goes."""
    slack = 1e-3 * lengths[host] + 0.01
    return bool(
        lengths[k] < lengths[host] - slack or (lengths[k] <= lengths[host] + slack and k > host)
    )


def _spots(points: F64) -> F64:
    """Points along a line, its corners among them, no farther apart than `STEP_PX`."""
    pieces = [points[:1]]
    for a, b in pairwise(points):
        count = max(1, int(np.ceil(np.hypot(*(b - a)) / STEP_PX)))
        t = np.linspace(0, 1, count + 1)[1:, None]
        pieces.append(a + t * (b - a))
    return np.vstack(pieces)
