"""What a job is about: its connectors, and the ways from them as far as supply, ground and module pins.

The walk takes whole nets, and goes on through what passes or loads. A net with a supply or a ground point
in it is taken only along the way there: what else hangs on that ground is no part of the job. What either
side joins to a pin of the job is part of it, so that a lead which goes elsewhere is seen from both ends.
"""

from __future__ import annotations

from collections.abc import Iterable

from loomfolio.project import HalfKey, PinKey
from loomfolio.retrofit.blocks import on_paths_between
from loomfolio.retrofit.records import Node
from loomfolio.retrofit.state import Equipment, node_order

_STOPS = frozenset({"supply", "ground point"})


def job_scope(
    target: Equipment, vehicle: Equipment, halves: Iterable[HalfKey]
) -> frozenset[Node] | None:
    """Return the pins, splices and ground points of a job; None (all of them) where no half is named."""
    named = set(halves)
    if not named:
        return None
    found = {node for side in (target, vehicle) for node in _walk(side, named)}
    rest = list(found)
    while rest:
        node = rest.pop()
        for side in (target, vehicle):
            for other in _net(side, node):
                if other not in found:
                    found.add(other)
                    rest.append(other)
    return frozenset(found)


def _walk(side: Equipment, halves: set[HalfKey]) -> set[Node]:
    """The ways from some halves on one side."""
    found: set[Node] = set()
    rest: list[Node] = [pin for pin in side.pins if pin.half_key in halves]
    while rest:
        node = rest.pop()
        for joined in _net(side, node):
            if joined not in found:
                found.add(joined)
                rest.extend(side.inner.get(joined, ()) if isinstance(joined, PinKey) else ())
    return found


def _net(side: Equipment, start: Node) -> list[Node]:
    """What is joined to a node, or, where a supply or ground is, what lies on the way to the nearest."""
    found = {start: None}
    rest = [start]
    stop: Node | None = None
    for node in rest:
        if _is_stop(side, node):
            stop = node
            break
        for other in sorted(side.neighbours(node), key=node_order):
            if other not in found:
                found[other] = None
                rest.append(other)
    if stop is None:
        return list(found)
    return on_paths_between((start, stop), lambda n: sorted(side.neighbours(n), key=node_order))


def _is_stop(side: Equipment, node: Node) -> bool:
    part = node if isinstance(node, str) else node.part
    return side.part_kinds.get(part) in _STOPS
