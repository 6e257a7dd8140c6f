"""Two pieces of graph work that the network needs: ties with offsets, and edges that are no ring.

`Ties` is union by offset (weighted quick-union with path halving written as a loop); `bridges` is
Tarjan's search for the edges whose removal parts a graph, here without recursion and with parallel
edges counted as a ring (R. E. Tarjan, A note on finding the bridges of a graph, 1974).
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field


@dataclass(slots=True)
class Ties:
    """Nodes that are tied to each other at a fixed difference of height."""

    _parent: dict[str, tuple[str, float]] = field(default_factory=dict)

    def height(self, node: str) -> tuple[str, float]:
        """Return the node that stands for a tied group, and how far above it `node` is."""
        total, path = 0.0, []
        while node in self._parent:
            path.append(node)
            node, offset = self._parent[node]
            total += offset
        above = total
        for passed in path:
            self._parent[passed], above = (node, above), above - self._parent[passed][1]
        return node, total

    def tie(self, high: str, low: str, difference: float) -> float:
        """Fix `high` at `difference` above `low`; return by how much that is at odds, 0 if it is not."""
        (high_root, high_offset), (low_root, low_offset) = self.height(high), self.height(low)
        if high_root == low_root:
            return high_offset - low_offset - difference
        self._parent[high_root] = (low_root, difference + low_offset - high_offset)
        return 0.0


def bridges(edges: Sequence[tuple[Hashable, Hashable]]) -> set[int]:
    """Return the positions of the edges that lie on no ring; an edge from a node to itself does."""
    beside = neighbours(edges)
    order: dict[Hashable, int] = {}
    lowest: dict[Hashable, int] = {}
    found: set[int] = set()
    for start in beside:
        if start in order:
            continue
        order[start] = lowest[start] = len(order)
        stack = [(start, -1, iter(beside[start]))]
        while stack:
            node, arrived_by, ways = stack[-1]
            for edge, other in ways:
                if edge == arrived_by:
                    continue
                if other in order:
                    lowest[node] = min(lowest[node], order[other])
                    continue
                order[other] = lowest[other] = len(order)
                stack.append((other, edge, iter(beside[other])))
                break
            else:
                stack.pop()
                if stack:
                    before = stack[-1][0]
                    lowest[before] = min(lowest[before], lowest[node])
                    if lowest[node] > order[before]:
                        found.add(arrived_by)
    return found


def neighbours(
    edges: Iterable[tuple[Hashable, Hashable]],
) -> Mapping[Hashable, list[tuple[int, Hashable]]]:
    """Return, for each node, the edges at it by position with the node at their other end."""
    beside: dict[Hashable, list[tuple[int, Hashable]]] = {}
    for number, (a, b) in enumerate(edges):
        beside.setdefault(a, []).append((number, b))
        beside.setdefault(b, []).append((number, a))
    return beside
