"""Closed outlines drawn with the same pen as the lines: boxes, circles, flags, frames.

A conductor never runs in a ring: drawn twice it would say nothing. So a ring of line that only ever
turns one way, and goes straight on wherever something else meets it, is an outline. It is found by
walking: from each edge along the straightest way, until the walk comes back or turns the other way.

- A *frame* is an outline that spans most of the page: what hangs on it is no conductor.
- A *screen* is a large outline that a line runs straight through: it parts nothing.
- Any other is a *body*: lines that meet it end there; small ones hold nothing but their symbol.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import PxBox
from loomfolio.reading.bodies import Body
from loomfolio.reading.graph import Arm, Edge, LineGraph, Node, arm_of
from loomfolio.reading.settings import ReaderSettings

F64 = NDArray[np.float64]
Way = tuple[int, int]
"""An edge and the end it is entered at."""

STEPS_MOST = 400
ARMS_MOST = 12
"""Where more meet, the ink has run together, and nothing can be followed through."""
SMALL_BODY_MM = 16.0
"""A body up to this size is a symbol: all lines inside are its own."""
TURN_BACK_MOST_DEG = 30.0
START_TURN_LEAST_DEG = 8.0
TURN_AT_NODE_MOST_DEG = 42.0
LONG_LEAST = 1.3
STRAIGHT = math.cos(math.radians(14.0))


@dataclass(frozen=True)
class DrawnOutline:
    """A closed outline: its corner points, float64 (P, 2) in working px, and its edges."""

    points: F64
    edges: frozenset[int]
    round: bool

    @property
    def box(self) -> PxBox:
        """The upright box around the outline's points."""
        low, high = self.points.min(axis=0), self.points.max(axis=0)
        return PxBox(float(low[0]), float(low[1]), float(high[0]), float(high[1]))

    def holds(self, x: float, y: float) -> bool:
        """Tell whether a point lies inside."""
        contour = self.points.astype(np.float32).reshape(-1, 1, 2)
        return float(cv2.pointPolygonTest(contour, (x, y), measureDist=False)) > 0


@dataclass(frozen=True)
class Outlined:
    """The graph without outlines, and the bodies that they are."""

    graph: LineGraph
    bodies: tuple[Body, ...]


def take_out_outlines(
    graph: LineGraph, page_size: tuple[int, int], settings: ReaderSettings, *, marked: bool
) -> Outlined:
    """Find the outlines and take them out of the graph; `page_size` is (height, width).

    Where a person `marked` the bodies, an outline no larger than a glyph is a letter on a line.
    """
    frames: set[int] = set()
    bodies: list[DrawnOutline] = []
    for outline in find_outlines(graph, settings):
        if _is_frame(outline, page_size):
            frames |= outline.edges
        elif marked and _is_as_small_as_a_glyph(outline, settings):
            continue
        elif not _is_screen(outline, graph, settings):
            bodies.append(outline)
    gone = _hanging_on(graph, frames)
    boxes = _edge_boxes(graph)
    for body in bodies:
        gone |= body.edges | _inside(body, graph, boxes, settings)
    half = graph.stroke_px / 2
    return Outlined(
        _without(graph, gone, _nodes_on(graph, bodies)),
        tuple(_body_of(b, half, settings) for b in bodies),
    )


def find_outlines(graph: LineGraph, settings: ReaderSettings) -> list[DrawnOutline]:
    """Find all closed outlines, in the order of their first edge; each edge is in at most one."""
    taken: set[int] = set()
    found: list[DrawnOutline] = []
    for edge in sorted(graph.edges):
        for end in (0, 1):
            if not _may_start(graph, (edge, end)):
                continue
            if edge in taken:
                break
            walk = _walk(graph, (edge, end), 1) or _walk(graph, (edge, end), -1)
            outline = _outline_of(graph, walk, settings) if walk else None
            if outline is not None and not outline.edges & taken:
                taken |= outline.edges
                found.append(outline)
    return found


def _may_start(graph: LineGraph, way: Way) -> bool:
    """Tell a way that turns itself or runs into a corner: every outline has one, few lines do."""
    edge, end = way
    if abs(_turn_along(graph.edges[edge], end)) >= START_TURN_LEAST_DEG:
        return True
    node = graph.nodes[graph.edges[edge].nodes[1 - end]]
    return len(node.arms) == 3 and _is_corner(node, way)


def _walk(graph: LineGraph, start: Way, hand: int) -> list[Way]:
    """Walk the straightest way, turning right (1) or left (-1); nothing if that does not close."""
    way, walked = start, [start]
    turned = most = 0.0  # Degrees in the direction of the hand.
    for _ in range(STEPS_MOST):
        edge, end = way
        turned += hand * _turn_along(graph.edges[edge], end)
        onward = _onward(graph, way, hand)
        if onward is None:
            return []
        way, turn = onward
        turned += hand * turn
        most = max(most, turned)
        if turned < most - TURN_BACK_MOST_DEG or most > 400.0:
            return []
        if way == start:
            return walked if abs(turned - 360.0) < 25.0 else []
        walked.append(way)
    return []


def _directed(edge: Edge, end: int) -> F64:
    return edge.points if end == 0 else edge.points[::-1]


def _turn_along(edge: Edge, end: int) -> float:
    """Degrees turned along an edge, from entry to exit."""
    steps = np.diff(_directed(edge, end), axis=0)
    if len(steps) < 2:
        return 0.0
    a, b = steps[:-1], steps[1:]
    turn = np.arctan2(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], (a * b).sum(axis=1))
    return float(np.degrees(turn).sum())


def _onward(graph: LineGraph, way: Way, hand: int) -> tuple[Way, float] | None:
    """The straightest way on from the end of an edge, and the degrees turned there."""
    edge, end = way
    node = graph.nodes[graph.edges[edge].nodes[1 - end]]
    if not 2 <= len(node.arms) <= ARMS_MOST:
        return None
    last = np.diff(_directed(graph.edges[edge], end)[-2:], axis=0)[0]
    turns: list[tuple[float, float, Way]] = []
    for arm in node.arms:
        if (arm.edge, arm.end) == (edge, 1 - end):
            continue
        first = np.diff(_directed(graph.edges[arm.edge], arm.end)[:2], axis=0)[0]
        turn = math.degrees(
            math.atan2(float(last[0] * first[1] - last[1] * first[0]), float(last @ first))
        )
        turns.append((abs(turn), turn, (arm.edge, arm.end)))
    ahead = sorted(t for t in turns if len(turns) == 1 or hand * t[1] > -TURN_BACK_MOST_DEG)
    if not ahead:
        return None
    _, turn, onward = ahead[0]
    if abs(turn) <= TURN_AT_NODE_MOST_DEG or len(node.arms) == 2 or _is_corner(node, way):
        return onward, turn
    # A corner from which only what is drawn inside leads off: the diagonal of a coil.
    inside = all(hand * t[1] >= hand * turn for t in turns)
    return (onward, turn) if inside and hand * turn > 0 else None


def _is_corner(node: Node, way: Way) -> bool:
    """Tell the corner of an outline where a line meets it from the end of a line at a bar."""
    others = [a for a in node.arms if (a.edge, a.end) != (way[0], 1 - way[1])]
    if len(others) != 2:
        return False
    a, b = others
    return a.dx * b.dx + a.dy * b.dy > -math.cos(math.radians(25.0))


def _outline_of(graph: LineGraph, walk: list[Way], settings: ReaderSettings) -> DrawnOutline | None:
    """The outline of a closed walk, if it is convex and large enough to hold anything."""
    points = np.vstack([_directed(graph.edges[e], end)[:-1] for e, end in walk])
    contour = points.astype(np.float32).reshape(-1, 1, 2)
    area = float(cv2.contourArea(contour))
    hull = float(cv2.contourArea(cv2.convexHull(contour)))
    span = points.max(axis=0) - points.min(axis=0)
    if float(span.min()) < settings.px(0.7) or hull <= 0 or area < 0.93 * hull:
        return None
    return DrawnOutline(points, frozenset(e for e, _ in walk), _is_round(points, area))


def _is_round(points: F64, area: float) -> bool:
    """Tell a circle from a box of the same size by its area."""
    span = points.max(axis=0) - points.min(axis=0)
    if not 0.8 <= float(span[0] / span[1]) <= 1.25 or len(points) < 6:
        return False
    return abs(area / (math.pi / 4 * float(span[0] * span[1])) - 1.0) < 0.12


def _is_as_small_as_a_glyph(outline: DrawnOutline, settings: ReaderSettings) -> bool:
    box = outline.box
    return max(box.x1 - box.x0, box.y1 - box.y0) <= settings.px(settings.glyph_max_mm)


def _is_frame(outline: DrawnOutline, page_size: tuple[int, int]) -> bool:
    box = outline.box
    wide, high = (box.x1 - box.x0) / page_size[1], (box.y1 - box.y0) / page_size[0]
    return wide > 0.8 or high > 0.8 or (wide > 0.55 and high > 0.55)


def _is_screen(outline: DrawnOutline, graph: LineGraph, settings: ReaderSettings) -> bool:
    """Tell a screen, a tube or a sleeve: large, and a line runs straight in and out of it."""
    box = outline.box
    small = max(box.x1 - box.x0, box.y1 - box.y0) <= settings.px(SMALL_BODY_MM)
    if small and not _is_long_ellipse(outline):
        return False
    entries = _entries(outline, graph)
    ways = {(arm.edge, 1 - arm.end) for arm in entries}
    return any(_runs_through(graph, (arm.edge, arm.end), ways) for arm in entries)


def _is_long_ellipse(outline: DrawnOutline) -> bool:
    """Tell an ellipse from a circle and a box: symbols are circles or boxes, screens ellipses."""
    if len(outline.points) < 8:
        return False
    hull = cv2.convexHull(outline.points.astype(np.float32))
    _, (w, h), _ = cv2.minAreaRect(hull)
    if max(w, h) < LONG_LEAST * min(w, h) or min(w, h) <= 0:
        return False
    return abs(float(cv2.contourArea(hull)) / (math.pi / 4 * w * h) - 1.0) < 0.12


def _runs_through(graph: LineGraph, way: Way, exits: set[Way]) -> bool:
    """Tell whether a way straight on through all that it crosses leaves by one of the exits.

    `exits` are edges with the end at the outline. Two stubs that face each other are no such way.
    """
    for _ in range(STEPS_MOST):
        edge, end = way
        if (edge, end) in exits:
            return True
        node = graph.nodes[graph.edges[edge].nodes[1 - end]]
        onward = _straight_on(node, (edge, 1 - end))
        if onward is None:
            return False
        way = (onward.edge, onward.end)
    return False


def _straight_on(node: Node, came: Way) -> Arm | None:
    """The arm that carries on the line of another straight through a node."""
    own = next(a for a in node.arms if (a.edge, a.end) == came)
    best = min(node.arms, key=lambda a: a.dx * own.dx + a.dy * own.dy)
    return best if best.dx * own.dx + best.dy * own.dy < -STRAIGHT else None


def _entries(outline: DrawnOutline, graph: LineGraph) -> list[Arm]:
    """The arms that lead inwards from nodes on the outline where another leads outwards."""
    entries: list[Arm] = []
    for number in sorted({n for e in outline.edges for n in graph.edges[e].nodes}):
        sides: dict[bool, list[Arm]] = {True: [], False: []}
        for arm in graph.nodes[number].arms:
            if arm.edge not in outline.edges:
                reach = 2.5 * arm.width
                inside = outline.holds(arm.x + reach * arm.dx, arm.y + reach * arm.dy)
                sides[inside].append(arm)
        if sides[True] and sides[False]:
            entries += sides[True]
    return entries


def _hanging_on(graph: LineGraph, frames: Iterable[int]) -> set[int]:
    """All edges that are connected with a frame."""
    reached = set(frames)
    open_edges = sorted(reached)
    while open_edges:
        edge = open_edges.pop()
        for node in graph.edges[edge].nodes:
            for arm in graph.nodes[node].arms:
                if arm.edge not in reached:
                    reached.add(arm.edge)
                    open_edges.append(arm.edge)
    return reached


def _edge_boxes(graph: LineGraph) -> tuple[list[int], F64]:
    """The numbers of all edges, and the boxes round them, float64 (E, 4): x0, y0, x1, y1."""
    boxes = [
        np.concatenate([edge.points.min(axis=0), edge.points.max(axis=0)])
        for edge in graph.edges.values()
    ]
    return list(graph.edges), np.array(boxes, dtype=np.float64).reshape(-1, 4)


def _inside(
    outline: DrawnOutline,
    graph: LineGraph,
    boxes: tuple[list[int], F64],
    settings: ReaderSettings,
) -> set[int]:
    """Edges inside: all of a small body, and what runs from edge to edge of a large one."""
    box = outline.box
    small = max(box.x1 - box.x0, box.y1 - box.y0) <= settings.px(SMALL_BODY_MM)
    border = {n for e in outline.edges for n in graph.edges[e].nodes}
    inside: set[int] = set()
    numbers, b = boxes
    near = (b[:, 2] >= box.x0) & (b[:, 0] <= box.x1) & (b[:, 3] >= box.y0) & (b[:, 1] <= box.y1)
    for number in (numbers[k] for k in np.flatnonzero(near)):
        edge = graph.edges[number]
        middle = (edge.points[0] + edge.points[1]) / 2
        if number in outline.edges or not outline.holds(float(middle[0]), float(middle[1])):
            continue
        if small or (edge.nodes[0] in border and edge.nodes[1] in border):
            inside.add(number)
    return inside


def _nodes_on(graph: LineGraph, bodies: list[DrawnOutline]) -> set[int]:
    return {n for b in bodies for e in b.edges for n in graph.edges[e].nodes}


def _without(graph: LineGraph, gone: set[int], split: set[int]) -> LineGraph:
    """The graph without some edges; what is left at a node of an outline is no longer joined."""
    fresh = max(graph.nodes, default=0) + 1
    edges: dict[int, Edge] = {}
    arms: dict[int, list[Arm]] = defaultdict(list)
    for number, edge in graph.edges.items():
        if number in gone:
            continue
        nodes = [0, 0]
        for end in (0, 1):
            nodes[end] = edge.nodes[end]
            if edge.nodes[end] in split:
                nodes[end], fresh = fresh, fresh + 1
        edges[number] = Edge(edge.points, edge.width, (nodes[0], nodes[1]))
        for end in (0, 1):
            arms[nodes[end]].append(arm_of(edges[number], number, end))
    nodes_left = {
        n: Node(
            tuple(a),
            graph.nodes[n].box if n in graph.nodes else None,
            graph.nodes[n].blob_area if n in graph.nodes else 0.0,
        )
        for n, a in sorted(arms.items())
    }
    return LineGraph(edges, nodes_left, graph.stroke_px)


def _body_of(outline: DrawnOutline, half_stroke: float, settings: ReaderSettings) -> Body:
    """The body of an outline: its box to the outer edge of the pen, its corners on the line."""
    corners = tuple((float(x), float(y)) for x, y in outline.points)
    box = _widened(outline.box, half_stroke)
    terminal = outline.round and box.x1 - box.x0 <= settings.px(settings.ring_max_mm)
    return Body(box, round=outline.round, terminal=terminal, corners=corners)


def _widened(box: PxBox, by: float) -> PxBox:
    return PxBox(box.x0 - by, box.y0 - by, box.x1 + by, box.y1 + by)
