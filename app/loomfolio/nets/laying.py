"""Lay the drawn lines of one sheet into a wiring: what was read, what the person drew, cut at the bodies.

1. Each conductor of the reading is split at the vertices that its lines share; these become nodes.
2. Each line of the person becomes an edge of its own.
3. Both are cut where they cross the outline of a body: inside a body nothing conducts.
4. An end of a drawn line that lies on another line is tied to it. Where two separate lines are about
   as near to the end, it is tied to neither and reported.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import pairwise

from loomfolio.basics import MmPoint, PxPoint, Resolution
from loomfolio.nets.geometry import Line, length_mm, outside_parts
from loomfolio.nets.wiring import Edge, Ink, Near, Wiring
from loomfolio.project import BodyMark, LineMark
from loomfolio.reading import Conductor, Reading

VERTEX_STEPS_PER_PX = 100
"""Vertices of one conductor are the same where they agree to 1/100 px (the contract of a reading)."""

TIE_REACH_MM = 0.7
"""The end of a drawn line joins a line up to this far away; farther, it ends in the open. About two
stroke widths of a printed line, half the closest bundle pitch of 1.5 mm (common practice, no source)."""

TIE_MARGIN_MM = 0.3
"""A second, separate line less than this much farther away makes the tie doubtful (same origin)."""


def lay_lines(
    reading: Reading,
    resolution: Resolution,
    drawn: Sequence[LineMark],
    bodies: Sequence[BodyMark],
) -> tuple[Wiring, tuple[MmPoint, ...]]:
    """Return the wiring of a sheet before any answer, and the drawn ends that lie between two lines."""
    wiring = Wiring()
    for conductor in reading.conductors:
        _lay_conductor(wiring, conductor, resolution)
    for line in sorted(drawn, key=lambda mark: mark.id):
        a, b = wiring.add_node(line.points[0]), wiring.add_node(line.points[-1])
        if length_mm(line.points) > 0.0:
            wiring.add_edge(a, b, line.points, Ink("drawn"))
    wiring.index()
    for body in sorted(bodies, key=lambda mark: mark.id):
        _cut_at_body(wiring, body)
    return wiring, tuple(_tie_drawn_ends(wiring, drawn))


def _lay_conductor(wiring: Wiring, conductor: Conductor, resolution: Resolution) -> None:
    """Add one conductor; lines that share a vertex share a node, lines that merely cross do not."""

    def grid(vertex: PxPoint) -> tuple[int, int]:
        return round(vertex.x * VERTEX_STEPS_PER_PX), round(vertex.y * VERTEX_STEPS_PER_PX)

    uses = Counter(vertex for line in conductor.lines for vertex in {grid(v) for v in line})
    ink = Ink(
        "read",
        stroke_mm=resolution.to_mm(conductor.stroke_px, 0.0).x,
        colour=conductor.colour,
        is_dashed=conductor.dashed,
    )
    nodes: dict[tuple[int, int], int] = {}

    def node_at(vertex: PxPoint) -> int:
        if grid(vertex) not in nodes:
            nodes[grid(vertex)] = wiring.add_node(resolution.to_mm(*vertex))
        return nodes[grid(vertex)]

    for line in conductor.lines:
        stops = [0, *(i for i in range(1, len(line) - 1) if uses[grid(line[i])] > 1), len(line) - 1]
        for first, last in pairwise(stops):
            part: Line = tuple(resolution.to_mm(*vertex) for vertex in line[first : last + 1])
            if length_mm(part) > 0.0:
                wiring.add_edge(node_at(line[first]), node_at(line[last]), part, ink)


def _cut_at_body(wiring: Wiring, body: BodyMark) -> None:
    for edge in wiring.touching(body.box):
        parts = outside_parts(edge.line, body.box)
        if parts != [edge.line]:
            wiring.replace(edge, [_ends_of(wiring, edge, part) for part in parts])


def _ends_of(wiring: Wiring, edge: Edge, part: Line) -> tuple[int, int, Line]:
    """Keep the edge's own node where the part still reaches it; a cut end gets a node of its own."""
    a = edge.a if part[0] == edge.line[0] else wiring.add_node(part[0])
    b = edge.b if part[-1] == edge.line[-1] else wiring.add_node(part[-1])
    return a, b, part


def _tie_drawn_ends(wiring: Wiring, drawn: Sequence[LineMark]) -> Iterable[MmPoint]:
    """Tie each end of each drawn line to the line it lies on; yield the ends that stay between two."""
    for mark in sorted(drawn, key=lambda mark: mark.id):
        for end in (mark.points[0], mark.points[-1]):
            own = _own_end(wiring, end)
            if own is None:  # the end lies inside a body: it was cut off there
                continue
            near = [n for n in wiring.near(end, TIE_REACH_MM) if n.edge.number != own[0].number]
            near = [n for n in near if own[1] not in (n.edge.a, n.edge.b)]
            passing = [n for n in near if not _ends_there(wiring, n.edge, end)]
            near = passing or near[:1]
            if not near:
                continue
            if are_rivals(near, TIE_MARGIN_MM):
                yield end
                continue
            node = wiring.split(near[0].edge, near[0].foot)
            tie(wiring, own[1], node)


def _ends_there(wiring: Wiring, edge: Edge, at: MmPoint) -> bool:
    """Does another drawn line end at this place? It meets whatever runs here; it is no rival to it."""
    return edge.ink.source == "drawn" and any(
        wiring.degree(node) == 1 and wiring.points[node].distance_mm(at) <= TIE_REACH_MM
        for node in (edge.a, edge.b)
    )


def tie(wiring: Wiring, a: int, b: int) -> None:
    """Join two nodes by a short line that counts as drawn by the person."""
    wiring.add_edge(a, b, (wiring.points[a], wiring.points[b]), Ink("drawn"))


def _own_end(wiring: Wiring, end: MmPoint) -> tuple[Edge, int] | None:
    """The drawn edge that ends exactly at `end`, with its node there; the first, where several do."""
    for near in wiring.near(end, 1e-9):
        if near.edge.ink.source == "drawn":
            for node in (near.edge.a, near.edge.b):
                if wiring.points[node] == end and wiring.degree(node) == 1:
                    return near.edge, node
    return None


def are_rivals(near: Sequence[Near], margin_mm: float) -> bool:
    """Are there separate lines about as near as the nearest? Lines that share a node there are one."""
    limit = near[0].foot.distance_mm + margin_mm
    close = [n.edge for n in near if n.foot.distance_mm < limit]
    met = {close[0].a, close[0].b}
    rest = close[1:]
    while joined := [edge for edge in rest if edge.a in met or edge.b in met]:
        met.update(node for edge in joined for node in (edge.a, edge.b))
        rest = [edge for edge in rest if edge not in joined]
    return bool(rest)
