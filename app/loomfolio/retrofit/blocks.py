"""Blocks of nodes that are joined, and paths between nodes: what the comparison of nets is made of."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from loomfolio.retrofit.records import Node


class Blocks:
    """A partition of nodes that grows coarser. The root of a block is its first node in the order taken in."""

    def __init__(self, nodes: Iterable[Node]) -> None:
        self._rank = {node: rank for rank, node in enumerate(dict.fromkeys(nodes))}
        self._parent: dict[Node, Node] = {node: node for node in self._rank}
        self._size = dict.fromkeys(self._rank, 1)

    def root(self, node: Node) -> Node:
        """Return the first node of a node's block; a node never taken in is a block of its own."""
        root = node
        while (parent := self._parent.get(root, root)) != root:
            root = parent
        while node != root:
            node, self._parent[node] = self._parent[node], root
        return root

    def size(self, node: Node) -> int:
        """Return how many nodes are in a node's block."""
        return self._size.get(self.root(node), 1)

    def merge(self, nodes: Iterable[Node]) -> bool:
        """Put nodes into one block; say whether this joined any that were apart."""
        roots = list(dict.fromkeys(self.root(self._taken_in(node)) for node in nodes))
        if len(roots) < 2:
            return False
        first = min(roots, key=self._rank.__getitem__)
        for root in roots:
            if root != first:
                self._parent[root] = first
                self._size[first] += self._size[root]
        return True

    def _taken_in(self, node: Node) -> Node:
        if node not in self._rank:
            self._rank[node] = len(self._rank)
            self._parent[node] = node
            self._size[node] = 1
        return node


def on_paths_between(
    nodes: Sequence[Node], neighbours: Callable[[Node], Iterable[Node]]
) -> list[Node]:
    """Return what lies on the shortest paths from the first node to the others, the nodes themselves included.

    Of several paths of one length, the one over the neighbour that comes first is taken. Nodes that cannot
    be reached are left out, with one node there is only it, with none there is nothing.
    """
    if not nodes:
        return []
    came_from: dict[Node, Node | None] = {nodes[0]: None}
    rest, wanted = [nodes[0]], set(nodes[1:])
    for node in rest:
        if not wanted:
            break
        for other in neighbours(node):
            if other not in came_from:
                came_from[other] = node
                wanted.discard(other)
                rest.append(other)
    found: dict[Node, None] = {}
    for node in nodes:
        step: Node | None = node if node in came_from else None
        while step is not None and step not in found:
            found[step] = None
            step = came_from[step]
    return list(found)
