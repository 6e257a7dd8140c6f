"""The drawn lines of one sheet as a graph that marks are worked into: nodes, edges, splits.

A `Wiring` starts from a reading (px turned to mm) and from the lines that the person drew. Two edges
are joined exactly where they share a node. Marks split edges, join nodes or take edges out; nothing
here knows what a mark means. Look-ups go through one shapely STRtree over the edges that the wiring
was built with; edges that came later are found through the edge that they were split from.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import shapely

from loomfolio.basics import MmBox, MmPoint
from loomfolio.nets.geometry import Foot, Line, cut_at, foot_on
from loomfolio.nets.records import ConductorSource


@dataclass(frozen=True, slots=True)
class Ink:
    """How an edge is drawn, and whether the machine or the person drew it."""

    source: ConductorSource
    stroke_mm: float = 0.0
    colour: str | None = None
    is_dashed: bool = False


@dataclass(frozen=True, slots=True)
class Edge:
    """A piece of drawn line between two nodes; `line` runs from node `a` to node `b`."""

    number: int
    a: int
    b: int
    line: Line
    ink: Ink

    def other(self, node: int) -> int:
        """Return the node at the other end; the same one for a ring."""
        return self.b if node == self.a else self.a

    def line_from(self, node: int) -> Line:
        """Return the line as walked from `node`."""
        return self.line if node == self.a else self.line[::-1]


@dataclass(frozen=True, slots=True)
class Near:
    """An edge near a point, with the nearest point on it."""

    edge: Edge
    foot: Foot


class Wiring:
    """A graph of drawn lines under construction. Numbers of nodes and edges are never used twice."""

    def __init__(self) -> None:
        self.points: list[MmPoint] = []
        self.edges: dict[int, Edge] = {}
        self._incident: list[list[int]] = []
        self._edge_count = 0
        self._children: dict[int, tuple[int, ...]] = {}
        self._tree: shapely.STRtree | None = None
        self._tree_edges: list[int] = []
        self._late: list[int] = []

    def add_node(self, at: MmPoint) -> int:
        """Return the number of a new node."""
        self.points.append(at)
        self._incident.append([])
        return len(self.points) - 1

    def add_edge(self, a: int, b: int, line: Line, ink: Ink) -> Edge:
        """Add a line from node `a` to node `b` and return it."""
        edge = Edge(self._edge_count, a, b, line, ink)
        self._edge_count += 1
        self.edges[edge.number] = edge
        self._incident[a].append(edge.number)
        self._incident[b].append(edge.number)
        if self._tree is not None:
            self._late.append(edge.number)
        return edge

    def remove(self, edge: Edge) -> None:
        """Take an edge out; its nodes stay."""
        del self.edges[edge.number]
        self._incident[edge.a].remove(edge.number)
        self._incident[edge.b].remove(edge.number)

    def replace(self, edge: Edge, lines: Iterable[tuple[int, int, Line]]) -> tuple[Edge, ...]:
        """Put `lines` (node, node, line) in the place of `edge`; look-ups find them where it was."""
        self.remove(edge)
        new = tuple(self.add_edge(a, b, line, edge.ink) for a, b, line in lines)
        self._children[edge.number] = tuple(child.number for child in new)
        return new

    def split(self, edge: Edge, foot: Foot) -> int:
        """Return a node at `foot` on `edge`, splitting it unless an end already lies there."""
        for node in (edge.a, edge.b):
            if self.points[node].distance_mm(foot.at) < 1e-6:
                return node
        head, tail = cut_at(edge.line, foot)
        node = self.add_node(foot.at)
        self.replace(edge, ((edge.a, node, head), (node, edge.b, tail)))
        return node

    def detach(self, edge: Edge, node: int) -> tuple[Edge, int]:
        """Give `edge` an end of its own in place of the shared `node`; return the edge and that end."""
        free = self.add_node(self.points[node])
        a = free if edge.a == node else edge.a
        b = edge.b if edge.a == node else free
        return self.replace(edge, ((a, b, edge.line),))[0], free

    def incident(self, node: int) -> tuple[Edge, ...]:
        """Return the edges at `node`; a ring stands twice."""
        return tuple(self.edges[number] for number in self._incident[node])

    def degree(self, node: int) -> int:
        """Return how many edge ends meet at `node`."""
        return len(self._incident[node])

    def index(self) -> None:
        """Build the tree over the edges as they now are. Before this, nothing is found."""
        self._tree_edges = list(self.edges)
        lines = [shapely.LineString(self.edges[number].line) for number in self._tree_edges]
        self._tree = shapely.STRtree(lines)
        self._late = []

    def near(self, at: MmPoint, within_mm: float) -> list[Near]:
        """Return the edges within reach of a point, nearest first; of equals the older first."""
        reach = MmBox(at.x - within_mm, at.y - within_mm, at.x + within_mm, at.y + within_mm)
        found = (Near(edge, foot_on(edge.line, at)) for edge in self._in_box(reach))
        close = [near for near in found if near.foot.distance_mm <= within_mm]
        return sorted(close, key=lambda near: (near.foot.distance_mm, near.edge.number))

    def touching(self, box: MmBox) -> list[Edge]:
        """Return the edges that run through `box` or touch it, oldest first."""
        area = shapely.box(*box)
        through = (e for e in self._in_box(box) if area.intersects(shapely.LineString(e.line)))
        return sorted(through, key=lambda edge: edge.number)

    def _in_box(self, box: MmBox) -> Iterator[Edge]:
        seen: set[int] = set()
        if self._tree is not None:
            hits = self._tree.query(shapely.box(*box))
            seen.update(self._tree_edges[position] for position in hits.tolist())
        seen.update(self._late)
        for number in sorted(seen):
            yield from self._living(number, seen)

    def _living(self, number: int, seen: set[int]) -> Iterator[Edge]:
        """The edge itself, or what it was split into, each once."""
        if number in self.edges:
            yield self.edges[number]
        for child in self._children.get(number, ()):
            if child not in seen:
                yield from self._living(child, seen)
