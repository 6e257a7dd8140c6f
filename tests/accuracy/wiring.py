"""The conductors of a page as a graph: vertices in mm, straight edges, and pins at some vertices.

Nets follow from the graph alone. What is done after routing (symbols set into a line, rings linked,
an arm shifted aside) changes the graph, so that the truth can never lag behind the drawing.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from accuracy.marks import Point, Rgb


@dataclass(frozen=True, slots=True)
class Look:
    """How a conductor is drawn."""

    width_mm: float
    colour: Rgb
    stripe: Rgb | None = None
    dash: tuple[float, float] | None = None
    code: str = ""


@dataclass(frozen=True, slots=True)
class End:
    """A pin at a vertex."""

    name: str
    body: int | None
    outward: Point


@dataclass(slots=True)
class Edge:
    """A straight piece of conductor between two vertices."""

    a: int
    b: int
    look: Look

    def other(self, vertex: int) -> int:
        """The vertex at the far side."""
        return self.b if vertex == self.a else self.a


class Wiring:
    """Vertices, edges and pins; see the module docstring."""

    def __init__(self) -> None:
        self.points: list[Point] = []
        self.arms: list[list[int]] = []
        self.edges: dict[int, Edge] = {}
        self.ends: dict[int, End] = {}
        self.rings: dict[int, float] = {}
        self._next = 0

    def vertex(self, at: Point, end: End | None = None) -> int:
        """Add a vertex, with a pin or without."""
        self.points.append(at)
        self.arms.append([])
        index = len(self.points) - 1
        if end is not None:
            self.ends[index] = end
        return index

    def join(self, a: int, b: int, look: Look) -> int:
        """Add a straight edge and return its id."""
        key = self._next
        self._next += 1
        self.edges[key] = Edge(a, b, look)
        self.arms[a].append(key)
        self.arms[b].append(key)
        return key

    def run(self, vertices: Iterable[int], look: Look) -> list[int]:
        """Add edges from vertex to vertex."""
        line = list(vertices)
        return [self.join(a, b, look) for a, b in itertools.pairwise(line)]

    def remove(self, key: int) -> Edge:
        """Take an edge away; its vertices stay."""
        edge = self.edges.pop(key)
        self.arms[edge.a].remove(key)
        self.arms[edge.b].remove(key)
        return edge

    def split(self, key: int, at: Point) -> int:
        """Put a vertex into an edge and return it."""
        edge = self.remove(key)
        middle = self.vertex(at)
        self.join(edge.a, middle, edge.look)
        self.join(middle, edge.b, edge.look)
        return middle

    def cut(self, key: int, ends: tuple[tuple[Point, End], tuple[Point, End]]) -> tuple[int, int]:
        """Part an edge: the first end belongs to the side of its vertex `a`, the second to `b`."""
        edge = self.remove(key)
        first, second = (self.vertex(at, end) for at, end in ends)
        self.join(edge.a, first, edge.look)
        self.join(second, edge.b, edge.look)
        return first, second

    def segment(self, key: int) -> tuple[Point, Point]:
        """The two ends of an edge in mm."""
        edge = self.edges[key]
        return self.points[edge.a], self.points[edge.b]

    def pieces(self) -> list[list[int]]:
        """Return the connected sets of vertices that have edges, in order of their first vertex."""
        seen: set[int] = set()
        out = []
        for start, arms in enumerate(self.arms):
            if start in seen or not arms:
                continue
            out.append(sorted(self._flood(start, seen)))
        return out

    def _flood(self, start: int, seen: set[int]) -> Iterator[int]:
        seen.add(start)
        heap = [start]
        while heap:
            vertex = heap.pop()
            yield vertex
            for key in self.arms[vertex]:
                far = self.edges[key].other(vertex)
                if far not in seen:
                    seen.add(far)
                    heap.append(far)

    def straighten(self) -> None:
        """Drop vertices at which a line of one look merely goes straight on."""
        for vertex in range(len(self.points)):
            if not self._runs_on(vertex):
                continue
            first, second = self.arms[vertex]
            ends = [self.edges[key].other(vertex) for key in (first, second)]
            (ax, ay), (x, y), (bx, by) = (self.points[v] for v in (ends[0], vertex, ends[1]))
            if ends[0] != ends[1] and abs((x - ax) * (by - y) - (y - ay) * (bx - x)) < 1e-9:
                look = self.remove(first).look
                self.remove(second)
                self.join(ends[0], ends[1], look)

    def recolour(self, keys: Iterable[int], look: Look) -> None:
        """Draw some edges in another way, keeping their widths."""
        for key in keys:
            self.edges[key].look = replace(look, width_mm=self.edges[key].look.width_mm)

    def chains(self) -> list[list[int]]:
        """Return runs of vertices that are drawn in one go: through plain bends, not through joins."""
        left = set(self.edges)
        out = []
        breaks = [v for v in range(len(self.points)) if self.arms[v] and not self._runs_on(v)]
        for start in breaks + [edge.a for edge in self.edges.values()]:
            keys = [key for key in self.arms[start] if key in left]
            out += [self._follow(start, key, left) for key in keys if key in left]
        return out

    def _follow(self, start: int, key: int, left: set[int]) -> list[int]:
        chain = [start]
        while key in left:
            left.discard(key)
            chain.append(self.edges[key].other(chain[-1]))
            if not self._runs_on(chain[-1]):
                break
            key = next(k for k in self.arms[chain[-1]] if k != key)
        return chain

    def _runs_on(self, vertex: int) -> bool:
        """Does a line simply go on through this vertex?"""
        arms = self.arms[vertex]
        if len(arms) != 2 or vertex in self.ends or vertex in self.rings:
            return False
        return self.edges[arms[0]].look == self.edges[arms[1]].look
