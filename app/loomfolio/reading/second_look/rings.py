"""What lies on a small circle around a place: arms of ink, and the conductors claimed on them.

Both are read off the same circle, so that they can be held against each other angle by angle.

Legend: P places, A angles of a circle, H and W of the working image.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.second_look.claims import look_at

F64 = NDArray[np.float64]
I32 = NDArray[np.int32]
Bools = NDArray[np.bool_]

ANGLES = 120
_STEP_RAD = 2 * math.pi / ANGLES
_STEPS_BESIDE = 2  # a claim this many angles beside a run of ink is a claim on it


@dataclass(frozen=True)
class Run:
    """A run of ink on a circle: its middle in radians, its chord in px, the conductor on it or 0."""

    angle: float
    chord_px: float
    owner: int


def sample_rings(ink: Bools, labels: I32, places: F64, radii: F64) -> tuple[Bools, I32]:
    """Read ink and labels on a circle around each place.

    Parameters
    ----------
    ink, labels : bool and int32, (H, W)
    places, radii : float64, (P, 2) and (P,)

    Returns
    -------
    bool, (P, A) and int32, (P, A)
        Ink on the circle, and the conductor claimed there. Off the page there is neither.
    """
    angle = np.arange(ANGLES) * _STEP_RAD
    way = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    seen = np.zeros((len(places), ANGLES), dtype=np.int8)
    claimed = np.zeros((len(places), ANGLES), dtype=np.int32)
    for step in (-1.0, 0.0, 1.0):
        points = places[:, None] + (radii[:, None, None] + step) * way
        seen += look_at(ink, points).astype(np.int8)
        claimed = np.maximum(claimed, look_at(labels, points))
    return seen >= 2, claimed


def runs_on(inked: Bools, claimed: I32, radius_px: float) -> list[Run]:
    """The runs on one circle, bool and int32 (A,): of ink, and of claims without ink (dashes)."""
    found: list[Run] = []
    covered = np.zeros(ANGLES, dtype=bool)
    for low, high in circular_runs(inked):
        around = np.arange(low - _STEPS_BESIDE, high + _STEPS_BESIDE) % ANGLES
        covered[around] = True
        here = claimed[around]
        here = here[here > 0]
        owner = int(np.bincount(here).argmax()) if len(here) else 0
        found.append(Run(_middle(low, high), _chord(low, high, radius_px), owner))
    for owner in np.unique(claimed[claimed > 0]).tolist():
        for low, high in circular_runs(claimed == owner):
            if not covered[np.arange(low, high) % ANGLES].any():
                found.append(Run(_middle(low, high), _chord(low, high, radius_px), owner))
    return sorted(found, key=lambda run: run.angle)


def circular_runs(values: Bools) -> list[tuple[int, int]]:
    """Runs of true values on a circle as (first, one past last); a full circle is one run."""
    if values.all():
        return [(0, len(values))]
    if not values.any():
        return []
    start = int(np.argmin(values))  # a false one: no run passes it
    turned = np.roll(values, -start).astype(np.int8)
    edges = np.flatnonzero(np.diff(turned, prepend=0, append=0))
    return [(int(a) + start, int(b) + start) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def turn(a: float, b: float) -> float:
    """The angle between two directions, 0..pi."""
    return abs((a - b + math.pi) % (2 * math.pi) - math.pi)


def _middle(low: int, high: int) -> float:
    return (low + high - 1) / 2 % ANGLES * _STEP_RAD


def _chord(low: int, high: int, radius_px: float) -> float:
    return 2 * radius_px * math.sin(min(math.pi * (high - low) / ANGLES, math.pi / 2))
