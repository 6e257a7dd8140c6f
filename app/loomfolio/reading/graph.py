"""From strokes to a graph: nodes where stroke ends meet, edges that are whole pieces of line.

1. Stroke ends that touch the same blob, or each other, make a node.
2. Strokes shorter than they are wide are part of the node they lie in.
3. Stubs of about a line width that lead nowhere are roughness of the ink.
4. Where just two edges meet and no big blob lies between, they are one edge with a corner.

What falls through: a closed ring without a junction stays one edge whose two ends are the same
node.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.bodies import Body
from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.strokes import Stroke, Strokes

F64 = NDArray[np.float64]


@dataclass(frozen=True)
class Edge:
    """A piece of line; `points` float64 (P, 2) working px, from node `nodes[0]` to `nodes[1]`."""

    points: F64
    width: float
    nodes: tuple[int, int]

    @property
    def length(self) -> float:
        """Length along the polyline in working px."""
        steps = np.diff(self.points, axis=0)
        return float(np.hypot(steps[:, 0], steps[:, 1]).sum())


@dataclass(frozen=True)
class Arm:
    """An edge as seen from one of its nodes: where it starts, and its direction away from there."""

    edge: int
    end: int
    x: float
    y: float
    dx: float
    dy: float
    width: float
    length: float


@dataclass(frozen=True)
class Node:
    """A place where edges meet, or the end of one; `box` bounds its blobs, if it has any."""

    arms: tuple[Arm, ...]
    box: tuple[float, float, float, float] | None
    blob_area: float

    @property
    def centre(self) -> tuple[float, float]:
        """Where the arms' lines meet as nearly as they do; of a single arm, its end."""
        return meeting_point(self.arms)


@dataclass(frozen=True)
class LineGraph:
    """Edges and nodes by number; some numbers are not used."""

    edges: dict[int, Edge]
    nodes: dict[int, Node]
    stroke_px: float


@dataclass
class _Draft:
    """The graph while it is being cleaned."""

    points: dict[int, F64] = field(default_factory=dict)
    width: dict[int, float] = field(default_factory=dict)
    node_of: dict[tuple[int, int], int] = field(default_factory=dict)
    ends_at: dict[int, set[tuple[int, int]]] = field(default_factory=lambda: defaultdict(set))
    blobs_at: dict[int, set[int]] = field(default_factory=lambda: defaultdict(set))

    def length(self, edge: int) -> float:
        steps = np.diff(self.points[edge], axis=0)
        return float(np.hypot(steps[:, 0], steps[:, 1]).sum())

    def remove(self, edge: int) -> None:
        for end in (0, 1):
            self.ends_at[self.node_of.pop((edge, end))].discard((edge, end))
        del self.points[edge], self.width[edge]

    def merge(self, kept: int, gone: int) -> None:
        """Make two nodes one."""
        if kept == gone:
            return
        for place in self.ends_at.pop(gone, set()):
            self.node_of[place] = kept
            self.ends_at[kept].add(place)
        self.blobs_at[kept] |= self.blobs_at.pop(gone, set())


def build_graph(
    strokes: Strokes, bodies: Sequence[Body], stroke_px: float, settings: ReaderSettings
) -> LineGraph:
    """Build the cleaned graph of a page's strokes; no strokes make an empty graph.

    A short stub that ends at one of the bodies is a pin's line, not roughness.
    """
    draft = _draft_of(strokes)
    _contract_short(draft)
    _drop_spurs(draft, strokes.blob_boxes, bodies, settings)
    _weld(draft, strokes.blob_boxes, stroke_px)
    _drop_spurs(draft, strokes.blob_boxes, bodies, settings)
    _weld(draft, strokes.blob_boxes, stroke_px)
    return _finished(draft, strokes.blob_boxes, stroke_px)


class _Union:
    """Disjoint sets over 0..n-1; the smallest member names the set."""

    def __init__(self, count: int) -> None:
        self.parent = list(range(count))

    def find(self, item: int) -> int:
        while self.parent[item] != item:
            self.parent[item] = self.parent[self.parent[item]]
            item = self.parent[item]
        return item

    def join(self, a: int, b: int) -> None:
        a, b = self.find(a), self.find(b)
        if a != b:
            self.parent[max(a, b)] = min(a, b)


def _draft_of(strokes: Strokes) -> _Draft:
    """Nodes from contacts: items 2k, 2k+1 are the ends of stroke k, then come the blobs."""
    pieces, splits = _split_at_side_contacts(strokes.strokes)
    count = len(strokes.strokes)
    union = _Union(2 * len(pieces) + len(strokes.blob_boxes))
    for k, piece in enumerate(pieces):
        for end in (0, 1):
            for owner in piece.beyond[end]:
                if owner > count:
                    union.join(2 * k + end, 2 * len(pieces) + owner - count - 1)
                else:
                    tip = piece.points[0 if end == 0 else -1]
                    union.join(2 * k + end, _nearest_end(pieces, splits[owner - 1], tip))
    draft = _Draft()
    for k, piece in enumerate(pieces):
        draft.points[k], draft.width[k] = piece.points, piece.width
        for end in (0, 1):
            node = union.find(2 * k + end)
            draft.node_of[(k, end)] = node
            draft.ends_at[node].add((k, end))
    for blob in range(len(strokes.blob_boxes)):
        node = union.find(2 * len(pieces) + blob)
        if node in draft.ends_at:
            draft.blobs_at[node].add(blob)
    return draft


def _nearest_end(pieces: list[Stroke], candidates: list[int], tip: F64) -> int:
    """The item of the nearest stroke end among the pieces of a stroke."""
    ends = [(2 * k + e, pieces[k].points[0 if e == 0 else -1]) for k in candidates for e in (0, 1)]
    return min(ends, key=lambda item: (float(np.hypot(*(item[1] - tip))), item[0]))[0]


def _split_at_side_contacts(
    strokes: tuple[Stroke, ...],
) -> tuple[list[Stroke], list[list[int]]]:
    """Cut a stroke where the end of another touches its side; lists the pieces of each stroke."""
    cuts: dict[int, list[tuple[float, float]]] = defaultdict(list)
    for stroke in strokes:
        for end in (0, 1):
            tip = stroke.points[0 if end == 0 else -1]
            for owner in stroke.beyond[end]:
                if owner > len(strokes):
                    continue
                other = strokes[owner - 1]
                reach = 1.5 * (stroke.width + other.width) + 2
                nearest = min(float(np.hypot(*(p - tip))) for p in other.points[[0, -1]])
                if nearest > reach:
                    cuts[owner - 1].append((float(tip[0]), float(tip[1])))
    pieces: list[Stroke] = list(strokes)
    parts: list[list[int]] = [[k] for k in range(len(strokes))]
    for k in sorted(cuts):
        cut = _cut_polyline(strokes[k].points, cuts[k])
        middle = [Stroke(p, strokes[k].width, ((), ())) for p in cut]
        first, last = strokes[k].beyond
        middle[0] = Stroke(middle[0].points, middle[0].width, (first, ()))
        middle[-1] = Stroke(middle[-1].points, middle[-1].width, (middle[-1].beyond[0], last))
        pieces[k] = middle[0]
        for extra in middle[1:]:
            parts[k].append(len(pieces))
            pieces.append(extra)
    return _tied(pieces, parts, len(strokes))


def _tied(
    pieces: list[Stroke], parts: list[list[int]], count: int
) -> tuple[list[Stroke], list[list[int]]]:
    """Let the pieces of a cut stroke name each other as neighbours, so that they stay joined."""
    for k, members in enumerate(parts[:count]):
        if len(members) < 2:
            continue
        for place, member in enumerate(members):
            before, behind = pieces[member].beyond
            if place:
                before = (k + 1,)
            if place + 1 < len(members):
                behind = (k + 1,)
            pieces[member] = Stroke(pieces[member].points, pieces[member].width, (before, behind))
    return pieces, parts


def _cut_polyline(points: F64, tips: list[tuple[float, float]]) -> list[F64]:
    """Cut a polyline at the points nearest to the tips."""
    steps = np.diff(points, axis=0)
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    start = np.concatenate([[0.0], np.cumsum(lengths)])
    places: list[float] = []
    for tip in tips:
        rel = np.asarray(tip) - points[:-1]
        share = np.clip((rel * steps).sum(axis=1) / np.maximum(lengths**2, 1e-9), 0, 1)
        gap = np.hypot(*(rel - share[:, None] * steps).T)
        best = int(np.argmin(gap))
        places.append(float(start[best] + share[best] * lengths[best]))
    pieces: list[F64] = []
    low = 0.0
    for high in [*sorted(set(places)), float(start[-1])]:
        if high - low < 1e-6:
            continue
        inner = points[(start > low + 1e-9) & (start < high - 1e-9)]
        pieces.append(np.vstack([_along(points, start, low), inner, _along(points, start, high)]))
        low = high
    return pieces


def _along(points: F64, start: F64, place: float) -> F64:
    return np.asarray(
        [np.interp(place, start, points[:, 0]), np.interp(place, start, points[:, 1])]
    )


def _contract_short(draft: _Draft) -> None:
    """Strokes no longer than they are wide, between two nodes, belong to the node."""
    for edge in sorted(draft.points, key=lambda e: (draft.length(e), e)):
        a, b = draft.node_of[(edge, 0)], draft.node_of[(edge, 1)]
        if draft.length(edge) > 1.1 * draft.width[edge]:
            continue
        if len(draft.ends_at[a]) < 2 or len(draft.ends_at[b]) < 2:
            continue
        draft.remove(edge)
        draft.merge(min(a, b), max(a, b))


def _drop_spurs(
    draft: _Draft, boxes: NDArray[np.int32], bodies: Sequence[Body], settings: ReaderSettings
) -> None:
    """Drop stubs that lead nowhere and are about as long as the ink beside them is wide."""
    reach = settings.px(settings.body_reach_mm) + settings.px(settings.body_edge_mm)
    for edge in sorted(draft.points, key=lambda e: (draft.length(e), e)):
        for end in (0, 1):
            free, held = draft.node_of[(edge, end)], draft.node_of[(edge, 1 - end)]
            alone = len(draft.ends_at[free]) == 1 and _is_tip(
                draft.blobs_at[free], boxes, draft.width[edge]
            )
            others = [draft.width[e] for e, _ in draft.ends_at[held] if e != edge]
            limit = settings.spur_widths * max(others, default=0.0)
            if not alone or len(others) < 2 or draft.length(edge) >= limit:
                continue
            tip = draft.points[edge][0 if end == 0 else -1]
            if not any(b.distance(float(tip[0]), float(tip[1])) <= reach for b in bodies):
                draft.remove(edge)
                break


def _is_tip(blobs: set[int], boxes: NDArray[np.int32], width: float) -> bool:
    """Tell whether the blobs are no more than the ragged tip of a line."""
    return all(boxes[b, 4] <= width * width for b in blobs)


def _weld(draft: _Draft, boxes: NDArray[np.int32], stroke_px: float) -> None:
    """Make one edge of two where just they meet, unless a blob as wide as a symbol lies there."""
    for node in sorted(draft.ends_at):
        ends = sorted(draft.ends_at[node])
        if len(ends) != 2 or ends[0][0] == ends[1][0]:
            continue
        widest = max(stroke_px, *(draft.width[e] for e, _ in ends))
        if _is_symbol_blob(draft.blobs_at[node], boxes, widest):
            continue
        (a, a_end), (b, b_end) = ends
        first = draft.points[a] if a_end == 1 else draft.points[a][::-1]
        second = draft.points[b] if b_end == 0 else draft.points[b][::-1]
        start, stop = draft.node_of[(a, 1 - a_end)], draft.node_of[(b, 1 - b_end)]
        la, lb = draft.length(a), draft.length(b)
        width = (draft.width[a] * la + draft.width[b] * lb) / max(la + lb, 1e-9)
        draft.remove(a)
        draft.remove(b)
        draft.points[a], draft.width[a] = join_polylines(first, second, widest), width
        for end, place in ((0, start), (1, stop)):
            draft.node_of[(a, end)] = place
            draft.ends_at[place].add((a, end))


def _is_symbol_blob(blobs: set[int], boxes: NDArray[np.int32], width: float) -> bool:
    """Tell whether a blob is wide both ways: a filled symbol rather than a corner or a dot."""
    return any(min(boxes[b, 2], boxes[b, 3]) > 3.2 * width + 1 for b in blobs)


def join_polylines(first: F64, second: F64, reach: float) -> F64:
    """Join the end of one polyline to the start of the other, with the corner where they aim."""
    a0, a1, b0, b1 = first[-2], first[-1], second[0], second[1]
    da, db = a1 - a0, b1 - b0
    cross = float(da[0] * db[1] - da[1] * db[0])
    scale = float(np.hypot(*da) * np.hypot(*db))
    if scale > 0 and abs(cross) > 0.2 * scale:
        t = float(((b0 - a0)[0] * db[1] - (b0 - a0)[1] * db[0]) / cross)
        corner = a0 + t * da
        near = max(float(np.hypot(*(corner - a1))), float(np.hypot(*(corner - b0))))
        if near <= 3.0 * reach + 2:
            return np.vstack([first[:-1], corner, second[1:]])
    if np.hypot(*(b0 - a1)) < 1.0:
        return np.vstack([first[:-1], (a1 + b0) / 2, second[1:]])
    return np.vstack([first, second])


def _finished(draft: _Draft, boxes: NDArray[np.int32], stroke_px: float) -> LineGraph:
    edges = {
        e: Edge(draft.points[e], draft.width[e], (draft.node_of[(e, 0)], draft.node_of[(e, 1)]))
        for e in sorted(draft.points)
    }
    nodes: dict[int, Node] = {}
    for node in sorted(draft.ends_at):
        ends = sorted(draft.ends_at[node])
        if ends:
            blob_boxes = boxes[sorted(draft.blobs_at[node])] if draft.blobs_at[node] else None
            arms = tuple(arm_of(edges[e], e, end) for e, end in ends)
            nodes[node] = _node_of(arms, blob_boxes)
    return LineGraph(edges, nodes, stroke_px)


def _node_of(arms: tuple[Arm, ...], boxes: NDArray[np.int32] | None) -> Node:
    if boxes is None or len(boxes) == 0:
        return Node(arms, None, 0.0)
    x0, y0 = float(boxes[:, 0].min()), float(boxes[:, 1].min())
    x1 = float((boxes[:, 0] + boxes[:, 2]).max())
    y1 = float((boxes[:, 1] + boxes[:, 3]).max())
    return Node(arms, (x0, y0, x1, y1), float(boxes[:, 4].sum()))


def arm_of(edge: Edge, number: int, end: int) -> Arm:
    """Describe an edge as seen from its end: direction over the first few line widths."""
    points = edge.points if end == 0 else edge.points[::-1]
    tip = points[0]
    # A first piece shorter than this is the fillet of the ink beside a junction, not a direction.
    look = 1.3 * edge.width + 0.5
    target = points[1]
    for point in points[1:]:
        target = point
        if np.hypot(*(point - tip)) >= look:
            break
    dx, dy = (float(v) for v in target - tip)
    size = math.hypot(dx, dy) or 1.0
    return Arm(
        number, end, float(tip[0]), float(tip[1]), dx / size, dy / size, edge.width, edge.length
    )


def meeting_point(arms: tuple[Arm, ...]) -> tuple[float, float]:
    """Least-squares point nearest to the lines of all arms, held near their starts."""
    xs = np.array([a.x for a in arms])
    ys = np.array([a.y for a in arms])
    mean = np.array([xs.mean(), ys.mean()])
    if len(arms) == 1:
        return float(mean[0]), float(mean[1])
    matrix, right = np.eye(2) * 1e-3, mean * 1e-3
    for arm in arms:
        normal = np.array([-arm.dy, arm.dx])
        outer = np.outer(normal, normal)
        matrix = matrix + outer
        right = right + outer @ np.array([arm.x, arm.y])
    point = np.linalg.solve(matrix, right)
    reach = 2.0 * max(a.width for a in arms) + float(np.hypot(np.ptp(xs), np.ptp(ys)))
    shift = point - mean
    size = float(np.hypot(*shift))
    if size > reach:
        point = mean + shift * (reach / size)
    return float(point[0]), float(point[1])
