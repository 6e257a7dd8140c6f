"""Resistors drawn as a zigzag in the pen of the lines: the one symbol that hides inside an edge.

No conductor turns sharply to and fro in steps of a few mm; where an edge does so, the teeth are cut
out and the conductors end on both sides of them.
"""

from __future__ import annotations

from collections import defaultdict

import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.curls import find_bows, find_lever
from loomfolio.reading.graph import Arm, Edge, LineGraph, Node, arm_of
from loomfolio.reading.settings import ReaderSettings

F64 = NDArray[np.float64]

TEETH_LEAST = 3
"""Sharp turns to and fro in a row that make a zigzag: a double bend of a conductor has two."""
TURN_LEAST_DEG = 38.0
STEP_SLACK_DEG = 14.0
"""A flight of steps turns by 90 degrees within this; at least two turns of a zigzag do not."""


def cut_zigzags(graph: LineGraph, settings: ReaderSettings) -> LineGraph:
    """Return the graph without zigzags, bows and levers; the edges on both sides end there."""
    fresh_edge = max(graph.edges, default=0) + 1
    fresh_node = max(graph.nodes, default=0) + 1
    edges: dict[int, Edge] = {}
    open_edges = list(reversed(graph.edges.items()))
    while open_edges:
        number, edge = open_edges.pop()
        span = _symbol_in(edge.points, settings)
        if span is None:
            edges[number] = edge
            continue
        head, tail = edge.points[: span[0] + 1], edge.points[span[1] :]
        if len(head) >= 2:
            edges[number] = Edge(head, edge.width, (edge.nodes[0], fresh_node))
        if len(tail) >= 2:
            # One line may hold several symbols one after the other.
            open_edges.append((fresh_edge, Edge(tail, edge.width, (fresh_node + 1, edge.nodes[1]))))
        fresh_edge, fresh_node = fresh_edge + 1, fresh_node + 2
    return _rebuilt(graph, edges)


def _symbol_in(points: F64, settings: ReaderSettings) -> tuple[int, int] | None:
    """The first and last point of the first symbol found in a polyline."""
    if len(points) < 4:
        return None
    spans = (f(points, settings) for f in (find_bows, find_zigzag, find_lever))
    return min((s for s in spans if s is not None), default=None)


def find_zigzag(points: F64, settings: ReaderSettings) -> tuple[int, int] | None:
    """Return the first and last point of a zigzag in a polyline, float64 (P, 2), or None.

    The first and the last tooth are half ones, so the zigzag begins one point before the first
    sharp turn of a run of turns to and fro with short steps between.
    """
    steps = np.diff(points, axis=0)
    if len(steps) < TEETH_LEAST + 1:
        return None
    length = np.hypot(steps[:, 0], steps[:, 1])
    a, b = steps[:-1], steps[1:]
    turn = np.degrees(np.arctan2(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], (a * b).sum(axis=1)))
    sharp = np.abs(turn) >= TURN_LEAST_DEG
    short = length <= settings.px(5.0)
    best: tuple[int, int] | None = None
    start = 0
    for k in range(len(turn)):
        fits = sharp[k] and (k == start or (short[k] and turn[k] * turn[k - 1] < 0))
        if not fits:
            start = k if sharp[k] else k + 1
            continue
        doubled = int((np.abs(np.abs(turn[start : k + 1]) - 90.0) > STEP_SLACK_DEG).sum())
        if (
            k - start + 1 >= TEETH_LEAST
            and doubled >= 2
            and (best is None or k - start > best[1] - best[0] - 2)
        ):
            best = (start + 1, k + 1)
    return best


def _rebuilt(graph: LineGraph, edges: dict[int, Edge]) -> LineGraph:
    arms: dict[int, list[Arm]] = defaultdict(list)
    for number, edge in edges.items():
        for end in (0, 1):
            arms[edge.nodes[end]].append(arm_of(edge, number, end))
    nodes = {}
    for node in sorted(arms):
        old = graph.nodes.get(node)
        nodes[node] = Node(
            tuple(arms[node]), old.box if old else None, old.blob_area if old else 0.0
        )
    return LineGraph(edges, nodes, graph.stroke_px)
