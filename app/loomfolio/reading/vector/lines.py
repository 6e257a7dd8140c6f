"""The lines of a drawn page while they are sorted: in px of the working image, like the reader's own.

Legend: P points of a line.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import PxBox
from loomfolio.sheets import Rgb

F64 = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Line:
    """A line as drawn, `points` float64 (P, 2); `order` is its place in the order of painting."""

    points: F64
    width: float
    colour: Rgb
    order: float
    cap: float = 0.0
    is_dashed: bool = False
    is_curved: bool = False

    @property
    def length(self) -> float:
        """Length along the line."""
        steps = np.diff(self.points, axis=0)
        return float(np.hypot(steps[:, 0], steps[:, 1]).sum())

    @property
    def box(self) -> PxBox:
        """The upright box round its points."""
        (x0, y0), (x1, y1) = self.points.min(axis=0), self.points.max(axis=0)
        return PxBox(float(x0), float(y0), float(x1), float(y1))

    @property
    def is_closed(self) -> bool:
        """Does it end where it began?"""
        return len(self.points) > 3 and bool(np.hypot(*(self.points[0] - self.points[-1])) < 1e-3)

    @property
    def look(self) -> tuple[float, Rgb]:
        """Width and colour: what is equal in the pieces of one line."""
        return round(self.width, 2), self.colour

    def along(self, points: F64) -> Line:
        """Return a piece of the same line."""
        return replace(self, points=points)


@dataclass(frozen=True, slots=True)
class Dot:
    """A filled disc: a drawn join, if lines meet in it."""

    x: float
    y: float
    radius: float
    order: float


@dataclass(frozen=True, slots=True)
class Circle:
    """A line drawn as one whole circle; `radius` to the middle of its pen."""

    x: float
    y: float
    radius: float
    width: float


def span_of(points: F64) -> float:
    """Return the longer side of the box round some points, float64 (P, 2)."""
    return float(np.ptp(points, axis=0).max())


def fitted_circle(points: F64) -> tuple[float, float, float] | None:
    """Return centre and radius of a closed line, float64 (P, 2), that is a circle; None if it is none.

    Its corners lie within 4 % of the radius of one circle and no turn between two is sharp, so that a
    square is none and a polygon of ten corners is one.
    """
    ring = points[:-1] if np.hypot(*(points[0] - points[-1])) < 1e-6 else points
    if len(ring) < 8:
        return None
    low, high = ring.min(axis=0), ring.max(axis=0)
    centre = (low + high) / 2
    radii = np.hypot(*(ring - centre).T)
    mean = float(radii.mean())
    if mean <= 0 or float(np.abs(radii - mean).max()) > 0.04 * mean + 0.1:
        return None
    steps = np.diff(np.vstack([ring, ring[:1]]), axis=0)
    if float(np.hypot(steps[:, 0], steps[:, 1]).max()) > 0.8 * mean:
        return None
    return float(centre[0]), float(centre[1]), mean
