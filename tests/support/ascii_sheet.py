"""Sheets drawn in characters, so that a person sees the answer: specimens for the nets room.

Each character is one cell of 5 x 5 mm::

    - |   a drawn line            +   a bend, or lines that meet (joined, no dot)
    o     a dot: joined           #   lines that cross without a dot (apart)
    a-z   a line's end, a place   ?   like #, but the reader was in doubt
    ~     a horizontal gap that the reader bridged, in doubt
    !     a horizontal gap that the reader left open, in doubt
"""

from __future__ import annotations

from dataclasses import dataclass

from loomfolio.basics import MM_PER_INCH, MmBox, MmPoint, PxPoint
from loomfolio.project import Sheet
from loomfolio.reading import Conductor, Crossing, Doubt, Junction, PageSize, Reading

CELL_MM = 5.0
DPI = 254.0
CELL_PX = CELL_MM * DPI / MM_PER_INCH

_RIGHT, _DOWN = (1, 0), (0, 1)
_HORIZONTAL = set("-~!#?+o") | set("abcdefghijklmnopqrstuvwxyz")
_VERTICAL = set("|#?+o") | set("abcdefghijklmnopqrstuvwxyz")


@dataclass(frozen=True)
class AsciiSheet:
    """A drawn sheet: its record, its reading, and the lettered places."""

    sheet: Sheet
    reading: Reading
    rows: tuple[str, ...]

    def at(self, letter: str) -> MmPoint:
        """Return the place of a letter, mm."""
        for y, row in enumerate(self.rows):
            if letter in row:
                return _middle_mm(row.index(letter), y)
        raise KeyError(letter)

    def box(self, *letters: str, margin_mm: float = 2.0) -> MmBox:
        """Return a box round the letters; its edge lies `margin_mm` outside their places."""
        places = [self.at(letter) for letter in letters]
        return MmBox(
            min(p.x for p in places) - margin_mm,
            min(p.y for p in places) - margin_mm,
            max(p.x for p in places) + margin_mm,
            max(p.y for p in places) + margin_mm,
        )


def ascii_sheet(text: str, *, sheet_id: str = "sheet-1", title: str = "Drawn") -> AsciiSheet:
    """Return the sheet that `text` draws; indentation and empty first and last lines do not count."""
    rows = tuple(_without_indent(text))
    width_px = round(CELL_PX * max(len(row) for row in rows))
    height_px = round(CELL_PX * len(rows))
    sheet = Sheet(
        id=sheet_id,
        title=title,
        file=f"sheets/{sheet_id}.png",
        sha256="0" * 64,
        width_px=width_px,
        height_px=height_px,
        x_dpi=DPI,
        y_dpi=DPI,
        resolution_from="file",
    )
    size = PageSize(width_px=width_px, height_px=height_px, dpi=DPI)
    reading = Reading(
        page=size,
        conductors=tuple(_conductors(rows)),
        junctions=tuple(Junction(**_xy(x, y), kind="dot") for x, y in _cells(rows, "o")),
        crossings=tuple(Crossing(**_xy(x, y), kind="plain") for x, y in _cells(rows, "#?")),
        doubts=(
            *(Doubt(**_xy(x, y), kind="crossing", taken="apart") for x, y in _cells(rows, "?")),
            *(Doubt(**_xy(x, y), kind="gap", taken="joined") for x, y in _cells(rows, "~")),
            *(Doubt(**_xy(x, y), kind="gap", taken="apart") for x, y in _cells(rows, "!")),
        ),
    )
    return AsciiSheet(sheet, reading, rows)


def _without_indent(text: str) -> list[str]:
    rows = text.strip("\n").rstrip().split("\n")
    indent = min(len(row) - len(row.lstrip()) for row in rows if row.strip())
    return [row[indent:] for row in rows]


def _cells(rows: tuple[str, ...], wanted: str) -> list[tuple[int, int]]:
    return [(x, y) for y, row in enumerate(rows) for x, c in enumerate(row) if c in wanted]


def _xy(x: int, y: int) -> dict[str, float]:
    return {"x": (x + 0.5) * CELL_PX, "y": (y + 0.5) * CELL_PX}


def _middle_mm(x: int, y: int) -> MmPoint:
    return MmPoint((x + 0.5) * CELL_MM, (y + 0.5) * CELL_MM)


def _conductors(rows: tuple[str, ...]) -> list[Conductor]:
    """One conductor for each piece of line that hangs together; lines run cell to cell."""
    lines = [*_straights(rows, _RIGHT, _HORIZONTAL), *_straights(rows, _DOWN, _VERTICAL)]
    groups: list[tuple[set[PxPoint], list[tuple[PxPoint, PxPoint]]]] = []
    for line in lines:
        touching = [group for group in groups if group[0] & set(line)]
        rest = [group for group in groups if not group[0] & set(line)]
        vertices = set(line).union(*(group[0] for group in touching))
        members = [line, *(member for group in touching for member in group[1])]
        groups = [*rest, (vertices, members)]
    return [
        Conductor(id=number, lines=tuple(sorted(members)), stroke_px=3.0)
        for number, (_, members) in enumerate(groups, start=1)
    ]


def _straights(
    rows: tuple[str, ...], step: tuple[int, int], through: set[str]
) -> list[tuple[PxPoint, PxPoint]]:
    """Lines between neighbouring cells along one axis; a crossing is jumped over without a vertex."""

    def cell(x: int, y: int) -> str:
        return rows[y][x] if 0 <= y < len(rows) and 0 <= x < len(rows[y]) else " "

    found: list[tuple[PxPoint, PxPoint]] = []
    dx, dy = step
    for x, y in _cells(rows, "".join(through - set("#?!"))):
        end_x, end_y = x + dx, y + dy
        while cell(end_x, end_y) in "#?":
            end_x, end_y = end_x + dx, end_y + dy
        if cell(end_x, end_y) in through - {"!"}:
            found.append((PxPoint(**_xy(x, y)), PxPoint(**_xy(end_x, end_y))))
    return found
