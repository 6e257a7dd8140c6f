"""Drawings of whole cables: screened tubes tied to shells, twisted pairs, bundles that turn at 45°.

Each stands by itself in a free part of the sheet, with two connectors of its own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from accuracy.draft import Draft
from accuracy.looks import look_for_net
from accuracy.marks import Box, Point, Role, Stroke, WordKind, ellipse
from accuracy.symbols import GROUNDS
from accuracy.wiring import End, Look

_BODY_MM = 9.0


@dataclass(frozen=True, slots=True)
class Cable:
    """Two connectors, left and right, and the offsets at which their lines leave them."""

    left: int
    right: int
    starts: tuple[Point, ...]
    ends: tuple[Point, ...]
    spacing: float


def place_cables(draft: Draft, count: int) -> None:
    """Place some cables where the sheet is free."""
    for _ in range(count):
        kind = draft.rng.choice(["tube", "tube", "twist", "bundle"])
        if kind == "bundle":
            _place_bundle(draft)
        else:
            _place_straight(draft, kind)


def _find_room(draft: Draft, wide: float, high: float) -> Box | None:
    """A free box of this size with its corner on the raster, or none after some tries."""
    for _ in range(40):
        node = (
            draft.rng.randint(0, draft.grid.rows - 1),
            draft.rng.randint(0, draft.grid.columns - 1),
        )
        x, y = draft.at(node)
        box = (x, y, x + wide, y + high)
        if draft.is_clear(box, 5.0):
            return box
    return None


def _connectors(draft: Draft, boxes: tuple[Box, Box]) -> tuple[int, int]:
    numbers = []
    for box in boxes:
        numbers.append(draft.body(box, "module"))
        draft.outline(box)
    return numbers[0], numbers[1]


def _cable(draft: Draft, box: Box, *, count: int, spacing: float, fall: float) -> Cable:
    """Draw the two connectors at the sides of a box, the right one lower by `fall`."""
    x0, y0, x1, y1 = box
    shift = max(fall, 0.0), max(-fall, 0.0)
    high = (count + 1) * spacing
    left = (x0, y0 + shift[1], x0 + _BODY_MM, y0 + shift[1] + high)
    right = (x1 - _BODY_MM, y0 + shift[0], x1, y0 + shift[0] + high)
    numbers = _connectors(draft, (left, right))
    short = draft.style.short_mm
    starts = tuple((left[2] + short, left[1] + (k + 1) * spacing) for k in range(count))
    ends = tuple((right[0] - short, right[1] + (k + 1) * spacing) for k in range(count))
    height = min(1.7, spacing * 0.62)
    for k in range(count):
        draft.write(str(k + 1), (left[2] - 2.0, starts[k][1]), height, kind=WordKind.PIN)
        draft.write(str(k + 1), (right[0] + 2.0, ends[k][1]), height, kind=WordKind.PIN)
    draft.grid.block(*draft.nodes_in((x0, y0, x1, y1), 4.0))
    return Cable(*numbers, starts, ends, spacing)


def _line(draft: Draft, cable: Cable, number: int, corners: list[Point], look: Look) -> list[int]:
    wiring = draft.wiring
    name = str(number + 1)
    first = wiring.vertex(cable.starts[number], End(name, cable.left, (1, 0)))
    last = wiring.vertex(cable.ends[number], End(name, cable.right, (-1, 0)))
    return wiring.run([first, *(wiring.vertex(p) for p in corners), last], look)


def _solid(draft: Draft) -> Look:
    return replace(look_for_net(draft.rng, draft.style), dash=None)


def _place_bundle(draft: Draft) -> None:
    """Parallel lines that run level, fall at 45 degrees, and run level again, never nearer."""
    rng = draft.rng
    count, spacing = rng.randint(3, 10), max(draft.style.pitch_mm, 1.5)
    fall = rng.choice([-1, 1]) * rng.uniform(10, 25)
    wide = 2 * _BODY_MM + abs(fall) + (count + 1) * spacing + 24
    box = _find_room(draft, wide, abs(fall) + (count + 1) * spacing)
    if box is None:
        return
    cable = _cable(draft, box, count=count, spacing=spacing, fall=fall)
    lean = spacing * 0.41421  # tan 22.5°: keeps the spacing across the slanted part
    for k in range(count):
        place = k if fall < 0 else count - 1 - k
        x = cable.starts[k][0] + 8 + place * lean
        corners = [(x, cable.starts[k][1]), (x + abs(fall), cable.ends[k][1])]
        _line(draft, cable, k, corners, _solid(draft))
    draft.note("bundle at 45 degrees", cable.starts[0])


def _place_straight(draft: Draft, kind: str) -> None:
    rng = draft.rng
    count = rng.randint(2, 6)
    spacing = max(draft.style.pitch_mm, rng.choice([2.0, 2.5, 3.0]))
    wide, high = rng.uniform(60, 110), (count + 1) * spacing
    box = _find_room(draft, wide, high + 9)
    if box is None:
        return
    cable = _cable(draft, box, count=count, spacing=spacing, fall=0)
    pairs = 0
    if kind == "twist":
        pairs = _twisted_pair(draft, cable)
    for k in range(pairs, count):
        _line(draft, cable, k, [], _solid(draft))
    if kind == "tube":
        _tube(draft, cable, high + box[1])


def _twisted_pair(draft: Draft, cable: Cable) -> int:
    """The first two lines change places several times; returns how many lines that were."""
    times = draft.rng.randint(1, 6)
    lanes = [cable.starts[0][1], cable.starts[1][1]]
    step = cable.spacing * draft.rng.choice([1.2, 1.6])
    x = cable.starts[0][0] + 6
    corners: list[list[Point]] = [[], []]
    for turn in range(times):
        at = x + turn * step * 1.6
        for line in (0, 1):
            lane = (line + turn) % 2
            corners[line] += [(at, lanes[lane]), (at + step, lanes[1 - lane])]
    if times % 2:
        cable = replace(cable, ends=(cable.ends[1], cable.ends[0], *cable.ends[2:]))
    for line in (0, 1):
        draft.plain_edges.update(_line(draft, cable, line, corners[line], _solid(draft)))
    draft.note("twisted pair", corners[0][1])
    return 2


def _tube(draft: Draft, cable: Cable, bottom: float) -> None:
    """A screen drawn as a tube: two ellipses and their tangents; the lower one may be tied."""
    rng = draft.rng
    top_lane, low_lane = cable.starts[0][1], cable.starts[-1][1]
    middle, half = (top_lane + low_lane) / 2, (low_lane - top_lane) / 2 + cable.spacing * 0.7
    x0, x1 = cable.starts[0][0] + 10, cable.ends[0][0] - 10
    radius = rng.choice([1.5, 2.5])
    width, ink = draft.style.line_mm, draft.style.ink
    for x in (x0, x1):
        points = tuple(ellipse((x, middle), radius, half))
        draft.over.append(Stroke(points, width, ink, Role.DECOY, closed=True))
    upper = ((x0, middle - half), (x1, middle - half))
    draft.over.append(Stroke(upper, width, ink, Role.DECOY))
    lower = ((x0, middle + half), (x1, middle + half))
    draft.empty.fill((x0 - radius, middle - half, x1 + radius, middle + half))
    ties = rng.choice([(), ("left", "right"), ("left",), ("right",), ("earth",)])
    if not ties:
        draft.over.append(Stroke(lower, width, ink, Role.DECOY))
        return
    look = Look(width, ink)
    wiring = draft.wiring
    corners = {"left": wiring.vertex(lower[0]), "right": wiring.vertex(lower[1])}
    wiring.join(corners["left"], corners["right"], look)
    for tie in ties:
        if tie == "earth":
            _earth(draft, corners["right"], look)
        else:
            _tie(draft, cable, (tie, corners[tie]), max(bottom, lower[0][1]), look)
    draft.note(f"screen tied {' and '.join(ties)}", lower[0])


def _tie(draft: Draft, cable: Cable, side: tuple[str, int], bottom: float, look: Look) -> None:
    """From the end of the screen down, along, and up to the shell of a connector."""
    name, corner = side
    body = cable.left if name == "left" else cable.right
    box = draft.bodies[body].box
    x, level = (box[0] + box[2]) / 2, bottom + 3.5
    wiring = draft.wiring
    shell = wiring.vertex((x, box[3]), End("shell", body, (0, 1)))
    here = wiring.points[corner]
    way = [corner, wiring.vertex((here[0], level)), wiring.vertex((x, level)), shell]
    wiring.run(way, look)


def _earth(draft: Draft, corner: int, look: Look) -> None:
    shape = draft.rng.choice(GROUNDS)(draft.rng)
    x, y = draft.wiring.points[corner]
    at = (x, y + 3.0)
    body = draft.body(draft.set_shape(shape, at, (0, 1)), "ground")
    foot = draft.wiring.vertex(at, End("1", body, (0, -1)))
    draft.wiring.join(corner, foot, look)
