"""Positions on a sheet: pixels of the page image, millimetres of the paper, and the way between.

Both frames start at the top-left corner with y down. They are two types, so that a type checker
catches a position in one frame handed to a function of the other.
"""

from __future__ import annotations

import math
from typing import NamedTuple

MM_PER_INCH = 25.4


class PxPoint(NamedTuple):
    """A position on the page image, px from the top-left corner."""

    x: float
    y: float


class PxBox(NamedTuple):
    """An upright box on the page image in px; `x0 <= x1`, `y0 <= y1`."""

    x0: float
    y0: float
    x1: float
    y1: float


class MmPoint(NamedTuple):
    """A position on the paper, mm from the top-left corner."""

    x: float
    y: float

    def distance_mm(self, other: MmPoint) -> float:
        """Return the straight distance to `other` in mm."""
        return math.hypot(self.x - other.x, self.y - other.y)


class MmBox(NamedTuple):
    """An upright box on the paper in mm; `x0 <= x1`, `y0 <= y1`."""

    x0: float
    y0: float
    x1: float
    y1: float

    @staticmethod
    def around(a: MmPoint, b: MmPoint) -> MmBox:
        """Return the box that has `a` and `b` as opposite corners, in any order."""
        return MmBox(min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y))

    @property
    def centre(self) -> MmPoint:
        """The middle of the box."""
        return MmPoint((self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2)

    def holds(self, point: MmPoint, margin_mm: float = 0.0) -> bool:
        """Is `point` inside the box widened by `margin_mm`? The edge counts as inside."""
        return (
            self.x0 - margin_mm <= point.x <= self.x1 + margin_mm
            and self.y0 - margin_mm <= point.y <= self.y1 + margin_mm
        )


class Resolution(NamedTuple):
    """Dots per inch along x and y: the way between px and mm."""

    x_dpi: float
    y_dpi: float

    @staticmethod
    def square(dpi: float) -> Resolution:
        """Return the same resolution along both axes."""
        return Resolution(dpi, dpi)

    def to_mm(self, x_px: float, y_px: float) -> MmPoint:
        """Return the paper position of a pixel position."""
        return MmPoint(x_px * MM_PER_INCH / self.x_dpi, y_px * MM_PER_INCH / self.y_dpi)

    def to_px(self, point: MmPoint) -> PxPoint:
        """Return the pixel position of a paper position."""
        return PxPoint(point.x * self.x_dpi / MM_PER_INCH, point.y * self.y_dpi / MM_PER_INCH)

    def box_to_px(self, box: MmBox) -> PxBox:
        """Return the pixel box of a paper box."""
        (x0, y0), (x1, y1) = (
            self.to_px(MmPoint(box.x0, box.y0)),
            self.to_px(MmPoint(box.x1, box.y1)),
        )
        return PxBox(x0, y0, x1, y1)

    def box_to_mm(self, box: PxBox) -> MmBox:
        """Return the paper box of a pixel box."""
        (x0, y0), (x1, y1) = self.to_mm(box.x0, box.y0), self.to_mm(box.x1, box.y1)
        return MmBox(x0, y0, x1, y1)
