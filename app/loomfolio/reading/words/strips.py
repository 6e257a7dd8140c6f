"""Put letters side by side into strips that read as one run of text, upright or turned by 90 degrees.

Two pieces belong together where one stands right after the other at about its height. How far apart
they may stand is measured between their cells, not their ink: a `1` takes as much room as an `8` in the
lettering of plotters. A strip is upright where its letters are higher than wide, and turned (read from
below) where they are wider than high; where that does not tell, both ways are tried by the reader.

Legend: G pieces of letter size.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from loomfolio.reading.words.letter_ink import LetterInk

F64 = NDArray[np.float64]
Turn = Literal["upright", "turned"]

REACH_HEIGHTS = 0.85
"""Cells farther apart than this many heights belong to different strips (a space is about half of one)."""
CELL_HEIGHTS = 0.5
"""The narrowest cell of a letter, in heights."""
ALIKE = 1.7
"""Letters of one strip differ in height at most by this (an `a` beside a `d`)."""


@dataclass(frozen=True, slots=True)
class Strip:
    """Pieces that read as one run, by number in `LetterInk`, in the order of reading; and which way up."""

    pieces: tuple[int, ...]
    turns: tuple[Turn, ...]


def find_strips(ink: LetterInk, *, least_px: float) -> list[Strip]:
    """Return the strips of a page, each piece in one at most; `least_px` is the lowest lettering."""
    if len(ink.boxes) == 0:
        return []
    upright = _linked(ink.boxes, ink.at_line)
    turned = _linked(_turned(ink.boxes), ink.at_line)
    ways: list[tuple[Turn, list[list[int]]]] = [("upright", upright), ("turned", turned)]
    offered = [
        (_standing(ink.boxes[run], way) * len(run), way, run) for way, runs in ways for run in runs
    ]
    offered.sort(key=lambda one: (-one[0], one[1], one[2][0]))
    taken: set[int] = set()
    strips: list[Strip] = []
    for _, way, run in offered:
        rest = [k for k in run if k not in taken]
        if len(rest) < len(run):
            strips += _leftovers(ink, rest, way, taken, least_px)
            continue
        if _height(ink.boxes[run], way) >= least_px:
            strips.append(Strip(_in_order(ink.boxes, run, way), _turns(ink.boxes[run], way)))
        taken.update(run)
    return strips


def _leftovers(
    ink: LetterInk, rest: list[int], way: Turn, taken: set[int], least_px: float
) -> list[Strip]:
    """A run that lost pieces to a better one falls into what still hangs together."""
    found: list[Strip] = []
    boxes = ink.boxes[rest] if rest else np.zeros((0, 4))
    laid = boxes if way == "upright" else _turned(boxes)
    for part in _linked(laid, ink.at_line[rest]):
        run = [rest[k] for k in part]
        if _height(ink.boxes[run], way) >= least_px:
            found.append(Strip(_in_order(ink.boxes, run, way), _turns(ink.boxes[run], way)))
        taken.update(run)
    return found


def _turned(boxes: F64) -> F64:
    """The boxes as they lie when the page is turned so that text read from below stands upright."""
    return np.stack([-boxes[:, 3], boxes[:, 0], -boxes[:, 1], boxes[:, 2]], axis=1)


def _linked(boxes: F64, at_line: NDArray[np.bool_]) -> list[list[int]]:
    """Return the runs of boxes that stand side by side along x, single ones included.

    A number and the ring or square of its terminal, which hangs on a line, are no run.
    """
    count = len(boxes)
    if count == 0:
        return []
    parent = list(range(count))

    def root(k: int) -> int:
        while parent[k] != k:
            parent[k] = parent[parent[k]]
            k = parent[k]
        return k

    middle = (boxes[:, :2] + boxes[:, 2:]) / 2
    high, wide = boxes[:, 3] - boxes[:, 1], boxes[:, 2] - boxes[:, 0]
    like_letter = wide < 0.85 * high
    tree = cKDTree(middle)
    for k in range(count):
        for o in tree.query_ball_point(middle[k], 2.2 * max(high[k], 4.0)):
            if o == k or (at_line[o] != at_line[k] and not like_letter[o if at_line[o] else k]):
                continue
            if _side_by_side(*_by_x(boxes[k], boxes[o])):
                parent[root(o)] = root(k)
    runs: dict[int, list[int]] = {}
    for k in range(count):
        runs.setdefault(root(k), []).append(k)
    return list(runs.values())


def _by_x(a: F64, b: F64) -> tuple[F64, F64]:
    return (a, b) if a[0] + a[2] <= b[0] + b[2] else (b, a)


def _side_by_side(a: F64, b: F64) -> bool:
    """Does `b` stand right after `a` on one line of text?"""
    high_a, high_b = a[3] - a[1], b[3] - b[1]
    high, low = max(high_a, high_b), min(high_a, high_b)
    lower = a if high_a < high_b else b
    if _is_small_sign(lower, high):
        taller = b if high_a < high_b else a
        middle = (lower[1] + lower[3]) / 2
        if not taller[1] <= middle <= taller[3] + 0.2 * high:
            return False
    elif low * ALIKE < high or min(a[3], b[3]) - max(a[1], b[1]) < 0.5 * low:
        return False
    cell = CELL_HEIGHTS * high
    between = (b[0] + b[2] - a[0] - a[2]) / 2
    own = (max(a[2] - a[0], cell) + max(b[2] - b[0], cell)) / 2
    return bool(between - own <= REACH_HEIGHTS * high)


def _is_small_sign(box: F64, high: float) -> bool:
    """A full stop, a colon's dot or a hyphen beside letters `high` px high."""
    wide, own = float(box[2] - box[0]), float(box[3] - box[1])
    return own <= 0.3 * high and wide <= 0.8 * high


def _height(boxes: F64, way: Turn) -> float:
    """The height of the lettering of a run."""
    side = 1 if way == "upright" else 0
    return float((boxes[:, side + 2] - boxes[:, side]).max())


def _standing(boxes: F64, way: Turn) -> float:
    """How well a run's letters stand that way: the share of those that are clearly higher than wide."""
    wide, high = boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1]
    if way == "turned":
        wide, high = high, wide
    tall = np.maximum(wide, high) >= 0.5 * np.maximum(wide, high).max()
    wide, high = wide[tall], high[tall]
    good = np.where(high >= 1.15 * wide, 1.0, np.where(high >= 0.85 * wide, 0.6, 0.0))
    together = 0.1 * (len(boxes) > 1)
    return float(good.mean()) + together + (0.01 if way == "upright" else 0.0)


def _turns(boxes: F64, way: Turn) -> tuple[Turn, ...]:
    """The ways to try: a run of letters tells, one piece does not (`20` run together is as wide as high)."""
    if len(boxes) == 1 and _standing(boxes, "upright") < 1.0:
        return ("upright", "turned")
    return (way,)


def _in_order(boxes: F64, run: Sequence[int], way: Turn) -> tuple[int, ...]:
    if way == "upright":
        return tuple(sorted(run, key=lambda k: float(boxes[k, 0] + boxes[k, 2])))
    return tuple(sorted(run, key=lambda k: -float(boxes[k, 1] + boxes[k, 3])))
