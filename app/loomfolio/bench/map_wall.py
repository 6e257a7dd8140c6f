"""The picture of the map to hang on the wall: as SVG and as PDF, from one layout."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from loomfolio.bench import svg
from loomfolio.bench.frame import Frame, Subject, frame_of
from loomfolio.bench.leads import BenchLead
from loomfolio.bench.map_layout import (
    BOX_MM,
    HEAD_MM,
    PIN_MM,
    PictureBox,
    PictureLead,
    PictureLine,
    map_picture,
)
from loomfolio.bench.tables import map_table
from loomfolio.project import PinKey, Project

TITLE_MM, NARROWEST_MM = 16.0, 150.0
"""Room for the title above the picture, and the least width that it needs."""
LONGEST_HEAD, LONGEST_LABEL = 20, 20
"""Letters that the head of a box, and half of a row, hold."""


@dataclass(frozen=True, slots=True)
class WallRow:
    """One pin of a box, with what its leads to the left and to the right are called."""

    pin: str
    left: str
    right: str


@dataclass(frozen=True, slots=True)
class WallBox:
    """A connector half as it is drawn, in mm."""

    title: str
    kind: str
    x: float
    y: float
    height: float
    rows: tuple[WallRow, ...]


@dataclass(frozen=True, slots=True)
class WallLine:
    """A lead as it is drawn, in mm."""

    points: tuple[tuple[float, float], ...]
    is_released: bool
    is_new: bool


@dataclass(frozen=True, slots=True)
class WallSheet:
    """The picture with what stands above it, and the measures of its boxes."""

    frame: Frame
    width: float
    height: float
    boxes: tuple[WallBox, ...]
    lines: tuple[WallLine, ...]
    note: str
    box_mm: float
    head_mm: float
    pin_mm: float


def wall_sheet(
    project: Project,
    leads: Sequence[BenchLead],
    *,
    new_ends: frozenset[frozenset[PinKey]] = frozenset(),
    today: date,
) -> WallSheet:
    """Return the picture of some leads; `new_ends` are the ends of those that the work makes."""
    own = [_picture_lead(lead, new_ends) for lead in leads if lead.row.b is not None]
    picture = map_picture(project, [lead for lead in own if lead is not None])
    note = (
        f"{len(picture.lines)} leads; thick: released, thin: not released, dashed: new;"
        f" {picture.crossings} crossings"
    )
    subject = Subject("Map", (), note, has_hollow=False)
    frame = frame_of(project, subject, map_table(project, leads), paper="a4", today=today)
    return WallSheet(
        frame=frame,
        width=picture.width,
        height=picture.height,
        boxes=tuple(_box(box, picture.lines) for box in picture.boxes),
        lines=tuple(_line(line) for line in picture.lines),
        note=note,
        box_mm=BOX_MM,
        head_mm=HEAD_MM,
        pin_mm=PIN_MM,
    )


def _box(box: PictureBox, lines: Sequence[PictureLine]) -> WallBox:
    rows = tuple(_row(box, pin, lines) for pin in box.pins)
    is_short = len(box.title) + len(box.kind) <= LONGEST_HEAD
    return WallBox(box.title, box.kind if is_short else "", box.x, box.y, box.height, rows)


def _row(box: PictureBox, pin: str, lines: Sequence[PictureLine]) -> WallRow:
    """Name the leads of a pin on the side on which they leave; several of them by their numbers alone."""
    sides: dict[bool, list[str]] = {True: [], False: []}
    for line in lines:
        ends = (line.points[0], line.points[-1])
        for key in (line.lead.a, line.lead.b):
            if key.half_key == box.half and key.pin == pin:
                y = box.pin_y(pin)
                is_right = (box.x + BOX_MM, y) in ends
                sides[is_right].append(line.lead.label)
    left, right = (_called(sides[side]) for side in (False, True))
    return WallRow(pin, left, right)


def _called(labels: Sequence[str]) -> str:
    if len(labels) == 1:
        return (
            labels[0] if len(labels[0]) <= LONGEST_LABEL else labels[0][: LONGEST_LABEL - 1] + "…"
        )
    return ", ".join(label.split(" ")[0] for label in labels)


def _line(line: PictureLine) -> WallLine:
    return WallLine(line.points, line.lead.is_released, line.lead.is_new)


def _picture_lead(lead: BenchLead, new_ends: frozenset[frozenset[PinKey]]) -> PictureLead | None:
    row = lead.row
    if row.b is None:
        return None
    words = (str(lead.number), row.colour.text if row.colour else "", row.net_name)
    label = " ".join(word for word in words if word)
    is_new = frozenset((row.a, row.b)) in new_ends
    return PictureLead(row.a, row.b, label, row.is_released, is_new)


def wall_svg(sheet: WallSheet) -> str:
    """Return the picture as SVG in mm, with the job's title above it."""
    title = f"Map, {sheet.frame.job}"
    below = f"{sheet.frame.vehicle} · {sheet.frame.day} · {sheet.note}"
    elements = [
        svg.text(title, (10, 9), 5.6, is_bold=True),
        svg.text(below, (10, 14), 3.2),
        *(_svg_line(line) for line in sheet.lines),
        *(element for box in sheet.boxes for element in _svg_box(box)),
    ]
    size = (max(sheet.width, NARROWEST_MM), sheet.height + TITLE_MM)
    return svg.picture(*size, elements, title=title)


def _svg_line(line: WallLine) -> str:
    points = [(x, y + TITLE_MM) for x, y in line.points]
    if line.is_new:
        return svg.polyline(points, width=0.55, dash="2.4 1")
    if line.is_released:
        return svg.polyline(points, width=0.45)
    return svg.polyline(points, line=svg.GREY, width=0.2)


def _svg_box(box: WallBox) -> list[str]:
    y = box.y + TITLE_MM
    parts = [
        svg.rect((box.x, y, BOX_MM, box.height), width=0.35),
        svg.text(box.title, (box.x + 1.5, y + 5), 3.9, font=svg.MONO, is_bold=True),
    ]
    for number, row in enumerate(box.rows):
        at = y + HEAD_MM + number * PIN_MM
        parts.append(svg.polyline([(box.x, at), (box.x + BOX_MM, at)], line=svg.GREY, width=0.15))
        for x, anchor, away, words in (
            (box.x + 1.5, "start", 8.5, row.left),
            (box.x + BOX_MM - 1.5, "end", -8.5, row.right),
        ):
            place = (x, at + 3.7)
            parts.append(svg.text(row.pin, place, 3.5, font=svg.MONO, is_bold=True, anchor=anchor))
            if words:
                parts.append(svg.text(words, (x + away, at + 3.5), 2.1, anchor=anchor))
    return parts
