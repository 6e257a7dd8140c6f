"""What a job is about: its connectors, and the ways from them as far as supply, ground and module pins.

The walk takes whole nets, and goes on through what passes or loads. A net with a supply or a ground point
in it is taken only along the way there: what else hangs on that ground is no part of the job. What either
side joins to a pin of the job is part of it, so that a lead which goes elsewhere is seen from both ends.
"""

from __future__ import annotations

from collections.abc import Iterable

from loomfolio.project import HalfKey, PinKey
from loomfolio.retrofit.blocks import on_paths_between
from loomfolio.retrofit.nodes import node_order
from loomfolio.retrofit.records import Node
from loomfolio.retrofit.state import Equipment

_STOPS = frozenset({"supply", "ground point"})


def job_scope(
    target: Equipment, vehicle: Equipment, halves: Iterable[HalfKey]
) -> frozenset[Node] | None:
    """Return the pins, splices and ground points of a job; None (all of them) where no half is named."""
    named = {(half.part, half.connector, half.half) for half in halves}
    if not named:
        return None
    sides = (_Side(target), _Side(vehicle))
    found = {node for side in sides for node in side.walk(named)}
    rest = list(found)
    while rest:
        node = rest.pop()
        for side in sides:
            for other in side.net(node):
                if other not in found:
                    found.add(other)
                    rest.append(other)
    return frozenset(found)


class _Side:
    """One side, and which of its nets were taken as a whole already."""

    def __init__(self, equipment: Equipment) -> None:
        self._equipment = equipment
        self._whole: set[Node] = set()

    def walk(self, halves: set[tuple[str, str, str]]) -> set[Node]:
        """Return the ways from some halves."""
        inner, found = self._equipment.inner, set[Node]()
        rest: list[Node] = [
            pin for pin in self._equipment.pins if (pin.part, pin.connector, pin.half) in halves
        ]
        while rest:
            node = rest.pop()
            for joined in self.net(node) if node not in found else ():
                if joined not in found:
                    found.add(joined)
                    rest.extend(inner.get(joined, ()) if isinstance(joined, PinKey) else ())
        self._whole.clear()
        return found

    def net(self, start: Node) -> list[Node]:
        """Return what is joined to a node, or, where a supply or ground is, what lies on the way to the nearest.

        A net that was returned as a whole before is not returned again.
        """
        if start in self._whole:
            return []
        found: dict[Node, None] = {start: None}
        rest = [start]
        for node in rest:
            if self._is_stop(node):
                return on_paths_between((start, node), self._neighbours)
            for other in self._neighbours(node):
                if other not in found:
                    found[other] = None
                    rest.append(other)
        self._whole.update(found)
        return list(found)

    def _neighbours(self, node: Node) -> list[Node]:
        return sorted(self._equipment.neighbours(node), key=node_order)

    def _is_stop(self, node: Node) -> bool:
        part = node if isinstance(node, str) else node.part
        return self._equipment.part_kinds.get(part) in _STOPS
