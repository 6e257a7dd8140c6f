"""All sheets of the van in the order in which they lie on the table."""

from __future__ import annotations

from drawing.plan import SheetPlan

from parcel_van import (
    faces_sheet,
    grounds_sheet,
    lamps_sheet,
    module_sheet,
    power_sheet,
    relay_sheet,
    socket_sheet,
)

SHEETS: tuple[SheetPlan, ...] = (
    power_sheet.SHEET,
    lamps_sheet.SHEET,
    module_sheet.SHEET,
    socket_sheet.SHEET,
    relay_sheet.SHEET,
    grounds_sheet.SHEET,
    faces_sheet.SHEET,
)
