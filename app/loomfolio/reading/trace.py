"""Put edges, joins and bridges together into conductors with lines that say how they are joined.

Each group of joined arms gets one vertex that all its lines share; groups that are apart at the
same place get vertices that differ, as the connectivity rule of `records` asks.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.bodies import Body
from loomfolio.reading.gaps import EndKey, FreeEnds
from loomfolio.reading.graph import LineGraph
from loomfolio.reading.junctions import Decision, group_centre

F64 = NDArray[np.float64]
Spot = tuple[float, float]


@dataclass(frozen=True)
class Traced:
    """One conductor in working px: polylines float64 (P, 2), its edges, how many loose ends."""

    lines: tuple[F64, ...]
    edges: tuple[int, ...]
    width: float
    length: float
    ends: int
    at_bodies: int


class _Spots:
    """Vertices to 1/100 px of the given page, no two groups on the same."""

    def __init__(self, scale: float) -> None:
        self.step = 0.05 * scale
        self.taken: set[Spot] = set()
        self.scale = scale

    def place(self, x: float, y: float) -> Spot:
        while self._key(x, y) in self.taken:
            x, y = x + self.step, y + self.step
        self.taken.add(self._key(x, y))
        return x, y

    def _key(self, x: float, y: float) -> Spot:
        return round(x / self.scale, 1), round(y / self.scale, 1)


def trace_conductors(
    graph: LineGraph,
    decisions: dict[int, Decision],
    free: FreeEnds,
    bodies: Sequence[Body],
    scale: float,
) -> list[Traced]:
    """Trace the conductors of a page, in the order of their first edge."""
    vertex, ends = _vertices(graph, decisions, free, bodies, _Spots(scale))
    lines: dict[int, list[F64]] = {e: [] for e in graph.edges}
    parent = {e: e for e in graph.edges}

    def find(e: int) -> int:
        while parent[e] != e:
            parent[e] = parent[parent[e]]
            e = parent[e]
        return e

    for edge_number, edge in graph.edges.items():
        lines[edge_number].append(_ended(edge.points, vertex, edge_number))
    for number, node in graph.nodes.items():
        for group in decisions[number].groups:
            for k in group[1:]:
                a, b = find(node.arms[group[0]].edge), find(node.arms[k].edge)
                parent[max(a, b)] = min(a, b)
    for bridge in free.bridges:
        a, b = find(bridge.a[0]), find(bridge.b[0])
        parent[max(a, b)] = min(a, b)
        lines[bridge.a[0]].append(np.array([vertex[bridge.a], vertex[bridge.b]]))
    for first, *others in _through_terminals(free, bodies).values():
        for other in others:
            a, b = find(first[0]), find(other[0])
            parent[max(a, b)] = min(a, b)
    return _gathered(graph, lines, ends, set(free.at_body), find)


def _gathered(
    graph: LineGraph,
    lines: dict[int, list[F64]],
    ends: set[EndKey],
    at_body: set[EndKey],
    find: Callable[[int], int],
) -> list[Traced]:
    """One record for each set of joined edges."""
    members: dict[int, list[int]] = defaultdict(list)
    for e in graph.edges:
        members[find(e)].append(e)
    traced: list[Traced] = []
    for root in sorted(members):
        edges = members[root]
        length = sum(graph.edges[e].length for e in edges)
        width = sum(graph.edges[e].width * graph.edges[e].length for e in edges) / max(length, 1e-9)
        parts = tuple(line for e in edges for line in lines[e])
        loose = sum(1 for e in edges for k in (0, 1) if (e, k) in ends)
        held = sum(1 for e in edges for k in (0, 1) if (e, k) in at_body)
        traced.append(Traced(parts, tuple(edges), width, length, loose, held))
    return traced


def _through_terminals(free: FreeEnds, bodies: Sequence[Body]) -> dict[int, list[EndKey]]:
    """The ends at each terminal ring that has any."""
    at: dict[int, list[EndKey]] = defaultdict(list)
    for key in sorted(free.at_body):
        if bodies[free.at_body[key]].terminal:
            at[free.at_body[key]].append(key)
    return at


def _vertices(
    graph: LineGraph,
    decisions: dict[int, Decision],
    free: FreeEnds,
    bodies: Sequence[Body],
    spots: _Spots,
) -> tuple[dict[EndKey, Spot], set[EndKey]]:
    """The vertex of every edge end, and which ends are loose."""
    vertex: dict[EndKey, Spot] = {}
    loose: set[EndKey] = set()
    bridged = {key for bridge in free.bridges for key in (bridge.a, bridge.b)}
    terminal_spot: dict[int, Spot] = {}
    for number, node in graph.nodes.items():
        for group in decisions[number].groups:
            if len(group) > 1:
                spot = spots.place(*group_centre(node, group))
                for k in group:
                    vertex[(node.arms[k].edge, node.arms[k].end)] = spot
                continue
            arm = node.arms[group[0]]
            key = (arm.edge, arm.end)
            body = free.at_body.get(key)
            if body is None:
                vertex[key] = spots.place(arm.x, arm.y)
            elif bodies[body].terminal:
                if body not in terminal_spot:
                    terminal_spot[body] = spots.place(*bodies[body].centre)
                vertex[key] = terminal_spot[body]
            else:
                vertex[key] = spots.place(*bodies[body].edge_point(arm.x, arm.y, arm.dx, arm.dy))
            if key not in bridged:
                loose.add(key)
    return vertex, loose


def _ended(points: F64, vertex: dict[EndKey, Spot], edge: int) -> F64:
    """The polyline with its ends on their vertices."""
    inner = points.copy()
    for end, k in ((0, 0), (1, -1)):
        spot = vertex[(edge, end)]
        other = inner[1] if end == 0 else inner[-2]
        shift = math.hypot(spot[0] - inner[k][0], spot[1] - inner[k][1])
        span = math.hypot(other[0] - inner[k][0], other[1] - inner[k][1])
        if len(inner) > 2 and shift > span:
            inner = np.vstack([[spot], inner]) if end == 0 else np.vstack([inner, [spot]])
        else:
            inner[k] = spot
    return inner
