"""All sheets of the tractor in the order in which they lie on the table."""

from __future__ import annotations

from drawing.plan import SheetPlan

from orchard_tractor import (
    controller_sheet,
    faces_sheet,
    high_voltage_sheet,
    inlet_sheet,
    interlock_sheet,
    supply_sheet,
)

SHEETS: tuple[SheetPlan, ...] = (
    high_voltage_sheet.SHEET,
    interlock_sheet.SHEET,
    inlet_sheet.SHEET,
    controller_sheet.SHEET,
    supply_sheet.SHEET,
    faces_sheet.SHEET,
)
