"""What the tests of the demo projects share: faults of a drawn sheet, nets as texts, gaps against a list by hand."""

from __future__ import annotations

import csv
import itertools
import json
from collections.abc import Iterator, Mapping
from pathlib import Path

import numpy as np
import shapely
from drawing.layout import sheet_ink
from drawing.plan import SheetPlan
from drawing.shapes import Disc, Lettering, Stroke
from PIL import Image

from loomfolio.basics import MmPoint, asset_path
from loomfolio.nets import Netlist
from loomfolio.project import JOINED_THROUGHOUT, Project, ProjectFolder, find_pin, pin_text
from loomfolio.reading import Reading, bodies_of, read_page
from loomfolio.retrofit import Gap
from loomfolio.sheets import sheet_pixels

# ------------------------------------------------------------------------------------ drawn sheets


def lettering(plan: SheetPlan) -> list[Lettering]:
    return [ink for ink in sheet_ink(plan) if isinstance(ink, Lettering) and ink.text]


def pen_shapes(plan: SheetPlan) -> list[shapely.Geometry]:
    inks = sheet_ink(plan)
    strokes = [
        shapely.LineString(ink.points).buffer(ink.width_mm / 2)
        for ink in inks
        if isinstance(ink, Stroke)
    ]
    discs = [
        shapely.Point(*ink.centre).buffer(ink.radius_mm) for ink in inks if isinstance(ink, Disc)
    ]
    return strokes + discs


def texts_on_lines(plan: SheetPlan) -> list[str]:
    """The texts that come nearer than 0.4 mm to a pen line."""
    shapes = pen_shapes(plan)
    tree = shapely.STRtree(shapes)
    return [
        text.text
        for text in lettering(plan)
        for near in tree.query(shapely.box(*text.box).buffer(0.4))
        if shapely.box(*text.box).distance(shapes[near]) < 0.4
    ]


def texts_on_texts(plan: SheetPlan) -> list[tuple[str, str]]:
    """The pairs of texts that come nearer than 0.6 mm to each other."""
    boxes = [(text.text, shapely.box(*text.box)) for text in lettering(plan)]
    return [
        (a, b) for (a, one), (b, two) in itertools.combinations(boxes, 2) if one.distance(two) < 0.6
    ]


def texts_off_the_page(plan: SheetPlan) -> list[str]:
    page = shapely.box(8, 8, 289, 204)
    return [text.text for text in lettering(plan) if not page.contains(shapely.box(*text.box))]


def undeclared_meetings(plan: SheetPlan) -> list[tuple[str, ...]]:
    """The pairs of wires that meet without being declared to, or are declared to meet and do not."""
    lines = [shapely.LineString(plan.course(wire)) for wire in plan.wires]
    pairs = itertools.combinations(zip(plan.wires, lines, strict=True), 2)
    return [
        (a.a, a.b, b.a, b.b)
        for (a, one), (b, other) in pairs
        if _is_met(one, other) != bool({a.a, a.b} & {b.a, b.b})
        or one.intersection(other).length > 0
    ]


def _is_met(one: shapely.LineString, other: shapely.LineString) -> bool:
    meeting = one.intersection(other)
    tips = [MmPoint(*tip) for line in (one, other) for tip in (line.coords[0], line.coords[-1])]
    return not meeting.is_empty and any(
        meeting.distance(shapely.Point(*tip)) < 0.05 for tip in tips
    )


def crowded_wires(plan: SheetPlan) -> list[tuple[str, ...]]:
    """The pairs of wires without a common end that run nearer than 3 mm to each other, and do not cross."""
    lines = [(wire, shapely.LineString(plan.course(wire))) for wire in plan.wires]
    return [
        (a.a, a.b, b.a, b.b)
        for (a, one), (b, other) in itertools.combinations(lines, 2)
        if not {a.a, a.b} & {b.a, b.b} and not one.intersects(other) and one.distance(other) < 3
    ]


def is_same_picture(one: Path, other: Path) -> bool:
    with Image.open(one) as new, Image.open(other) as old:
        return np.array_equal(np.asarray(new.convert("L")), np.asarray(old.convert("L")))


# --------------------------------------------------------------------------------- nets, readings


def read_all(folder: Path, project: Project) -> dict[str, Reading]:
    """Read every sheet of a demo project that is left to the reader."""
    with ProjectFolder.open(folder, read_only=True) as opened:
        return {
            sheet.id: read_page(
                sheet_pixels(opened, sheet), dpi=sheet.x_dpi, bodies=bodies_of(project, sheet)
            )
            for sheet in project.sheets
            if sheet.is_read
        }


def nets_of(netlist: Netlist) -> set[frozenset[str]]:
    return {
        frozenset(pin_text(netlist.project, pin) for pin in net.pins)
        for net in netlist.nets
        if net.pins
    }


def table_rows(name: str) -> list[dict[str, str]]:
    with asset_path("tables", name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


# ------------------------------------------------------------------------------------------- gaps


def gaps_by_hand(path: Path) -> list[dict[str, object]]:
    """The list that was written by hand: kind, part, pins, words."""
    return json.loads(path.read_text(encoding="utf-8"))["gaps"]


def gap_differences(
    project: Project, by_hand: list[dict[str, object]], found: tuple[Gap, ...]
) -> tuple[list[str], list[str]]:
    """Return the lines of a list by hand that no gap answers, and the gaps that answer no line.

    Each line takes one gap. A gap answers a line if it is of its kind, is about its part, and names its
    pins. All pins of a splice or ground point are one: of these the gap has to name the part in its sentence.
    """
    left = list(found)
    unanswered = []
    for line in by_hand:
        answers = [gap for gap in left if _answers(project, gap, line)]
        if answers:
            left.remove(min(answers, key=lambda gap: len(gap.pins)))
        else:
            unanswered.append(f"{line['kind']}: {line['words']}")
    return unanswered, [f"{gap.kind}: {gap.sentence}" for gap in left]


def _answers(project: Project, gap: Gap, line: Mapping[str, object]) -> bool:
    kinds = {part.id: part.kind for part in project.parts}
    names = {part.name: part.id for part in project.parts}
    pins = [find_pin(project, str(text)) for text in _texts(line["pins"])]
    metal = {pin.part for pin in pins if kinds[pin.part] in JOINED_THROUGHOUT}
    about = {gap.part, *(pin.part for pin in gap.pins)}
    return (
        gap.kind == line["kind"]
        and {pin for pin in pins if pin.part not in metal} <= set(gap.pins)
        and all(name in gap.sentence for name, part in names.items() if part in metal)
        and ("part" not in line or names[str(line["part"])] in about)
    )


def _texts(value: object) -> Iterator[str]:
    assert isinstance(value, list)
    yield from map(str, value)
