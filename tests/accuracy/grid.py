"""Where conductors may run: a raster of nodes on which every edge and node has one owner.

A route is found among straight, one-bend and two-bend ways only, all places of the middle leg at
once, and the cheapest free one is taken. Nothing is drawn that the raster did not grant, so that the
truth needs no search: lines of two nets meet at a node only where both run straight through it.
A net of id 0 is nobody; negative owners are bodies and reserved pins.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Node = tuple[int, int]  # row, column

BLOCKED = -1
_CROSSING_COST = 2.5  # steps
_BEND_COST = 3.0


@dataclass(frozen=True, slots=True)
class Route:
    """A way over the raster: its corner nodes in order, and what it costs."""

    nodes: tuple[Node, ...]
    cost: float


class Lanes:
    """One sense of reading the raster: `along` runs down the first axis, `across` over the second."""

    def __init__(self, arrays: tuple[NDArray[np.int32], ...], *, turned: bool) -> None:
        along_edges, across_edges, along_nodes, across_nodes, whole = arrays
        self.turned = turned
        if turned:
            along_edges, across_edges = across_edges.T, along_edges.T
            along_nodes, across_nodes = across_nodes.T, along_nodes.T
            whole = whole.T
        self.edges, self.cross_edges = along_edges, across_edges
        self.nodes, self.cross_nodes, self.whole = along_nodes, across_nodes, whole

    def reach(self, start: Node, net: int) -> tuple[int, int]:
        """How far one can run along the first axis from `start`, both ways (inclusive)."""
        row, column = start
        passable = (
            (self.nodes[:, column] == 0)
            & (self.whole[:, column] == 0)
            & (self.cross_nodes[:, column] != net)
        )
        open_edge = self.edges[:, column] == 0
        low = row
        while low > 0 and open_edge[low - 1] and passable[low - 1]:
            low -= 1
        high = row
        while high < len(open_edge) and open_edge[high] and passable[high + 1]:
            high += 1
        return low, high

    def free(self, row: int | slice, column: int) -> NDArray[np.bool_]:
        """Which nodes nobody uses at all."""
        return np.asarray(
            (self.nodes[row, column] == 0)
            & (self.cross_nodes[row, column] == 0)
            & (self.whole[row, column] == 0)
        )

    def straight(self, a: Node, b: Node, net: int) -> Route | None:
        """The direct way between two owned nodes in one column."""
        if a[1] != b[1] or a[0] == b[0]:
            return None
        low, high = sorted((a[0], b[0]))
        reach = self.reach(a, net)
        target = b[0]
        inner_end = target - 1 if target > a[0] else target + 1
        step_edge = min(inner_end, target)
        if not reach[0] <= inner_end <= reach[1] or self.edges[step_edge, a[1]] != 0:
            return None
        crossings = np.count_nonzero(self.cross_nodes[low + 1 : high, a[1]])
        return Route((a, b), high - low + _CROSSING_COST * crossings)

    def two_bends(self, a: Node, b: Node, net: int, *, ends_along: bool) -> Route | None:
        """The cheapest way: along, across on some row, along; `ends_along` forbids to end across."""
        if a[1] == b[1]:
            return None
        low_a, high_a = self.reach(a, net)
        low_b, high_b = self.reach(b, net)
        low, high = max(low_a, low_b), min(high_a, high_b)
        if low > high:
            return None
        rows = np.arange(low, high + 1)
        ok = self._rows_open(rows, a, b, net)
        if ends_along:
            ok &= rows != b[0]
        if not ok.any():
            return None
        cost = self._row_costs(rows, a, b)
        cost[~ok] = np.inf
        best = int(np.argmin(cost))
        row = int(rows[best])
        corners = [a, (row, a[1]), (row, b[1]), b]
        nodes = tuple(n for k, n in enumerate(corners) if k == 0 or n != corners[k - 1])
        return Route(nodes, float(cost[best]))

    def _rows_open(self, rows: NDArray[np.int_], a: Node, b: Node, net: int) -> NDArray[np.bool_]:
        """On which rows the middle leg is free from column to column, corners included."""
        left, right = sorted((a[1], b[1]))
        span = slice(int(rows[0]), int(rows[-1]) + 1)
        ok = (self.cross_edges[span, left:right] == 0).all(axis=1)
        inner = (span, slice(left + 1, right))
        ok &= (
            (self.cross_nodes[inner] == 0) & (self.whole[inner] == 0) & (self.nodes[inner] != net)
        ).all(axis=1)
        ok &= self.free(span, a[1]) | (rows == a[0])
        ok &= self.free(span, b[1]) | (rows == b[0])
        return np.asarray(ok)

    def _row_costs(self, rows: NDArray[np.int_], a: Node, b: Node) -> NDArray[np.float64]:
        left, right = sorted((a[1], b[1]))
        span = slice(int(rows[0]), int(rows[-1]) + 1)
        cost = np.abs(rows - a[0]) + np.abs(rows - b[0]) + float(right - left)
        cost += _BEND_COST * ((rows != a[0]).astype(float) + (rows != b[0]))
        cost += _CROSSING_COST * np.count_nonzero(self.nodes[span, left + 1 : right], axis=1)
        for row0, column in (a, b):
            crossed = np.concatenate(([0], np.cumsum(self.cross_nodes[:, column] != 0)))
            cost += _CROSSING_COST * np.abs(crossed[rows] - crossed[row0])
        return np.asarray(cost, dtype=np.float64)


class Grid:
    """The raster of one page; conductors are routed over it and leave their id behind."""

    def __init__(self, rows: int, columns: int) -> None:
        self.rows, self.columns = rows, columns
        self.down = np.zeros((rows - 1, columns), np.int32)
        self.right = np.zeros((rows, columns - 1), np.int32)
        self.node_down = np.zeros((rows, columns), np.int32)
        self.node_right = np.zeros((rows, columns), np.int32)
        self.whole = np.zeros((rows, columns), np.int32)
        arrays = (self.down, self.right, self.node_down, self.node_right, self.whole)
        self.upright = Lanes(arrays, turned=False)
        self.level = Lanes(arrays, turned=True)

    def holds(self, node: Node) -> bool:
        """Does a node lie on the raster?"""
        return 0 <= node[0] < self.rows and 0 <= node[1] < self.columns

    def is_clear(self, row0: int, column0: int, row1: int, column1: int) -> bool:
        """Is the block of nodes (inclusive, clipped to the raster) used by nobody?"""
        block = (
            slice(max(row0, 0), max(row1, -1) + 1),
            slice(max(column0, 0), max(column1, -1) + 1),
        )
        return not (
            self.whole[block].any() or self.node_down[block].any() or self.node_right[block].any()
        )

    def block(self, row0: int, column0: int, row1: int, column1: int) -> None:
        """Take a block of nodes (inclusive, clipped) out of use."""
        self.whole[max(row0, 0) : row1 + 1, max(column0, 0) : column1 + 1] = BLOCKED

    def reserve(self, node: Node, owner: int) -> None:
        """Keep a node for a pin (negative owner) or a net."""
        self.whole[node] = owner

    def route(self, a: Node, b: Node, net: int, *, ends: str = "any") -> Route | None:
        """Return the cheapest way between two owned nodes; `ends` is any, down or right at `b`."""
        ways = []
        if ends in ("any", "down"):
            ways += [
                self.upright.straight(a, b, net),
                self.upright.two_bends(a, b, net, ends_along=ends == "down"),
            ]
        if ends in ("any", "right"):
            turned_a, turned_b = (a[1], a[0]), (b[1], b[0])
            found = [
                self.level.straight(turned_a, turned_b, net),
                self.level.two_bends(turned_a, turned_b, net, ends_along=ends == "right"),
            ]
            ways += [
                Route(tuple((n[1], n[0]) for n in way.nodes), way.cost) for way in found if way
            ]
        good = [way for way in ways if way is not None]
        return min(good, key=lambda way: (way.cost, way.nodes), default=None)

    def take(self, route: Route, net: int) -> None:
        """Hand the nodes and edges of a route to a net."""
        for node in route.nodes:
            self.whole[node] = net
        for (r0, c0), (r1, c1) in zip(route.nodes, route.nodes[1:], strict=False):
            if c0 == c1:
                low, high = sorted((r0, r1))
                self.down[low:high, c0] = net
                self.node_down[low + 1 : high, c0] = net
            else:
                low, high = sorted((c0, c1))
                self.right[r0, low:high] = net
                self.node_right[r0, low + 1 : high] = net
