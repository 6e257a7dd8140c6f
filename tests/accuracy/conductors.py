"""Drawing the conductors: chains of edges with their hops, gaps, rings, dashes, corners and dots."""

from __future__ import annotations

import itertools
import math

from accuracy.crossings import CORNER_SHARE, Event, Events, half_circle
from accuracy.draft import Draft
from accuracy.marks import WHITE, Join, Mark, Point, Role, Stroke, dashes, ellipse, length_of
from accuracy.wiring import Look

_STRIPE_MM = (1.6, 2.4)  # stripe, and base showing between stripes


def draw_conductors(draft: Draft, events: Events) -> list[Mark]:
    """Return the marks of all conductors and note the joins."""
    marks: list[Mark] = []
    for chain in draft.wiring.chains():
        marks += _draw_chain(draft, chain, events)
    marks += draft.late
    for vertex, arms in enumerate(draft.wiring.arms):
        if vertex in draft.wiring.rings:
            marks.append(_ring(draft, vertex))
            if len(arms) > 2:
                draft.joins.append(Join(draft.wiring.points[vertex], "ring"))
        elif len(arms) > 2:
            marks += _join(draft, vertex)
    return marks


def _key_between(draft: Draft, a: int, b: int) -> int:
    return next(k for k in draft.wiring.arms[a] if draft.wiring.edges[k].other(a) == b)


def _draw_chain(draft: Draft, chain: list[int], events: Events) -> list[Mark]:
    wiring = draft.wiring
    keys = [_key_between(draft, a, b) for a, b in itertools.pairwise(chain)]
    look = wiring.edges[keys[0]].look
    points = [wiring.points[v] for v in chain]
    paths: list[list[Point]] = [[_lengthened(draft, chain[0], points[0], points[1], look)]]
    for place, key in enumerate(keys):
        a, b = points[place], points[place + 1]
        happenings = events.by_edge.get(key, [])
        if wiring.edges[key].a != chain[place]:
            length = math.dist(a, b)
            happenings = [Event(length - e.at, e.half, e.kind, -e.bulge) for e in happenings]
        for event in sorted(happenings, key=lambda e: e.at):
            _pass(paths, a, b, event)
        if place + 1 < len(keys):
            room = min(math.dist(a, b), math.dist(b, points[place + 2])) * 0.45
            paths[-1] += _corner(draft, (a, b, points[place + 2]), room)
    paths[-1].append(_lengthened(draft, chain[-1], points[-1], points[-2], look))
    return [mark for path in paths if len(path) > 1 for mark in _strokes(path, look)]


def _lengthened(draft: Draft, vertex: int, at: Point, inner: Point, look: Look) -> Point:
    """Let a line reach a little past a join, so that no seam shows."""
    if len(draft.wiring.arms[vertex]) < 2 or vertex in draft.wiring.rings:
        return at
    length = math.dist(at, inner)
    by = look.width_mm * 0.4 / length
    return at[0] + (at[0] - inner[0]) * by, at[1] + (at[1] - inner[1]) * by


def _pass(paths: list[list[Point]], a: Point, b: Point, event: Event) -> None:
    """Carry a line past an event: over a hop, or to a new path after a gap."""
    length = math.dist(a, b)
    dx, dy = (b[0] - a[0]) / length, (b[1] - a[1]) / length

    def at(distance: float) -> Point:
        return a[0] + dx * distance, a[1] + dy * distance

    if event.kind == "hop":
        middle, radius, sign = at(event.at), event.half, event.bulge
        paths[-1] += [
            (
                middle[0] + radius * (dx * u - dy * v * sign),
                middle[1] + radius * (dy * u + dx * v * sign),
            )
            for u, v in half_circle()
        ]
    else:
        paths[-1].append(at(event.at - event.half))
        paths.append([at(event.at + event.half)])


def _corner(draft: Draft, points: tuple[Point, Point, Point], room: float) -> list[Point]:
    """The points by which a line turns at a bend, in the manner of the page."""
    a, b, c = points
    size = min(room, draft.style.pitch_mm * CORNER_SHARE, 2.0)
    if draft.style.corner == "square" or room < 0.2:
        return [b]
    start, end = (
        (
            b[0] + (p[0] - b[0]) * size / math.dist(p, b),
            b[1] + (p[1] - b[1]) * size / math.dist(p, b),
        )
        for p in (a, c)
    )
    if draft.style.corner == "chamfer":
        return [start, end]
    curve = []
    for k in range(9):
        t = k / 8
        u, v, w = (1 - t) ** 2, 2 * t * (1 - t), t * t
        curve.append((u * start[0] + v * b[0] + w * end[0], u * start[1] + v * b[1] + w * end[1]))
    return curve


def _strokes(path: list[Point], look: Look) -> list[Mark]:
    """The strokes of one path: solid, dashed, or with the stripe of a second colour."""
    if look.dash and length_of(path) > 2 * look.dash[0]:
        pieces = dashes(path, *look.dash)
        return [Stroke(tuple(p), look.width_mm, look.colour, Role.CONDUCTOR) for p in pieces]
    marks: list[Mark] = [Stroke(tuple(path), look.width_mm, look.colour, Role.CONDUCTOR)]
    if look.stripe is not None:
        pieces = dashes(path, *_STRIPE_MM)
        marks += [Stroke(tuple(p), look.width_mm, look.stripe, Role.CONDUCTOR) for p in pieces]
    return marks


def _join(draft: Draft, vertex: int) -> list[Mark]:
    """A T or a four-way: with a dot where the page wants one; a four-way always has it."""
    wiring, style = draft.wiring, draft.style
    at, arms = wiring.points[vertex], wiring.arms[vertex]
    dotted = style.joins == "dots" or len(arms) > 3
    dotted = dotted or (style.joins == "mixed" and draft.rng.random() < 0.5)
    draft.joins.append(Join(at, "dot" if dotted else "tee"))
    name = {True: "dot", False: "bare tee"}[dotted]
    draft.note(f"four-way {name}" if len(arms) > 3 else name, at)
    if not dotted:
        return []
    looks = [wiring.edges[key].look for key in arms]
    widest = max(looks, key=lambda look: look.width_mm)
    radius = max(style.dot_mm, 1.6 * widest.width_mm) / 2
    points = tuple(ellipse(at, radius, radius, 40))
    if style.hollow_dots and radius > 1.5 * widest.width_mm:
        ring = Stroke(points, widest.width_mm, widest.colour, Role.CONDUCTOR, True, WHITE)
        return [ring]
    return [Stroke(points, 0.0, widest.colour, Role.CONDUCTOR, True, widest.colour)]


def _ring(draft: Draft, vertex: int) -> Mark:
    """A terminal ring on the line; the line runs on through it."""
    look = draft.wiring.edges[draft.wiring.arms[vertex][0]].look
    radius = draft.wiring.rings[vertex]
    points = tuple(ellipse(draft.wiring.points[vertex], radius, radius, 40))
    inside = None if draft.style.lines_through_rings else WHITE
    return Stroke(points, look.width_mm, look.colour, Role.CONDUCTOR, True, inside)
