"""Parts set onto the raster: modules and connectors with many pins, and the symbols with one or two."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from accuracy.draft import SKEW_REACH, Draft, Pin
from accuracy.grid import Node
from accuracy.lettering import width_of
from accuracy.marks import Box, Point, Role, Stroke, WordKind, dashes, ellipse, rectangle
from accuracy.symbols import GROUNDS, PAGE_ARROWS, SUPPLIES, Shape

OUTWARD: dict[str, Point] = {"n": (0, -1), "s": (0, 1), "w": (-1, 0), "e": (1, 0)}
_WORDS = (
    "SEAT HEATER", "PTO CLUTCH", "LAMP MODULE", "TAIL LIFT", "DOOR ECU", "CHARGE INLET", "FAN",
    "PARCEL DOOR", "SPRAY PUMP", "TRAILER SOCKET", "STEERING", "DASH PANEL", "FUSE BOX", "BATTERY",
    "LEVEL SENSOR", "MIRROR", "WIPER", "HORN", "ORCHARD LIFT", "GATEWAY", "CAB", "CHASSIS",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Plan:
    """A module to be placed: its box in raster steps and the pin offsets on each side."""

    corner: Node
    high: int
    wide: int
    sides: dict[str, list[int]]
    kind: str = "module"


def part_name(rng: Random) -> str:
    """Return an invented reference such as `A12`."""
    return f"{rng.choice('ABEKMSXTG')}{rng.randint(1, 199)}"


def box_of(draft: Draft, plan: Plan) -> Box:
    """Return the outline of a planned module in mm."""
    (x0, y0) = draft.at(plan.corner)
    (x1, y1) = draft.at((plan.corner[0] + plan.high, plan.corner[1] + plan.wide))
    return x0, y0, x1, y1


def place_module(draft: Draft, plan: Plan) -> list[Pin]:
    """Draw a module with its pins and return the pins that found room; none where there is none."""
    box = box_of(draft, plan)
    reach = SKEW_REACH * max(box[2] - box[0], box[3] - box[1]) + 1.0
    if not draft.is_clear(box, reach):
        return []
    number = draft.body(box, plan.kind)
    _draw_outline(draft, box, plan.kind)
    pins = []
    count = 0
    first = draft.rng.choice([1, 1, 1, 20])
    for side, offsets in plan.sides.items():
        for offset in offsets:
            pin = _place_pin(draft, plan, number, (side, offset), f"{first + count}")
            if pin is not None:
                count += 1
                pins.append(pin)
    _write_name(draft, box)
    return pins


def _draw_outline(draft: Draft, box: Box, kind: str) -> None:
    width = draft.style.line_mm * draft.rng.choice([1, 1, 1.5])
    if kind == "module in part":
        ring = rectangle(box)
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
            for piece in dashes([a, b], 2.2, 1.2):
                draft.stroke(*piece, width_mm=width)
    elif kind == "bracket":
        inset = 1.2
        x0, y0, x1, y1 = box
        if x1 - x0 < y1 - y0:
            draft.stroke((x0 + inset, y0), (x0, y0), (x0, y1), (x0 + inset, y1), width_mm=width)
            draft.stroke((x1 - inset, y0), (x1, y0), (x1, y1), (x1 - inset, y1), width_mm=width)
        else:
            draft.stroke((x0, y0 + inset), (x0, y0), (x1, y0), (x1, y0 + inset), width_mm=width)
            draft.stroke((x0, y1 - inset), (x0, y1), (x1, y1), (x1, y1 - inset), width_mm=width)
    else:
        draft.stroke(*rectangle(box), width_mm=width, closed=True)


def _place_pin(
    draft: Draft, plan: Plan, body: int, where: tuple[str, int], name: str
) -> Pin | None:
    side, offset = where
    row = {"n": 0, "s": plan.high}.get(side, offset)
    column = {"w": 0, "e": plan.wide}.get(side, offset)
    edge = draft.at((plan.corner[0] + row, plan.corner[1] + column))
    out = OUTWARD[side]
    inner = draft.style.module_look == "inner" and plan.kind == "module"
    short = 0.0 if inner else draft.style.short_mm
    box = draft.bodies[body].box
    reach = SKEW_REACH * max(box[2] - box[0], box[3] - box[1]) + 1.0
    at = (edge[0] + out[0] * short, edge[1] + out[1] * short)
    pin = draft.pin(name, body, at, out, reach + 0.1 - short)
    if pin is not None:
        _draw_pin(draft, pin, edge, plan.kind)
    return pin


def _draw_pin(draft: Draft, pin: Pin, edge: Point, kind: str) -> None:
    """Draw the pin's mark inside the outline and its number."""
    pitch, look = draft.style.pitch_mm, draft.style.module_look
    height = min(1.7, pitch * 0.62)
    depth = 0.6 + height / 2
    size = min(0.5, pitch * 0.22)

    def inward(along: float, across: float = 0.0) -> Point:
        out = pin.outward
        return edge[0] - out[0] * along + out[1] * across, edge[1] - out[1] * along + out[
            0
        ] * across

    if kind == "module" and look == "cavities":
        ring = [inward(0.3, -size), inward(0.3, size), inward(0.3 + 2 * size, size)]
        draft.stroke(*ring, inward(0.3 + 2 * size, -size), closed=True)
        depth += 2 * size + 0.3
    elif kind == "module" and look == "inner":
        draft.stroke(edge, inward(1.2))
        draft.stroke(*ellipse(inward(1.2 + size), size, size, 24), closed=True)
        depth += 1.2 + 2 * size
    elif kind == "module" and look == "bars":
        bar = (inward(0.2, -size / 2), inward(0.2, size / 2), inward(1.4, size / 2))
        ink = draft.style.ink
        points = (*bar, inward(1.4, -size / 2))
        draft.marks.append(Stroke(points, 0.1, ink, Role.BODY, closed=True, fill=ink))
        depth += 1.5
    sideways = pin.outward[0] != 0
    tall = len(pin.name) > 1 and pitch < 2.5
    height *= 0.8 if tall else 1.0
    wide = width_of(pin.name, height)
    turned = not sideways and len(pin.name) > 1 and (tall or wide > pitch - 0.4)
    middle = inward(depth - height / 2 + (wide if turned or sideways else height) / 2)
    if draft.is_unwritten(draft.text_box(pin.name, middle, height, turned=turned)):
        draft.write(pin.name, middle, height, turned=turned, kind=WordKind.PIN)


def _write_name(draft: Draft, box: Box) -> None:
    rng = draft.rng
    wide, high = box[2] - box[0], box[3] - box[1]
    middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    turned = high > 1.6 * wide
    height = rng.choice([1.8, 2.2, 2.6])
    for text in (f"{part_name(rng)} {rng.choice(_WORDS)}", part_name(rng)):
        x0, y0, x1, y1 = draft.text_box(text, middle, height, turned=turned)
        is_unwritten = draft.is_unwritten((x0, y0, x1, y1))
        if x1 - x0 < wide - 5.5 and y1 - y0 < high - 5.5 and is_unwritten:
            draft.write(text, middle, height, turned=turned, kind=WordKind.NAME)
            return


def end_pin(draft: Draft, pin: Pin, kind: str) -> Pin | None:
    """Set a ground, supply or page arrow straight ahead of a pin; return its own pin, or none."""
    rng = draft.rng
    family = {"ground": GROUNDS, "supply": SUPPLIES, "page arrow": PAGE_ARROWS}[kind]
    shape = rng.choice(family)(rng)
    pitch, out = draft.style.pitch_mm, pin.outward
    for steps in rng.sample(range(1, 7), 4):
        node = (pin.start[0] + steps * int(out[1]), pin.start[1] + steps * int(out[0]))
        if not draft.grid.holds(node):
            continue
        pole = draft.at(node)
        at = (pole[0] + out[0] * (pitch * 0.5), pole[1] + out[1] * (pitch * 0.5))
        box = _shape_box(shape, at, out)
        ahead = draft.nodes_in(_between(draft.at(pin.start), at), 0.1)
        span = (ahead[0] + int(out[1] > 0), ahead[1] + int(out[0] > 0),
                ahead[2] - int(out[1] < 0), ahead[3] - int(out[0] < 0))  # fmt: skip
        if draft.is_clear(box, 0.9) and draft.grid.is_clear(*span):
            return _set_end(draft, shape, (at, (-out[0], -out[1])), box, node)
    return None


def _shape_box(shape: Shape, at: Point, out: Point) -> Box:
    far = (at[0] + out[0] * shape.length, at[1] + out[1] * shape.length)
    side = (abs(out[1]) * shape.half_width, abs(out[0]) * shape.half_width)
    x0, y0, x1, y1 = _between(at, far)
    return x0 - side[0], y0 - side[1], x1 + side[0], y1 + side[1]


def _between(a: Point, b: Point) -> Box:
    return min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])


def _set_end(
    draft: Draft, shape: Shape, pole: tuple[Point, Point], box: Box, node: Node
) -> Pin | None:
    at, outward = pole
    if draft.grid.whole[node]:
        return None
    inward = (-outward[0], -outward[1])
    draft.set_shape(shape, at, inward)
    body = draft.body(box, shape.kind, marked=shape.kind != "page arrow")
    if draft.grid.whole[node] == -1:
        draft.grid.whole[node] = 0
    pin = Pin(len(draft.pins), "1", body, at, outward, node)
    draft.pins.append(pin)
    draft.grid.reserve(node, -2 - pin.number)
    _label_end(draft, shape, box, inward)
    return pin


def _label_end(draft: Draft, shape: Shape, box: Box, inward: Point) -> None:
    rng = draft.rng
    middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    texts = {
        "ground": [f"G{rng.randint(1, 300)}", "31", "GND", ""],
        "supply": ["30", "15", "+12V", "HOT"],
        "page arrow": [
            f"{rng.randint(1, 30)}-{rng.choice('ABCDE')}{rng.randint(0, 9)}",
            rng.choice("ABCD"),
        ],
    }[shape.kind]
    text = rng.choice(texts)
    height = rng.choice([1.5, 1.8, 2.2])
    turned = inward[1] != 0 and shape.kind == "page arrow"
    if shape.letter:
        draft.marks += draft.letters(shape.letter, middle, 1.6, turned=turned)
        return
    wide, high = (
        b - a
        for a, b in zip(*_corners(draft.text_box(text, (0, 0), height, turned=turned)), strict=True)
    )
    ahead = (
        middle[0] + inward[0] * ((box[2] - box[0]) / 2 + wide / 2 + 0.8),
        middle[1] + inward[1] * ((box[3] - box[1]) / 2 + high / 2 + 0.8),
    )
    area = draft.text_box(text, ahead, height, turned=turned)
    if text and draft.is_clear(area, 0.3):
        draft.write(text, ahead, height, turned=turned)
        draft.grid.block(*draft.nodes_in(area, 0.5))


def _corners(box: Box) -> tuple[Point, Point]:
    return (box[0], box[1]), (box[2], box[3])
