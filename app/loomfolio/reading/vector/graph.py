"""From lines and their contacts to the reader's graph: the same record as from pixels, exactly placed.

Contacts that lie in one ink are one node. Lines are cut at their nodes; where just two ends meet, they
are one edge with a corner. What a line does at a node is known, not guessed: `through` holds the pairs
of arms that are one stroke passing.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.graph import Arm, Edge, LineGraph, Node, arm_of
from loomfolio.reading.vector.contacts import Contact, DotContact
from loomfolio.reading.vector.lines import Dot, Line

F64 = NDArray[np.float64]
Side = tuple[int, int]
"""An edge and one of its ends."""

ONE_PLACE = 0.5
"""Contacts of one line nearer to each other than this share of the wider pen are one place."""


LEAST_STEP_PX = 0.5
"""A step shorter than this says nothing of a direction: it may be rounding."""


@dataclass(frozen=True)
class VectorGraph:
    """The graph, and what is known of its nodes and edges beside it.

    Attributes
    ----------
    through : by node, the pairs of sides that are one stroke passing
    dotted : nodes that a dot covers, with the dot
    near : nodes whose ink does not quite touch
    looks : by edge, the line it was cut from
    """

    graph: LineGraph
    through: dict[int, tuple[tuple[Side, Side], ...]]
    dotted: dict[int, Dot]
    near: frozenset[int]
    looks: dict[int, Line]


class _Places:
    """Positions on lines; those in one ink are one set."""

    def __init__(self) -> None:
        self.parent: list[int] = []
        self.on_line: dict[int, list[tuple[float, int, float]]] = defaultdict(list)

    def add(self, line: int, at: float, width: float) -> int:
        number = len(self.parent)
        self.parent.append(number)
        self.on_line[line].append((at, number, width))
        return number

    def find(self, item: int) -> int:
        while self.parent[item] != item:
            self.parent[item] = self.parent[self.parent[item]]
            item = self.parent[item]
        return item

    def join(self, a: int, b: int) -> None:
        a, b = self.find(a), self.find(b)
        self.parent[max(a, b)] = min(a, b)


def build_vector_graph(
    lines: Sequence[Line],
    contacts: Sequence[Contact],
    dot_contacts: Sequence[DotContact],
    dots: Sequence[Dot],
    stroke_px: float,
) -> VectorGraph:
    """Build the graph of a page's lines; no lines make an empty graph."""
    places = _Places()
    near = [n for c in contacts for n in _tie(places, c, lines) if c.is_near]
    covered = _tie_dots(places, dot_contacts, dots, lines)
    _tie_neighbours(places, lines)
    cut = _Cut()
    for k, line in enumerate(lines):
        cut.line(k, line, places)
    welded = _welded(cut, {places.find(n) for n in covered})
    graph, through = _finished(welded, stroke_px)
    return VectorGraph(
        graph,
        through,
        {places.find(n): dots[d] for n, d in covered.items()},
        frozenset(places.find(n) for n in near),
        {e: lines[k] for e, k in welded.line_of.items()},
    )


def _tie(places: _Places, contact: Contact, lines: Sequence[Line]) -> list[int]:
    width = max(lines[contact.a].width, lines[contact.b].width)
    one = places.add(contact.a, contact.a_at, width)
    two = places.add(contact.b, contact.b_at, width)
    places.join(one, two)
    return [one]


def _tie_dots(
    places: _Places, found: Sequence[DotContact], dots: Sequence[Dot], lines: Sequence[Line]
) -> dict[int, int]:
    """All that lies in a dot is one place; returns one position of each dot's place, with the dot."""
    held: dict[int, int] = {}
    for contact in found:
        dot, length = dots[contact.dot], lines[contact.line].length
        at = contact.at
        if not lines[contact.line].is_closed:
            # An end in a dot ends there.
            at = 0.0 if at <= dot.radius and at < length / 2 else at
            at = length if length - at <= dot.radius and at >= length / 2 else at
        inside = [n for p, n, _ in places.on_line[contact.line] if abs(p - at) <= dot.radius]
        place = places.add(contact.line, at, 2 * dot.radius)
        for n in [*inside, held.setdefault(contact.dot, place)]:
            places.join(place, n)
    return {place: dot for dot, place in held.items()}


def _tie_neighbours(places: _Places, lines: Sequence[Line]) -> None:
    for number, spots in places.on_line.items():
        spots.sort()
        (low, one, _), (high, two, width) = spots[0], spots[-1]
        line = lines[number]
        if line.is_closed and low + line.length - high <= ONE_PLACE * max(width, line.width):
            places.join(one, two)
        for (a, one, width), (b, two, other) in pairwise(spots):
            if b - a <= ONE_PLACE * max(width, other):
                places.join(one, two)


class _Cut:
    """The lines cut into edges."""

    def __init__(self) -> None:
        self.points: dict[int, F64] = {}
        self.width: dict[int, float] = {}
        self.nodes: dict[int, list[int]] = {}
        self.line_of: dict[int, int] = {}
        self.through: dict[int, list[tuple[Side, Side]]] = defaultdict(list)
        self.fresh = 0

    def line(self, number: int, line: Line, places: _Places) -> None:
        """Cut one line at its places; ends without one get a node of their own."""
        stops: list[tuple[float, int]] = []
        for at, place, _ in places.on_line.get(number, ()):
            node = places.find(place)
            if stops and stops[-1][1] == node and at - stops[-1][0] < 4 * line.width:
                continue
            stops.append((at, node))
        length = line.length
        if not stops or stops[0][0] > 1e-6:
            if stops and stops[0][0] < 0.02:
                stops[0] = (0.0, stops[0][1])
            else:
                stops.insert(0, (0.0, self._lonely(places)))
        if stops[-1][0] < length - 0.02 or len(stops) == 1:
            stops.append((length, self._lonely(places)))
        made: list[int] = []
        for (a, start), (b, end) in pairwise(stops):
            points = piece_of(line.points, a, b)
            edge = len(self.points)
            self.points[edge], self.width[edge] = points, line.width
            self.nodes[edge], self.line_of[edge] = [start, end], number
            made.append(edge)
        for before, after in pairwise(made):
            self.through[self.nodes[after][0]].append(((before, 1), (after, 0)))
        if line.is_closed and made:
            self._close(made)

    def _close(self, made: list[int]) -> None:
        """Let a closed line run on where it began."""
        first, last = made[0], made[-1]
        start, end = self.nodes[first][0], self.nodes[last][1]
        if start == end:
            self.through[start].append(((last, 1), (first, 0)))
            return
        if first == last:
            self.nodes[first] = [start, start]
            return
        self.points[first] = np.vstack([self.points[last], self.points[first][1:]])
        self.nodes[first][0] = self.nodes[last][0]
        for pairs in self.through.values():
            pairs[:] = [(a, (first, 0)) if b == (last, 0) else (a, b) for a, b in pairs]
        del self.points[last], self.width[last], self.nodes[last], self.line_of[last]

    def _lonely(self, places: _Places) -> int:
        places.parent.append(len(places.parent))
        return len(places.parent) - 1


def piece_of(points: F64, start: float, end: float) -> F64:
    """Return the part of a polyline, float64 (P, 2), between two places along it."""
    steps = np.diff(points, axis=0)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])
    inner = points[(along > start + 1e-6) & (along < end - 1e-6)]
    ends = [
        [np.interp(place, along, points[:, 0]), np.interp(place, along, points[:, 1])]
        for place in (start, end)
    ]
    return np.vstack([ends[:1], inner, ends[1:]])


def _welded(cut: _Cut, kept: set[int]) -> _Cut:
    """Make one edge of two where just their ends meet and no dot lies there."""
    at: dict[int, list[Side]] = defaultdict(list)
    for edge, nodes in cut.nodes.items():
        for end in (0, 1):
            at[nodes[end]].append((edge, end))
    for node in sorted(at):
        sides = at[node]
        if len(sides) != 2 or node in kept or sides[0][0] == sides[1][0]:
            continue
        (a, a_end), (b, b_end) = sorted(sides)
        first = cut.points[a] if a_end == 1 else cut.points[a][::-1]
        second = cut.points[b] if b_end == 0 else cut.points[b][::-1]
        cut.points[a] = np.vstack([first, second[1:] if _same(first[-1], second[0]) else second])
        start, stop = cut.nodes[a][1 - a_end], cut.nodes[b][1 - b_end]
        weight_a, weight_b = _length(first), _length(second)
        total = max(weight_a + weight_b, 1e-9)
        cut.width[a] = (cut.width[a] * weight_a + cut.width[b] * weight_b) / total
        if weight_b > weight_a:
            cut.line_of[a] = cut.line_of[b]
        cut.nodes[a] = [start, stop]
        moved = {(a, 1 - a_end): (a, 0), (b, 1 - b_end): (a, 1)}
        for place in {start, stop}:
            at[place] = [moved.get(side, side) for side in at[place]]
            cut.through[place] = [
                (moved.get(p, p), moved.get(q, q)) for p, q in cut.through.get(place, [])
            ]
        at[node] = []
        cut.through.pop(node, None)
        del cut.points[b], cut.width[b], cut.nodes[b], cut.line_of[b]
    return cut


def _same(a: F64, b: F64) -> bool:
    return bool(np.hypot(*(a - b)) < 0.05)


def _length(points: F64) -> float:
    steps = np.diff(points, axis=0)
    return float(np.hypot(steps[:, 0], steps[:, 1]).sum())


def with_exact_arms(graph: LineGraph) -> LineGraph:
    """Return the graph with each arm pointing as its line starts: nothing is rough here."""
    nodes = {
        number: Node(
            tuple(_exact_arm(graph.edges[arm.edge], arm) for arm in node.arms),
            node.box,
            node.blob_area,
        )
        for number, node in graph.nodes.items()
    }
    return LineGraph(graph.edges, nodes, graph.stroke_px)


def _exact_arm(edge: Edge, arm: Arm) -> Arm:
    points = edge.points if arm.end == 0 else edge.points[::-1]
    far = np.hypot(*(points - points[0]).T)
    first = int(np.argmax(far >= min(LEAST_STEP_PX, float(far.max()))))
    dx, dy = (points[first] - points[0]).tolist()
    size = math.hypot(dx, dy) or 1.0
    return replace(arm, dx=dx / size, dy=dy / size)


def _finished(
    cut: _Cut, stroke_px: float
) -> tuple[LineGraph, dict[int, tuple[tuple[Side, Side], ...]]]:
    edges = {
        e: Edge(cut.points[e], cut.width[e], (cut.nodes[e][0], cut.nodes[e][1]))
        for e in sorted(cut.points)
    }
    arms: dict[int, list[Arm]] = defaultdict(list)
    for number, edge in edges.items():
        for end in (0, 1):
            arms[edge.nodes[end]].append(arm_of(edge, number, end))
    nodes = {n: Node(tuple(arms[n]), None, 0.0) for n in sorted(arms)}
    through = {n: tuple(pairs) for n, pairs in cut.through.items() if pairs and n in nodes}
    return LineGraph(edges, nodes, stroke_px), through
