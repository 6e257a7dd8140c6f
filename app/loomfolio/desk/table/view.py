"""The window onto the table: how large a millimetre is, and what lies in the corner.

Pure: a `View` is a value, and each move makes another one. Px here are the window's logical px;
the device ratio only matters where pixels are chosen (`tiles.py`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from loomfolio.desk.table.layout import TableBox, TablePoint

SMALLEST_PX_PER_MM = 0.02
LARGEST_PX_PER_MM = 80.0
"""A single pin of 2.5 mm then is 200 px wide; a 600-dpi scan shows 3.4 px for each of its own."""


@dataclass(frozen=True, slots=True)
class View:
    """A scale, and the table position that lies in the window's top-left corner."""

    px_per_mm: float = 1.0
    left_mm: float = 0.0
    top_mm: float = 0.0

    def to_table(self, x_px: float, y_px: float) -> TablePoint:
        """Return the table position under a px of the window."""
        return TablePoint(self.left_mm + x_px / self.px_per_mm, self.top_mm + y_px / self.px_per_mm)

    def to_px(self, point: TablePoint) -> tuple[float, float]:
        """Return where in the window a table position is seen."""
        return (
            (point.x - self.left_mm) * self.px_per_mm,
            (point.y - self.top_mm) * self.px_per_mm,
        )

    def window(self, width_px: float, height_px: float) -> TableBox:
        """Return what a window of this size shows of the table."""
        x1, y1 = self.to_table(width_px, height_px)
        return TableBox(self.left_mm, self.top_mm, x1, y1)

    def panned(self, dx_px: float, dy_px: float) -> View:
        """Return the view after the table was pushed by so many px."""
        return View(
            self.px_per_mm,
            self.left_mm - dx_px / self.px_per_mm,
            self.top_mm - dy_px / self.px_per_mm,
        )

    def zoomed(self, factor: float, x_px: float, y_px: float) -> View:
        """Return the view at another scale; what lies under the px (`x_px`, `y_px`) stays there."""
        held = self.to_table(x_px, y_px)
        return View.holding(self.px_per_mm * factor, held, x_px, y_px)

    @staticmethod
    def holding(px_per_mm: float, held: TablePoint, x_px: float, y_px: float) -> View:
        """Return the view at a scale (kept within the limits) that shows `held` at a px."""
        scale = min(max(px_per_mm, SMALLEST_PX_PER_MM), LARGEST_PX_PER_MM)
        return View(scale, held.x - x_px / scale, held.y - y_px / scale)

    @staticmethod
    def fitting(
        box: TableBox,
        width_px: float,
        height_px: float,
        *,
        margin_px: float = 24.0,
        at_most: float = LARGEST_PX_PER_MM,
    ) -> View:
        """Return the view that shows all of a box in the middle of a window, not above a scale."""
        room = max(width_px - 2 * margin_px, 1.0), max(height_px - 2 * margin_px, 1.0)
        scale = min(room[0] / max(box.width, 1e-3), room[1] / max(box.height, 1e-3), at_most)
        return View.holding(scale, box.centre, width_px / 2, height_px / 2)

    def towards(self, other: View, share: float) -> View:
        """Return the view at a share (0 to 1) of the way to another one.

        The scale runs geometrically. Two views of different scale have one px in common that shows
        the same place in both; it stays put on the whole way, so a zoom about the pointer stays
        about the pointer. With equal scales the corner runs straight.
        """
        if share >= 1.0:
            return other
        ratio = other.px_per_mm / self.px_per_mm
        scale = self.px_per_mm * ratio**share
        if math.isclose(ratio, 1.0, rel_tol=1e-6):
            done = share
        else:
            done = (1.0 - ratio**-share) / (1.0 - 1.0 / ratio)
        return View(
            scale,
            self.left_mm + (other.left_mm - self.left_mm) * done,
            self.top_mm + (other.top_mm - self.top_mm) * done,
        )
