"""Where parts stand on a page: banks of modules, current paths, or parts scattered over the sheet."""

from __future__ import annotations

import itertools

from accuracy.draft import SKEW_REACH, Draft, Pin
from accuracy.grid import Node, Route
from accuracy.marks import Box, Point, Role, Stroke, WordKind, ellipse
from accuracy.parts import Plan, part_name, place_module
from accuracy.symbols import TWO_POLES, Shape

_LOADS = ("lamp", "motor", "coil", "valve coil", "heater", "resistor box", "sender")
_SWITCHES = ("contact open", "contact closed", "push button", "fuse wave", "in-line pair", "diode")
_FUSES = ("fuse box", "fuse wave", "resistor zigzag", "inductor", "in-line pair", "battery")


def banks(draft: Draft, *, upright: bool) -> None:
    """Place modules in banks across the page: rows, or columns where `upright`."""
    rng, pitch = draft.rng, draft.style.pitch_mm
    rows, columns = draft.grid.rows, draft.grid.columns
    depth, along = (columns, rows) if upright else (rows, columns)
    thick = max(draft.steps(10.0), 5)
    count = max(2, min(int(depth * pitch / rng.uniform(42, 70)) + 1, 5))
    gap = (depth - 1 - count * thick) / (count - 1)
    for bank in range(count):
        start = round(bank * (thick + gap))
        faces = {0: ["far"], count - 1: ["near"]}.get(bank, ["near", "far"])
        _fill_bank(draft, (start, thick, along), faces, upright=upright)


def _fill_bank(
    draft: Draft, place: tuple[int, int, int], faces: list[str], *, upright: bool
) -> None:
    start, thick, along = place
    rng = draft.rng
    names = {("near", True): "w", ("far", True): "e", ("near", False): "n", ("far", False): "s"}
    at = rng.randint(0, 3)
    while True:
        size = max(draft.steps(rng.choice([8, 12, 18, 26, 40, 55])), 4)
        if at + size >= along:
            return
        every = rng.choice([1, 1, 2, 2, 3])
        offsets = [k for k in range(1, size, every) if rng.random() < 0.9]
        kinds = ["module", "module in part", "bracket"]
        kind = rng.choices(kinds, [6, 1, 2 if len(faces) == 2 else 0])[0]
        deep = max(draft.steps(4.0), 3) if kind == "bracket" else thick
        shift = (thick - deep) // 2
        corner = (at, start + shift) if upright else (start + shift, at)
        high, wide = (size, deep) if upright else (deep, size)
        sides = {names[face, upright]: offsets for face in faces}
        place_module(draft, Plan(corner, high, wide, sides, kind))
        at += size + draft.steps(
            2 * (SKEW_REACH * size * draft.style.pitch_mm + 1) + rng.uniform(1, 6)
        )


def scatter(draft: Draft) -> None:
    """Place modules of many sizes anywhere, with pins on all sides."""
    rng = draft.rng
    area = draft.style.width_mm * draft.style.height_mm
    for _ in range(int(area / 900)):
        high, wide = (max(draft.steps(rng.choice([8, 10, 14, 20, 30])), 4) for _ in range(2))
        row = rng.randint(0, max(0, draft.grid.rows - high - 1))
        column = rng.randint(0, max(0, draft.grid.columns - wide - 1))
        every = rng.choice([1, 2, 2, 3])
        sides = {}
        for side in rng.sample("nswe", rng.choice([1, 2, 3, 4])):
            sides[side] = list(range(2, (wide if side in "ns" else high) - 1, every))
        kind = rng.choices(["module", "module in part"], [6, 1])[0]
        place_module(draft, Plan((row, column), high, wide, sides, kind))


def place_transistors(draft: Draft, count: int) -> None:
    """Place transistors, circle round and three poles, where the sheet is free."""
    rng = draft.rng
    for _ in range(count * 10):
        node = (rng.randint(0, draft.grid.rows - 1), rng.randint(0, draft.grid.columns - 1))
        x, y = draft.at(node)
        box = (x - 3.2, y - 3.2, x + 3.2, y + 3.2)
        if count and draft.is_clear(box, 4.0):
            count -= 1
            _place_transistor(draft, (x, y), box)


def _place_transistor(draft: Draft, middle: Point, box: Box) -> None:
    x, y = middle
    body = draft.body(box, "transistor")
    draft.stroke(*ellipse(middle, 3.2, 3.2), closed=True)
    draft.stroke((x - 3.2, y), (x - 1.4, y))
    draft.stroke((x - 1.4, y - 1.7), (x - 1.4, y + 1.7))
    for sign in (-1, 1):
        draft.stroke((x - 1.4, y + sign * 0.7), (x, y + sign * 1.9), (x, y + sign * 3.2))
    head = ((x - 0.1, y + 1.85), (x - 0.95, y + 1.65), (x - 0.45, y + 1.0))
    ink = draft.style.ink
    draft.marks.append(Stroke(head, 0.0, ink, Role.BODY, closed=True, fill=ink))
    poles = (
        ("B", (x - 3.2, y), (-1, 0)),
        ("C", (x, y - 3.2), (0, -1)),
        ("E", (x, y + 3.2), (0, 1)),
    )
    for name, at, out in poles:
        draft.pin(name, body, at, out, 2.0)


def current_paths(draft: Draft) -> None:
    """Place supply bars at the top, a ground bar at the bottom, and chains of symbols between."""
    rng, grid = draft.rng, draft.grid
    step = draft.steps(rng.choice([1.5, 3, 5]))
    top_rows = [draft.steps(4) + k * step for k in range(rng.randint(1, 5))]
    ground_row = _lowest_open_row(draft)
    bars = {
        row: _bar(draft, row, rng.choice(["30", "15", "15a", "L1", "58", "+"])) for row in top_rows
    }
    bars[ground_row] = _bar(draft, ground_row, rng.choice(["31", "N", "GND", "31b"]))
    spacing = draft.steps(rng.uniform(9, 15))
    first, last = top_rows[-1] + draft.steps(4), ground_row - draft.steps(4)
    deck = _decks(draft)
    for column in range(draft.steps(10), grid.columns - draft.steps(8), spacing):
        if rng.random() < 0.92:
            feet = (rng.choice(top_rows), ground_row)
            symbols = _column_of_symbols(draft, deck, column, (first, last))
            _wire_chain(draft, symbols, (column, feet), bars)


def _lowest_open_row(draft: Draft) -> int:
    """The lowest row, some way off the frame, on which a bar meets nothing from side to side."""
    row = draft.grid.rows - 1 - draft.steps(6)
    while draft.grid.whole[row].any():
        row -= 1
    return row - draft.steps(2)


def _decks(draft: Draft) -> list[tuple[str, ...]]:
    """Which families of symbols stand in which band, from top to bottom."""
    decks = [_FUSES, _SWITCHES, _LOADS]
    if draft.style.height_mm > 250:
        decks = [_FUSES, _SWITCHES, _SWITCHES, ("in-line pair", "diode"), _LOADS]
    return decks


def _bar(draft: Draft, row: int, name: str) -> int:
    """Lay a bar across the page from a supply ring at its left end; return its net."""
    net = draft.new_net()
    start, end = (row, 3), (row, draft.grid.columns - 2)
    x, y = draft.at(start)
    ring = Shape("supply", 1.2, 0.6, closed=(tuple(ellipse((0.6, 0), 0.6, 0.6, 32)),))
    at = (x - 1.5, y)
    body = draft.body(draft.set_shape(ring, at, (-1, 0)), "supply")
    draft.grid.whole[start] = 0
    draft.pins.append(Pin(len(draft.pins), name, body, at, (1, 0), start, net))
    draft.lay(net, Route((start, end), 0))
    draft.write(name, (x - 4.5, y), 1.8)
    return net


def _column_of_symbols(
    draft: Draft, decks: list[tuple[str, ...]], column: int, span: tuple[int, int]
) -> list[tuple[Pin, Pin]]:
    rng = draft.rng
    band = (span[1] - span[0]) / len(decks)
    out = []
    for place, family in enumerate(decks):
        if rng.random() < 0.2:
            continue
        row = round(span[0] + band * (place + 0.5)) + rng.choice([0, 0, 0, 1, -1])
        shape = TWO_POLES[rng.choice(family)](rng)
        pins = two_pole(draft, shape, draft.at((row, column)), (0.0, 1.0))
        if pins is not None:
            out.append(pins)
    return out


def _wire_chain(
    draft: Draft,
    symbols: list[tuple[Pin, Pin]],
    place: tuple[int, tuple[int, int]],
    bars: dict[int, int],
) -> None:
    """Connect the symbols of a column one below the other, and its ends to the bars."""
    column, (top, bottom) = place
    if not symbols:
        return
    _wire_down(draft, bars[top], (top, column), symbols[0][0])
    for (_, lower), (upper, _) in itertools.pairwise(symbols):
        net = draft.new_net()
        _wire_down(draft, net, lower.start, upper)
        lower.net = upper.net
    lowest = symbols[-1][1]
    if draft.rng.random() < 0.6:
        _wire_down(draft, bars[bottom], (bottom, column), lowest)


def _wire_down(draft: Draft, net: int, start: Node, pin: Pin) -> None:
    route = draft.grid.upright.straight(start, pin.start, net)
    if route is not None:
        draft.lay(net, route)
        pin.net = net


def two_pole(draft: Draft, shape: Shape, middle: Point, along: Point) -> tuple[Pin, Pin] | None:
    """Set a two-pole symbol on the raster with a pin at both poles; none where there is no room."""
    half = shape.length / 2
    poles = [
        (middle[0] + sign * along[0] * half, middle[1] + sign * along[1] * half) for sign in (-1, 1)
    ]
    side = (abs(along[1]) * shape.half_width, abs(along[0]) * shape.half_width)
    box = (
        poles[0][0] - side[0],
        poles[0][1] - side[1],
        poles[1][0] + side[0],
        poles[1][1] + side[1],
    )
    if not draft.is_clear(box, 1.8):
        return None
    body = draft.body(draft.set_shape(shape, middle, along), shape.kind)
    if shape.letter:
        draft.write(shape.letter, middle, 2.4)
    outs = [(-along[0], -along[1]), along]
    pins = [
        draft.pin(name, body, at, out, 1.8) for name, at, out in zip("12", poles, outs, strict=True)
    ]
    _name_symbol(draft, box, shape)
    if pins[0] is None or pins[1] is None:
        return None
    return pins[0], pins[1]


def _name_symbol(draft: Draft, box: tuple[float, float, float, float], shape: Shape) -> None:
    text = part_name(draft.rng)
    if shape.kind == "fuse" and draft.rng.random() < 0.5:
        text += f" {draft.rng.choice([5, 10, 15, 30])}A"
    height = 1.6
    area = draft.text_box(text, (0, 0), height)
    right = (box[2] + area[2] + 1.0, (box[1] + box[3]) / 2)
    if draft.is_clear(draft.text_box(text, right, height), 0.2):
        draft.write(text, right, height, kind=WordKind.NAME)
        draft.grid.block(*draft.nodes_in(draft.text_box(text, right, height), 0.4))
