"""The table's own event record: what a pointer or a key did, in mm, free of Qt.

The window translates Qt's events into these (`qt_events.py`), so that the gestures can be run by a
test without one.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from loomfolio.desk.table.layout import SheetPlace, TablePoint

PointerAction = Literal["press", "move", "release", "double"]
NamedKey = Literal["escape", "enter", "backspace", "delete", "tab", "back tab", "f2"]


@dataclass(frozen=True, slots=True)
class Held:
    """The keys held down with it. `draws` is Shift or Alt: the same drag then draws a line."""

    ctrl: bool = False
    draws: bool = False


@dataclass(frozen=True, slots=True)
class PointerEvent:
    """The left button, or a move: where on the table, on which sheet, at which scale."""

    action: PointerAction
    point: TablePoint
    place: SheetPlace | None
    px_per_mm: float
    held: Held = field(default_factory=Held)
    labels: tuple[str, ...] = ()
    """The records whose label is drawn under the pointer, topmost first."""

    def reach_mm(self, reach_px: float, at_most_mm: float = 3.0) -> float:
        """Return a reach on screen as mm on the sheet, never above a limit on the paper."""
        return min(reach_px / self.px_per_mm, at_most_mm)

    def is_far_from(self, other: PointerEvent, distance_px: float) -> bool:
        """Has the pointer gone further than this on screen?"""
        across = abs(self.point.x - other.point.x) + abs(self.point.y - other.point.y)
        return across * self.px_per_mm > distance_px


@dataclass(frozen=True, slots=True)
class KeyEvent:
    """A key: one with a name, or the text that it typed."""

    key: NamedKey | None = None
    text: str = ""


Event = PointerEvent | KeyEvent
