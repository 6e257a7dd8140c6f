"""Symbols that one unbroken pen draws inside a line: bows and levers.

- *Bows*: a fuse drawn as a wave, an inductor, a coil of loops. No conductor turns back on itself in
  half circles, one after the other; a single one is a hop.
- *Levers*: a contact that rests on its stop. The line leaves its axis at a slant, turns back by
  more than a right angle, and comes back onto the same axis within a few mm.

Both are looked for in the polyline of an edge, hence where nothing crosses; where the edge is cut
its conductors end. Legend: P points, T = P - 2 turns.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.settings import ReaderSettings

F64 = NDArray[np.float64]
Span = tuple[int, int]

BOW_LEAST_DEG = 110.0
"""A half circle turns by 180 degrees; a pen of half its radius wipes out over a third of that."""
VERTEX_MOST_DEG = 80.0
"""A larger turn at one point is a corner, not part of a curve."""
AXIS_SLACK_DEG = 8.0
TIP_TURN_DEG = (96.0, 150.0)


@dataclass(frozen=True)
class _Run:
    """Turns of one sense in a row: first and last point, total in degrees, path in px."""

    first: int
    last: int
    turned: float
    sharpest: float
    length: float

    @property
    def count(self) -> int:
        """How many points turn."""
        return self.last - self.first + 1


def find_bows(points: F64, settings: ReaderSettings) -> Span | None:
    """Return the first and last point of two or more bows in a row in float64 (P, 2), or None."""
    runs = _runs(points)
    bows = [_is_bow(run, settings) for run in runs]
    k = 0
    while k < len(runs):
        if not bows[k]:
            k += 1
            continue
        last = _last_bow(runs, bows, k, settings)
        if last > k:
            # The corner by which the line turns into the first bow is part of it.
            return max(runs[k].first - 1, 1), min(runs[last].last + 1, len(points) - 2)
        k += 1
    return None


def find_lever(points: F64, settings: ReaderSettings) -> Span | None:
    """Return the points where a lever leaves the axis of its line and comes back, or None."""
    for path in (points, points[::-1]):
        start = _lever_start(path, settings)
        if start is not None:
            count = len(points)
            return (start, start + 2) if path is points else (count - 3 - start, count - 1 - start)
    return None


def _last_bow(runs: list[_Run], bows: list[bool], first: int, settings: ReaderSettings) -> int:
    """The last of the bows that follow each other from one on, with at most a cusp between."""
    last, k = first, first + 1
    while k < len(runs):
        if bows[k]:
            last, k = k, k + 1
        elif k + 1 < len(runs) and bows[k + 1] and runs[k].length <= settings.px(1.2):
            last, k = k + 1, k + 2
        else:
            break
    return last


def _runs(points: F64) -> list[_Run]:
    """The turns of a polyline, joined where they have one sense and follow within a few mm."""
    steps = np.diff(points, axis=0)
    size = np.hypot(steps[:, 0], steps[:, 1])
    a, b = steps[:-1], steps[1:]
    turns = np.degrees(np.arctan2(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], (a * b).sum(axis=1)))
    runs: list[_Run] = []
    for k, turn in enumerate(turns.tolist()):
        if runs and runs[-1].turned * turn > 0:
            run = runs[-1]
            sharpest = max(run.sharpest, abs(turn))
            length = run.length + float(size[k])
            runs[-1] = _Run(run.first, k + 1, run.turned + turn, sharpest, length)
        else:
            runs.append(_Run(k + 1, k + 1, turn, abs(turn), 0.0))
    return runs


def _is_bow(run: _Run, settings: ReaderSettings) -> bool:
    least, most = settings.px(0.8), settings.px(8.0)
    return (
        abs(run.turned) >= BOW_LEAST_DEG
        and run.count >= 2
        and run.sharpest <= VERTEX_MOST_DEG
        and least <= run.length <= most
    )


def _lever_start(path: F64, settings: ReaderSettings) -> int | None:
    """The point from which a lever leads to its tip and from there back to the axis."""
    px = settings.px
    for k in range(1, len(path) - 3):
        ahead, lever, back, onward = (path[k + j] - path[k + j - 1] for j in range(4))
        long, short = float(np.hypot(*lever)), float(np.hypot(*back))
        if not (px(2.0) <= long <= px(9.0) and px(0.6) <= short <= px(3.5)):
            continue
        if _angle(ahead, onward) > AXIS_SLACK_DEG or not 6.0 <= _angle(ahead, lever) <= 45.0:
            continue
        if not TIP_TURN_DEG[0] <= _angle(lever, back) <= TIP_TURN_DEG[1]:
            continue
        axis = ahead / max(float(np.hypot(*ahead)), 1e-9)
        aside = path[k + 2] - path[k]
        if abs(float(axis[0] * aside[1] - axis[1] * aside[0])) <= px(0.25):
            return k
    return None


def _angle(a: F64, b: F64) -> float:
    """Degrees between two steps, 0 to 180."""
    return float(np.degrees(np.arctan2(abs(a[0] * b[1] - a[1] * b[0]), float(a @ b))))
