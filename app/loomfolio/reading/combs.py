"""Coils drawn as a row of bows whose cusps run together: a line with short stubs on one side.

Where two bows meet, the ink between them fills up and looks like a stub that leads nowhere. Two or
more such stubs in a row, on one side and a few mm apart, are the cusps of a coil: no conductor has
them. The line is cut from the first to the last.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import numpy as np

from loomfolio.reading.graph import Arm, Edge, LineGraph, Node, arm_of
from loomfolio.reading.settings import ReaderSettings

BULGE_LEAST = 0.15


def cut_combs(graph: LineGraph, settings: ReaderSettings) -> LineGraph:
    """Return the graph without the pieces of line between stubs in a row, and without the stubs."""
    cusps = {
        n: k for n, node in graph.nodes.items() if (k := _cusp(graph, node, settings)) is not None
    }
    between = {n for n, e in graph.edges.items() if _is_between(graph, e, cusps, settings)}
    tied = Counter(n for number in between for n in graph.edges[number].nodes)
    gone: set[int] = set()
    split: set[int] = set()
    for number in between:
        edge = graph.edges[number]
        # Two stubs alone may be letters on a line: then the line between them must be a bow.
        if max(tied[n] for n in edge.nodes) > 1 or _bulge(edge) >= BULGE_LEAST:
            gone |= {number, *(graph.nodes[n].arms[cusps[n]].edge for n in edge.nodes)}
            split |= set(edge.nodes)
    return without_edges(graph, gone, split) if gone else graph


def _is_between(
    graph: LineGraph, edge: Edge, cusps: dict[int, int], settings: ReaderSettings
) -> bool:
    """Tell whether an edge leads from cusp to cusp, with their stubs alike and side by side."""
    a, b = edge.nodes
    if a == b or a not in cusps or b not in cusps:
        return False
    if edge.length > settings.px(settings.cusp_apart_mm):
        return False
    one, two = graph.nodes[a].arms[cusps[a]], graph.nodes[b].arms[cusps[b]]
    alike = max(one.length, two.length) <= 2.0 * min(one.length, two.length) + one.width
    return alike and one.dx * two.dx + one.dy * two.dy > 0.8


def _bulge(edge: Edge) -> float:
    """How far an edge leaves the straight way between its ends, as a share of that way."""
    chord = edge.points[-1] - edge.points[0]
    size = max(float(np.hypot(*chord)), 1e-9)
    rel = edge.points - edge.points[0]
    return float(np.abs(rel[:, 0] * chord[1] - rel[:, 1] * chord[0]).max()) / size / size


def _cusp(graph: LineGraph, node: Node, settings: ReaderSettings) -> int | None:
    """The arm of a T that is a short stub with a free end; None where there is none or several."""
    if len(node.arms) != 3:
        return None
    most = settings.px(settings.cusp_max_mm)
    stubs = [
        k
        for k, arm in enumerate(node.arms)
        if arm.length <= most
        and len(graph.nodes[graph.edges[arm.edge].nodes[1 - arm.end]].arms) == 1
    ]
    return stubs[0] if len(stubs) == 1 else None


def without_edges(graph: LineGraph, gone: set[int], split: set[int]) -> LineGraph:
    """Return the graph without some edges; the nodes of `split` hold no blob of ink any more."""
    edges: dict[int, Edge] = {n: e for n, e in graph.edges.items() if n not in gone}
    nodes: dict[int, Node] = {}
    for number, arms in _arms(edges):
        old = graph.nodes[number]
        box, area = (None, 0.0) if number in split else (old.box, old.blob_area)
        nodes[number] = Node(arms, box, area)
    return LineGraph(edges, nodes, graph.stroke_px)


def _arms(edges: dict[int, Edge]) -> Iterator[tuple[int, tuple[Arm, ...]]]:
    """The arms at each node, in order of the nodes."""
    at: dict[int, list[Arm]] = {}
    for number, edge in edges.items():
        for end in (0, 1):
            at.setdefault(edge.nodes[end], []).append(arm_of(edge, number, end))
    for node in sorted(at):
        yield node, tuple(at[node])
