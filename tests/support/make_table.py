"""Two small sheets on a light table, and a hand that points at them without a window.

Sheet 1 lies at the table's corner, sheet 2 to the right of it; their cells are 5 x 5 mm.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.table.events import Held, KeyEvent, NamedKey, PointerAction, PointerEvent
from loomfolio.desk.table.hand import Hand
from loomfolio.desk.table.layout import SheetPlace, TablePoint
from loomfolio.desk.table.preview import Outcome
from loomfolio.desk.table.scene import Scene
from loomfolio.nets import Netlist, connector_map, derive
from loomfolio.project import BodyMark, BodyPin, Mark, NameMark, Project, Sheet
from support.ascii_sheet import AsciiSheet, ascii_sheet
from support.make_netlist import make_part, make_project

LEFT = ascii_sheet(
    """
    a---------b    s-----t
     c-------d
                  u
         j
    e----#----f
         |
    k----o----l
         |
         g
    """,
    sheet_id="sheet-1",
    title="Left",
)
RIGHT = ascii_sheet(
    """
    m---------n

    p----?----q
         |
         r
    """,
    sheet_id="sheet-2",
    title="Right",
)
SHEETS: tuple[AsciiSheet, ...] = (LEFT, RIGHT)
RIGHT_AT = MmPoint(150.0, 0.0)

TCU = make_part(1, "TCU", "module")
BODY = BodyMark(
    id="mark-1",
    sheet="sheet-1",
    box=MmBox(0.5, 1.0, 9.0, 9.0),
    part=TCU.id,
    connector="C1",
    pins=(
        BodyPin(at=MmPoint(9.0, LEFT.at("a").y), pin="1"),
        BodyPin(at=MmPoint(9.0, LEFT.at("c").y), pin="2"),
    ),
)


def table_job(*marks: Mark, **fields: object) -> Project:
    """Return the document: a body with two pins at the left, a name on the upper one, and `marks`."""
    usual = (
        BODY,
        NameMark(id="mark-2", sheet="sheet-1", at=MmPoint(30.0, LEFT.at("a").y), name="SUPPLY"),
    )
    project = make_project(SHEETS, (TCU,), (*usual, *marks))
    right = RIGHT.sheet.model_copy(update={"table_at": RIGHT_AT})
    return project.model_copy(update={"sheets": (LEFT.sheet, right), **fields})


def table_netlist(project: Project) -> Netlist:
    """Return the nets of the document."""
    return derive(project, {drawn.sheet.id: drawn.reading for drawn in SHEETS})


def table_scene(project: Project | None = None) -> Scene:
    """Return the scene of a document."""
    shown = project or table_job()
    netlist = table_netlist(shown)
    return Scene(shown, netlist, connector_map(netlist))


def page_of(sheet: Sheet) -> NDArray[np.uint8]:
    """Return the page of a sheet, drawn as it is read: grey, lines 4 px wide."""
    page = np.full((sheet.height_px, sheet.width_px), 250, np.uint8)
    drawn = next((drawn for drawn in SHEETS if drawn.sheet.id == sheet.id), None)
    for conductor in drawn.reading.conductors if drawn else ():
        for line in conductor.lines:
            cv2.polylines(page, [np.array(line, np.int32)], False, 0, 4)
    return page


def net_at(scene: Scene, sheet: str, at: MmPoint) -> int | None:
    """Return the number of the net whose conductor runs under a place."""
    return scene.net_of(sheet, scene.netlist.snap(sheet, at, 1.0).conductor)


class Pointer:
    """A hand with a pointer and keys, at one scale; what came of each gesture is collected."""

    def __init__(self, scene: Scene, px_per_mm: float = 8.0) -> None:
        self.hand = Hand(scene)
        self.px_per_mm = px_per_mm
        self.outcomes: list[Outcome] = []

    def event(
        self,
        action: PointerAction,
        at: MmPoint,
        *,
        sheet: str = "sheet-1",
        held: Held | None = None,
    ) -> PointerEvent:
        """Return a pointer event at a place on a sheet."""
        laid = self.hand.scene.layout.get(sheet)
        assert laid is not None
        point = laid.to_table(at)
        place = self.hand.scene.layout.under(point)
        return PointerEvent(action, point, place, self.px_per_mm, held or Held())

    def do(
        self,
        action: PointerAction,
        at: MmPoint,
        *,
        sheet: str = "sheet-1",
        held: Held | None = None,
    ) -> None:
        """Press, move, release or double-click at a place on a sheet."""
        self.outcomes += self.hand.point(self.event(action, at, sheet=sheet, held=held))

    def click(self, at: MmPoint, *, sheet: str = "sheet-1", held: Held | None = None) -> None:
        """Press and release at one place."""
        self.do("press", at, sheet=sheet, held=held)
        self.do("release", at, sheet=sheet, held=held)

    def drag(
        self,
        start: MmPoint,
        end: MmPoint,
        *,
        sheet: str = "sheet-1",
        end_sheet: str = "",
        held: Held | None = None,
    ) -> None:
        """Press at one place, move, and release at another."""
        self.do("press", start, sheet=sheet, held=held)
        middle = MmPoint((start.x + end.x) / 2, (start.y + end.y) / 2)
        self.do("move", middle, sheet=end_sheet or sheet, held=held)
        self.do("move", end, sheet=end_sheet or sheet, held=held)
        self.do("release", end, sheet=end_sheet or sheet, held=held)

    def on_table(self, action: PointerAction, x: float, y: float) -> None:
        """Press, move or release at a place on the table."""
        point = TablePoint(x, y)
        place: SheetPlace | None = self.hand.scene.layout.under(point)
        self.outcomes += self.hand.point(PointerEvent(action, point, place, self.px_per_mm))

    def key(self, key: NamedKey) -> None:
        """Press a key that has a name."""
        self.outcomes += self.hand.key(KeyEvent(key)) or ()

    def type(self, text: str) -> None:
        """Type a text, one character after the other."""
        for character in text:
            self.outcomes += self.hand.key(KeyEvent(text=character)) or ()
