"""Interlock loops: closed as a whole, and opened by each connector that belongs to them.

A loop is what hangs together of the nets of that class, over leads, bars, mated contacts and the contacts
inside plugs and switches. It begins and ends at pins of modules, of which nothing is drawn inside. Then
each connector with a pin on the loop is taken apart by itself: a loop that stays closed does not watch it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomfolio.nets import Netlist
from loomfolio.project import CircuitClass, PartKind, PinKey, Project
from loomfolio.retrofit.circuits import circuits_of
from loomfolio.retrofit.loops.chain import (
    Chain,
    ConnectorKey,
    Link,
    chain_of,
    connectors_at,
    way_back,
)
from loomfolio.retrofit.nodes import node_order
from loomfolio.retrofit.records import Node
from loomfolio.retrofit.state import Equipment

_CLASS: CircuitClass = "interlock"


@dataclass(frozen=True, slots=True)
class LoopConnector:
    """A connector with contacts on a loop. `opens` tells whether parting it opens the loop."""

    part: str
    connector: str
    text: str
    opens: bool


@dataclass(frozen=True, slots=True)
class InterlockLoop:
    """A loop between the pins at which it begins and ends.

    `path` are the nodes from the first end, to the second where it is closed. `open_at` says what stands open
    on it. `strays` are nodes that hang on the loop and lie on no way between its ends.
    """

    ends: tuple[PinKey, ...]
    is_closed: bool
    path: tuple[Node, ...]
    connectors: tuple[LoopConnector, ...]
    open_at: tuple[str, ...]
    strays: tuple[Node, ...]


def interlock_loops(
    project: Project, netlist: Netlist, equipment: Equipment
) -> tuple[InterlockLoop, ...]:
    """Return the interlock loops that the notes speak of; none where no net is of that class."""
    classes = circuits_of(project, netlist)
    nodes = {
        equipment.node(pin)
        for pin, net in netlist.net_by_pin.items()
        if _CLASS in classes.get(net, ())
    }
    whole = chain_of(netlist, equipment)
    chain = Chain(tuple(link for link in whole.links if link.a in nodes and link.b in nodes))
    found: list[InterlockLoop] = []
    done: set[Node] = set()
    for node in sorted(nodes, key=node_order):
        if node not in done:
            together = set(chain.reached(node, with_open=True))
            done |= together
            found.append(_loop(netlist, equipment, chain, together))
    return tuple(_paired(found))


def _loop(netlist: Netlist, equipment: Equipment, chain: Chain, nodes: set[Node]) -> InterlockLoop:
    kinds = {part.id: part.kind for part in netlist.project.parts}
    inside = {
        end for link in chain.links if link.what in {"way", "bar"} for end in (link.a, link.b)
    }
    ends = [
        node
        for node in sorted(nodes, key=node_order)
        if isinstance(node, PinKey) and kinds[node.part] == "module" and node not in inside
    ]
    own = Chain(tuple(link for link in chain.links if link.a in nodes))
    start = ends[0] if ends else min(nodes, key=node_order)
    came = own.reached(start)
    is_closed = len(ends) == 2 and ends[1] in came
    path = [node for node, _ in way_back(came, ends[1])] if is_closed else list(came)
    return InterlockLoop(
        ends=tuple(ends),
        is_closed=is_closed,
        path=tuple(path),
        connectors=tuple(_connectors(equipment, own, ends, nodes, kinds)) if is_closed else (),
        open_at=tuple(link.text for link in own.links if not link.is_closed),
        strays=tuple(_strays(own, set(ends))),
    )


def _connectors(
    equipment: Equipment,
    chain: Chain,
    ends: list[PinKey],
    nodes: set[Node],
    kinds: Mapping[str, PartKind],
) -> Iterator[LoopConnector]:
    at_ends = {(end.part, end.connector) for end in ends}
    for key in connectors_at(sorted(nodes, key=node_order), kinds):
        if key not in at_ends:
            opens = ends[1] not in chain.reached(ends[0], parted=key)
            yield LoopConnector(*key, _text(equipment, key), opens)


def _text(equipment: Equipment, key: ConnectorKey) -> str:
    part, connector = key
    return f"{equipment.part_names[part]} {connector}".strip()


def _strays(chain: Chain, ends: set[PinKey]) -> Iterator[Node]:
    """Nodes that are left hanging once every loose end has been taken off, one after the other."""
    counts: dict[Node, list[Link]] = {node: list(links) for node, links in chain.at.items()}
    loose = [n for n, links in counts.items() if len(links) < 2 and n not in ends]
    gone: set[Node] = set()
    while loose:
        node = loose.pop()
        if node in gone:
            continue
        gone.add(node)
        for link in counts[node]:
            other = link.beyond(node)
            counts[other] = [one for one in counts[other] if one != link]
            if len(counts[other]) < 2 and other not in ends:
                loose.append(other)
    return iter(sorted(gone, key=node_order))


def _paired(loops: list[InterlockLoop]) -> Iterator[InterlockLoop]:
    """Two pieces of one end each are one loop that is torn: told as one."""
    torn = [loop for loop in loops if len(loop.ends) == 1]
    if len(torn) != 2:
        yield from loops
        return
    first, second = torn
    yield from (loop for loop in loops if loop not in torn)
    yield InterlockLoop(
        ends=(*first.ends, *second.ends),
        is_closed=False,
        path=first.path,
        connectors=(),
        open_at=(*first.open_at, *second.open_at),
        strays=(),
    )
