"""Why a net was misread: the place where reading and truth part, and the convention drawn there.

A net that was split parts where its true line has no conductor, or where the conductor along it
changes. A net that was joined to a stranger parts where the way over the conductor to that stranger
leaves the net's own lines. Each place is named after the nearest convention.
"""

from __future__ import annotations

import itertools
import math

import networkx as nx
import numpy as np
from numpy.typing import NDArray

from accuracy.paint import MM_PER_INCH
from accuracy.read_lines import ReadLines, distances
from accuracy.scans import Scan
from accuracy.score import WrongNet
from loomfolio.reading import Reading

_STEP_MM = 0.4
_ON_LINE_MM = 0.7  # a conductor this near to a true line runs along it
_NEAR_MM = 3.0  # how far the convention may lie from the place

Points = NDArray[np.float64]


def cause_of(scan: Scan, reading: Reading, wrong: WrongNet) -> str:
    """Return the conventions that lie where the net went wrong, most telling first."""
    scale = scan.dpi / MM_PER_INCH
    read = ReadLines(reading)
    find = _where_joined if wrong.strangers else _where_split
    places = find(scan, read, wrong, scale)
    names = [_feature_at(scan, place, scale) for place in places[:3]]
    return " / ".join(dict.fromkeys(names)) or "no place found"


def _sampled(segments: Points, step: float) -> list[Points]:
    """Points along each segment, (N, 2) each."""
    out = []
    for x0, y0, x1, y1 in segments:
        count = max(2, int(np.hypot(x1 - x0, y1 - y0) / step) + 1)
        share = np.linspace(0, 1, count)[:, None]
        out.append(np.array([x0, y0]) + share * np.array([x1 - x0, y1 - y0]))
    return out


def _where_split(scan: Scan, read: ReadLines, wrong: WrongNet, scale: float) -> list[Points]:
    """Where the true lines have no conductor, or pass from one to the next."""
    segments, owners = read.segments, read.owners
    if not len(segments):
        return []
    places = []
    for line in _sampled(scan.truth.net_lines[wrong.net], _STEP_MM * scale):
        far = distances(line, segments)
        best = far.argmin(axis=1)
        on = np.where(far[np.arange(len(line)), best] < _ON_LINE_MM * scale, owners[best], -1)
        bare = on < 0
        if bare.any():
            places.append(line[bare][int(bare.sum()) // 2])
        changes = np.flatnonzero((on[1:] != on[:-1]) & ~bare[1:] & ~bare[:-1])
        places += [line[k] for k in changes]
    return places


def _where_joined(scan: Scan, read: ReadLines, wrong: WrongNet, scale: float) -> list[Points]:
    """Where the way over the conductor from the net to a stranger leaves the net's own lines."""
    mine = scan.truth.net_lines[wrong.net]
    net_of = {t: n for n, members in enumerate(scan.truth.nets) for t in members}
    places = []
    for stranger in {net_of[t]: t for t in wrong.strangers}.values():
        ends = scan.truth.terminals[[scan.truth.nets[wrong.net][0], stranger]]
        way = next(filter(None, (_way(read, c, ends) for c in wrong.conductors)), None)
        if way is None:
            continue
        corners = np.array(way)
        steps = np.vstack(_sampled(np.hstack([corners[:-1], corners[1:]]), _STEP_MM * scale))
        on_mine = distances(steps, mine).min(axis=1) < _ON_LINE_MM * scale
        places.append(steps[int(np.flatnonzero(on_mine).max(initial=0))])
    return places


def _way(read: ReadLines, conductor: int, ends: Points) -> list[tuple[float, float]] | None:
    """The shortest way over the lines of a conductor between the points nearest to two ends."""
    graph = nx.Graph()
    for line in read.lines_of[conductor]:
        corners = [(round(float(x), 2), round(float(y), 2)) for x, y in line]
        for a, b in itertools.pairwise(corners):
            graph.add_edge(a, b, weight=math.dist(a, b))
    nodes = np.array(graph.nodes)
    start, goal = (tuple(nodes[np.hypot(*(nodes - end).T).argmin()].tolist()) for end in ends)
    if not nx.has_path(graph, start, goal):
        return None
    way = nx.shortest_path(graph, start, goal, weight="weight")
    return way if len(way) > 1 else None


def _feature_at(scan: Scan, place: Points, scale: float) -> str:
    if not scan.features:
        return "plain line"
    far = [float(np.hypot(x - place[0], y - place[1])) for _, (x, y) in scan.features]
    best = int(np.argmin(far))
    return scan.features[best][0] if far[best] < _NEAR_MM * scale else "plain line"
