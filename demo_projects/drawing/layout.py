"""A sheet plan as ink, in the order in which it is printed: grey fields, wires, bodies, arrows, words, title block."""

from __future__ import annotations

import itertools
from collections.abc import Iterable

from drawing.plan import (
    ArrowPlan,
    CautionPlan,
    PanelPlan,
    ResistorPlan,
    ScreenPlan,
    SheetPlan,
    TwistPlan,
    WirePlan,
    WordPlan,
)
from drawing.shapes import (
    Area,
    Disc,
    Ink,
    Lettering,
    Stroke,
    arc,
    arc_points,
    corners,
    line,
    rectangle,
)
from drawing.symbols import draw_body
from drawing.tables import draw_face, draw_table
from drawing.title_block import draw_title_block
from loomfolio.basics import MmBox, MmPoint

HOP_MM = 1.5
DOT_MM = 0.72
_PANEL_GREY = 242
_LABEL_CAP_MM = 1.75
_LABEL_CLEAR_MM = 1.75
_ARROW_LONG_MM, _ARROW_HALF_MM = 7.4, 2.7


def sheet_ink(plan: SheetPlan) -> tuple[Ink, ...]:
    """Return all ink of a sheet."""
    parts: tuple[Iterable[Iterable[Ink]], ...] = (
        (draw_title_block(plan),),
        map(_panel, plan.panels),
        (wire_ink(plan, wire) for wire in plan.wires),
        ([Disc(place, DOT_MM)] for name, place in plan.nodes if name.startswith("@")),
        map(draw_body, plan.bodies),
        map(_arrow, plan.arrows),
        map(_screen, plan.screens),
        map(_twist, plan.twists),
        map(_resistor, plan.resistors),
        map(_caution, plan.cautions),
        map(draw_face, plan.faces),
        map(draw_table, plan.tables),
        (_labels(plan, wire) for wire in plan.wires),
        ([_words(words)] for words in plan.words),
    )
    return tuple(ink for part in parts for inks in part for ink in inks)


def _words(words: WordPlan) -> Lettering:
    return Lettering(
        words.text, words.at, words.cap_mm, words.align, words.is_bold, words.is_turned
    )


def _panel(panel: PanelPlan) -> Iterable[Ink]:
    yield Area(corners(panel.box), _PANEL_GREY)
    at = MmPoint(panel.box.x0 + 2.4, panel.box.y0 + 3.6)
    yield Lettering(panel.title, at, 2.0, is_bold=True)


def wire_ink(plan: SheetPlan, wire: WirePlan) -> Iterable[Ink]:
    """Yield the pen line of a wire, with a half round over each conductor that it hops."""
    points: list[MmPoint] = []
    course = plan.course(wire)
    for a, b in itertools.pairwise(course):
        points.append(a)
        over = sorted((hop for hop in wire.hops if _lies_on(hop, a, b)), key=a.distance_mm)
        for hop in over:
            points.extend(_hop(hop, a, b))
    points.append(course[-1])
    yield Stroke(tuple(points), wire.width_mm, "wire")


def _lies_on(point: MmPoint, a: MmPoint, b: MmPoint) -> bool:
    return abs(a.distance_mm(point) + point.distance_mm(b) - a.distance_mm(b)) < 1e-6


def _hop(at: MmPoint, a: MmPoint, b: MmPoint) -> tuple[MmPoint, ...]:
    """The half round: up on a level run, to the right on an upright one."""
    if a.y == b.y:
        turn = (180.0, 360.0) if b.x > a.x else (360.0, 180.0)
    else:
        turn = (270.0, 450.0) if b.y > a.y else (450.0, 270.0)
    return arc_points(at, (HOP_MM, HOP_MM), *turn)


def _labels(plan: SheetPlan, wire: WirePlan) -> Iterable[Ink]:
    """Colour letters and area: over a level run, turned to the left of an upright one."""
    if wire.label_at is None:
        return
    area = f" {wire.area_mm2:g}" if wire.area_mm2 is not None else ""
    text = f"{wire.colour}{area}"
    for a, b in itertools.pairwise(plan.course(wire)):
        if _lies_on(wire.label_at, a, b):
            x, y = wire.label_at
            if a.y == b.y:
                at = MmPoint(x, y - _LABEL_CLEAR_MM)
            else:
                at = MmPoint(x - _LABEL_CLEAR_MM, y)
            yield Lettering(text, at, _LABEL_CAP_MM, "centre", is_turned=a.y != b.y)
            return
    raise ValueError(f"{plan.title}: the label {text} does not lie on the run {wire.a} - {wire.b}")


def _arrow(arrow: ArrowPlan) -> Iterable[Ink]:
    """A page arrow: a pentagon with its letter; the wire meets its back, or leaves from its tip."""
    x, y = {"left": (-1, 0), "right": (1, 0), "top": (0, -1), "bottom": (0, 1)}[arrow.points]
    back = -_ARROW_LONG_MM if not arrow.is_outgoing else 0.0

    def place(forward: float, aside: float) -> MmPoint:
        along = forward + back
        return MmPoint(arrow.at.x + along * x - aside * y, arrow.at.y + along * y + aside * x)

    shoulder = _ARROW_LONG_MM - 2.6
    outline = (
        place(0, -_ARROW_HALF_MM),
        place(shoulder, -_ARROW_HALF_MM),
        place(_ARROW_LONG_MM, 0),
        place(shoulder, _ARROW_HALF_MM),
        place(0, _ARROW_HALF_MM),
        place(0, -_ARROW_HALF_MM),
    )
    yield Stroke(outline, 0.3, "outline")
    yield Lettering(arrow.letter, place(2.7, 0), 2.3, "centre", is_bold=True)
    yield from _arrow_target(arrow, place(0, 0), place(_ARROW_LONG_MM, 0))


def _arrow_target(arrow: ArrowPlan, back: MmPoint, tip: MmPoint) -> Iterable[Ink]:
    """The sheets that an arrow names, on the side away from its wire; several below an arrow take two lines."""
    several = len(arrow.sheets) > 1
    numbers = ", ".join(str(number) for number in arrow.sheets)
    text = f"SHEETS {numbers}" if several else f"SHEET {numbers}"
    free, sign = (tip, 1) if arrow.is_outgoing else (back, -1)
    match arrow.points:
        case "right" | "left":
            sign = sign if arrow.points == "right" else -sign
            at = MmPoint(free.x + 1.5 * sign, free.y)
            yield Lettering(text, at, 1.7, "left" if sign > 0 else "right")
        case _:
            sign = sign if arrow.points == "bottom" else -sign
            for number, words in enumerate(("SHEETS", numbers) if several else (text,)):
                at = MmPoint(free.x, free.y + 2.2 * sign + 2.9 * number)
                yield Lettering(words, at, 1.7, "centre")


def _screen(screen: ScreenPlan) -> Iterable[Ink]:
    """Dashes of an upright ring; there is none where the leads pass, near its top and bottom thirds."""
    for start in (-84, -58, 28, 54, 96, 122, 208, 234):
        yield arc(
            screen.centre,
            screen.radii_mm,
            from_degrees=start,
            to_degrees=start + 19,
            width_mm=0.3,
        )
    for start in (-12, 168):
        yield arc(
            screen.centre, screen.radii_mm, from_degrees=start, to_degrees=start + 24, width_mm=0.3
        )


def _twist(twist: TwistPlan) -> Iterable[Ink]:
    for x, y in twist.centres:
        for shift in (-1.4, 0.0, 1.4):
            yield line((x + shift - 1.0, y + 1.7), (x + shift + 1.0, y - 1.7), 0.3, "symbol")


def _resistor(plan: ResistorPlan) -> Iterable[Ink]:
    """A resistor inside a module, standing off to one side of the two pins that it lies between."""
    x = plan.top.x + plan.reach_mm
    middle = (plan.top.y + plan.foot.y) / 2
    for end, edge in ((plan.top, middle - 2.6), (plan.foot, middle + 2.6)):
        yield line(end, (x, end.y), 0.35, "symbol")
        yield line((x, end.y), (x, edge), 0.35, "symbol")
    yield rectangle(MmBox(x - 1.3, middle - 2.6, x + 1.3, middle + 2.6), 0.35, "symbol")
    side = 1 if plan.reach_mm > 0 else -1
    at = MmPoint(x + 2.6 * side, middle)
    yield Lettering(plan.words, at, 1.6, "left" if side > 0 else "right")


_SIGN_MM = 9.0
_BOLT = ((5.1, 2.3), (3.2, 5.2), (4.5, 5.2), (3.9, 7.3), (5.9, 4.5), (4.6, 4.5))


def _caution(caution: CautionPlan) -> Iterable[Ink]:
    """A triangle with a bolt in it (ISO 7010, W012, in our own hand), and lines of text beside it."""
    x, y = caution.at
    high = _SIGN_MM * 0.9
    tip, right, left = (x + _SIGN_MM / 2, y), (x + _SIGN_MM, y + high), (x, y + high)
    outline = tuple(MmPoint(*place) for place in (tip, right, left, tip))
    yield Stroke(outline, 0.5, "outline")
    yield Area(tuple(MmPoint(x + across, y + down) for across, down in _BOLT))
    for number, words in enumerate(caution.lines):
        at = MmPoint(x + _SIGN_MM + 2.4, y + 1.6 + 3.1 * number)
        yield Lettering(words, at, 1.75, is_bold=number == 0)
