"""Where the sheets lie on the table: the way between mm on the table and mm on a sheet.

A position on the table and one on a sheet are two types, as px and mm are.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from loomfolio.basics import MmBox, MmPoint, Resolution
from loomfolio.project import Project, Sheet

TITLE_PX, TITLE_AT_MOST_MM = 24.0, 18.0
"""The strip above a sheet that belongs to it, as high on screen as its title, but never reaching the
sheet above: there it is taken hold of."""


class TablePoint(NamedTuple):
    """A position on the light table, mm; y down."""

    x: float
    y: float


class TableBox(NamedTuple):
    """An upright box on the light table, mm."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def width(self) -> float:
        """Its extent along x, mm."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """Its extent along y, mm."""
        return self.y1 - self.y0

    @property
    def corner(self) -> TablePoint:
        """Its top-left corner."""
        return TablePoint(self.x0, self.y0)

    @property
    def centre(self) -> TablePoint:
        """The middle of the box."""
        return TablePoint((self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2)

    def holds(self, point: TablePoint) -> bool:
        """Is the point inside? The edge counts as inside."""
        return self.x0 <= point.x <= self.x1 and self.y0 <= point.y <= self.y1

    def meets(self, other: TableBox) -> bool:
        """Have the two boxes a point in common?"""
        return (
            self.x0 <= other.x1
            and other.x0 <= self.x1
            and self.y0 <= other.y1
            and other.y0 <= self.y1
        )

    def grown(self, by_mm: float) -> TableBox:
        """Return the box widened on all sides."""
        return TableBox(self.x0 - by_mm, self.y0 - by_mm, self.x1 + by_mm, self.y1 + by_mm)

    @staticmethod
    def around(boxes: Iterable[TableBox]) -> TableBox | None:
        """Return the box around all boxes; None when there are none."""
        held = list(boxes)
        if not held:
            return None
        return TableBox(
            min(box.x0 for box in held),
            min(box.y0 for box in held),
            max(box.x1 for box in held),
            max(box.y1 for box in held),
        )


class SheetPlace(NamedTuple):
    """A position on one sheet, mm."""

    sheet: str
    at: MmPoint


@dataclass(frozen=True, slots=True)
class LaidSheet:
    """A sheet with its size in mm and the box that it takes up on the table."""

    sheet: Sheet
    box: TableBox

    @property
    def id(self) -> str:
        """The id of the sheet."""
        return self.sheet.id

    @property
    def resolution(self) -> Resolution:
        """The way between the px of its page and mm."""
        return Resolution(self.sheet.x_dpi, self.sheet.y_dpi)

    def title_band(self, px_per_mm: float) -> TableBox:
        """Return the strip above the paper at a scale."""
        height_mm = min(TITLE_PX / px_per_mm, TITLE_AT_MOST_MM)
        return TableBox(self.box.x0, self.box.y0 - height_mm, self.box.x1, self.box.y0)

    def to_table(self, at: MmPoint) -> TablePoint:
        """Return the table position of a sheet position."""
        return TablePoint(self.box.x0 + at.x, self.box.y0 + at.y)

    def to_sheet(self, point: TablePoint) -> MmPoint:
        """Return the sheet position of a table position, also outside the paper."""
        return MmPoint(point.x - self.box.x0, point.y - self.box.y0)

    def part_in(self, window: TableBox) -> MmBox:
        """Return the part of the sheet's frame that a window on the table shows, unclipped."""
        (x0, y0), (x1, y1) = (
            self.to_sheet(TablePoint(window.x0, window.y0)),
            self.to_sheet(TablePoint(window.x1, window.y1)),
        )
        return MmBox(x0, y0, x1, y1)

    def on_table(self, box: MmBox) -> TableBox:
        """Return the table box of a sheet box."""
        return TableBox(
            self.box.x0 + box.x0,
            self.box.y0 + box.y0,
            self.box.x0 + box.x1,
            self.box.y0 + box.y1,
        )


class TableLayout:
    """All sheets of a document as they lie on the table; later ones lie on top."""

    def __init__(self, project: Project) -> None:
        self.sheets: tuple[LaidSheet, ...] = tuple(_laid(sheet) for sheet in project.sheets)
        self._by_id = {laid.id: laid for laid in self.sheets}

    def get(self, sheet_id: str) -> LaidSheet | None:
        """Return a sheet by its id; None when it is not on the table."""
        return self._by_id.get(sheet_id)

    def under(self, point: TablePoint) -> SheetPlace | None:
        """Return the topmost sheet position under a table position; None on the bare table."""
        for laid in reversed(self.sheets):
            if laid.box.holds(point):
                return SheetPlace(laid.id, laid.to_sheet(point))
        return None

    def title_under(self, point: TablePoint, px_per_mm: float) -> LaidSheet | None:
        """Return the sheet whose title strip is under a table position."""
        if self.under(point) is not None:
            return None
        banded = ((laid, laid.title_band(px_per_mm)) for laid in reversed(self.sheets))
        return next((laid for laid, band in banded if band.holds(point)), None)

    def within(self, window: TableBox) -> tuple[LaidSheet, ...]:
        """Return the sheets of which a window shows something, bottom first."""
        return tuple(laid for laid in self.sheets if laid.box.meets(window))

    @property
    def bounds(self) -> TableBox | None:
        """The box around all sheets with their titles; None on an empty table."""
        return TableBox.around(
            TableBox(laid.box.x0, laid.box.y0 - TITLE_AT_MOST_MM / 2, laid.box.x1, laid.box.y1)
            for laid in self.sheets
        )


def _laid(sheet: Sheet) -> LaidSheet:
    size = Resolution(sheet.x_dpi, sheet.y_dpi).to_mm(sheet.width_px, sheet.height_px)
    x, y = sheet.table_at
    return LaidSheet(sheet, TableBox(x, y, x + size.x, y + size.y))
