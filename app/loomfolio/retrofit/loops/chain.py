"""The metal of a side as a graph that can be taken apart: leads, bars, mated contacts, closed ways inside parts.

A node is a pin, or a splice or ground point as a whole. Every edge says which connectors hold it together:
parting one of these opens it.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from loomfolio.nets import Netlist
from loomfolio.project import PartKind, PinKey
from loomfolio.retrofit.records import Node
from loomfolio.retrofit.state import Equipment

ConnectorKey = tuple[str, str]
"""A part and the name of one of its connectors."""
_NOT_PARTED: frozenset[PartKind] = frozenset({"splice", "ground point"})


@dataclass(frozen=True, slots=True)
class Link:
    """One piece of metal between two nodes, and the connectors that it hangs on.

    A way inside a part hangs on the connectors of its pins; mated contacts hang on theirs.
    """

    a: Node
    b: Node
    what: Literal["lead", "bar", "mate", "way"]
    text: str = ""
    connectors: frozenset[ConnectorKey] = frozenset()
    is_closed: bool = True

    def beyond(self, node: Node) -> Node:
        """Return the other node."""
        return self.b if node == self.a else self.a


@dataclass(frozen=True, eq=False)
class Chain:
    """All links of one side."""

    links: tuple[Link, ...]

    @cached_property
    def at(self) -> Mapping[Node, list[Link]]:
        """The links at each node."""
        found: dict[Node, list[Link]] = {}
        for link in self.links:
            found.setdefault(link.a, []).append(link)
            found.setdefault(link.b, []).append(link)
        return found

    def reached(
        self, start: Node, *, parted: ConnectorKey | None = None, with_open: bool = False
    ) -> Mapping[Node, Link | None]:
        """Return the nodes that hang together with one, each with the link by which the walk came.

        Parameters
        ----------
        parted
            A connector that is taken apart.
        with_open
            Walk over open ways, too.
        """
        came: dict[Node, Link | None] = {start: None}
        rest = deque([start])
        while rest:
            node = rest.popleft()
            for link in self.at.get(node, ()):
                to = link.beyond(node)
                is_there = (link.is_closed or with_open) and parted not in link.connectors
                if is_there and to not in came:
                    came[to] = link
                    rest.append(to)
        return came

    def without(self, links: Collection[Link]) -> Chain:
        """Return the chain without some links."""
        return Chain(tuple(link for link in self.links if link not in links))


def way_back(came: Mapping[Node, Link | None], to: Node) -> tuple[tuple[Node, Link | None], ...]:
    """Return the nodes from where a walk began to one that it reached, each with the link that led to it."""
    steps: list[tuple[Node, Link | None]] = []
    at = to
    while True:
        link = came[at]
        steps.append((at, link))
        if link is None:
            return tuple(reversed(steps))
        at = link.beyond(at)


def chain_of(netlist: Netlist, equipment: Equipment) -> Chain:
    """Return the links of what a netlist shows; `equipment` is that of the same fit."""
    return Chain(tuple(_links(netlist, equipment)))


def _links(netlist: Netlist, equipment: Equipment) -> Iterator[Link]:
    for a, b in equipment.leads:
        yield Link(a, b, "lead")
    for bar, label in equipment.bars.items():
        held = frozenset(_connector(pin) for pin in bar)
        for pin in bar[1:]:
            yield Link(bar[0], pin, "bar", label, held)
    for pin, others in equipment.mated_at.items():
        for other in others:
            if pin.sort_key < other.sort_key:
                text = equipment.text(pin)
                held = frozenset((_connector(pin), _connector(other)))
                yield Link(pin, other, "mate", text, held)
    yield from _ways(netlist, equipment)


def _ways(netlist: Netlist, equipment: Equipment) -> Iterator[Link]:
    for part in netlist.project.parts:
        for way in part.ways:
            if way.relation != "passes" or part.kind in _NOT_PARTED:
                continue
            a, b = (PinKey(part=part.id, **pin.model_dump()) for pin in way.pins)
            is_closed = way.at_rest == "closed" or (
                part.kind == "fuse" and way.at_rest == "unknown"
            )
            held = frozenset((_connector(a), _connector(b)))
            text = f"{part.name} {way.label}".strip()
            yield Link(equipment.node(a), equipment.node(b), "way", text, held, is_closed)


def _connector(pin: PinKey) -> ConnectorKey:
    return (pin.part, pin.connector)


def connectors_at(nodes: Iterable[Node], kinds: Mapping[str, PartKind]) -> tuple[ConnectorKey, ...]:
    """Return the connectors that the pins among some nodes sit in, in the order in which they are met."""
    pins = [node for node in nodes if isinstance(node, PinKey)]
    return tuple(dict.fromkeys(_connector(p) for p in pins if kinds[p.part] not in _NOT_PARTED))
