"""Runs: what a drawn lead is made of, from pin to pin, over links, but never through a connector or splice.

A run holds conductors that are one drawn line, also over links that are only proposed; each path through it
tells the pieces that it rests on, so that a proposal can be seen, walked and confirmed, while nets
take only what is settled. Paths are the shortest along the drawn lines.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from loomfolio.basics import MmPoint
from loomfolio.nets.geometry import length_mm
from loomfolio.nets.grouping import Grouping
from loomfolio.nets.netlist import Netlist
from loomfolio.nets.pin_matching import MatchedPin
from loomfolio.nets.wiring import Edge
from loomfolio.project import Link, PinKey

Node = tuple[str, int]
"""A node of one sheet's graph: sheet id and node number."""


@dataclass(frozen=True, slots=True)
class Hop:
    """One move along a path: along a drawn edge, or over a link to another place."""

    start: Node
    end: Node
    edge: Edge | None
    link: Link | None


@dataclass(frozen=True, slots=True)
class RunPin:
    """A pin at an end of a run: the nodes where its conductors end, and where it is drawn."""

    key: PinKey
    places: tuple[tuple[Node, MatchedPin], ...]


@dataclass(frozen=True, slots=True)
class Run:
    """Drawn conductors that are one line, and the pins at its ends in natural order."""

    conductors: tuple[int, ...]
    pins: tuple[RunPin, ...]


class RunMap:
    """The runs of a netlist and the paths through them. Runs are made when they are asked for."""

    def __init__(self, netlist: Netlist) -> None:
        self.netlist = netlist
        self._links_at: dict[Node, list[tuple[Node, Link]]] = {}
        self._linked: Grouping[int] = Grouping()
        self._runs: dict[int, Run] = {}
        self.links_on: dict[int, list[Link]] = {}
        for link in netlist.project.links:
            a, b = self._link_node(link, "a"), self._link_node(link, "b")
            if a is not None and b is not None:
                self._links_at.setdefault(a, []).append((b, link))
                self._links_at.setdefault(b, []).append((a, link))
                ends = (self._conductor(a), self._conductor(b))
                self._linked.merge(ends)
                for conductor in ends:
                    self.links_on.setdefault(conductor, []).append(link)

    def _link_node(self, link: Link, side: str) -> Node | None:
        anchor = link.a if side == "a" else link.b
        if anchor is None:
            return None
        node = self.netlist.sheets[anchor.sheet].graph.link_nodes.get((link.id, side))
        return None if node is None else (anchor.sheet, node)

    def _conductor(self, node: Node) -> int:
        sheet, number = node
        graph = self.netlist.sheets[sheet].graph
        return self.netlist.first_conductor[sheet] + graph.component[number]

    @cached_property
    def linked(self) -> Mapping[int, tuple[int, ...]]:
        """The conductors that go on over a link, each with all that are one line with it."""
        return {number: tuple(sorted(group)) for group in self._linked.groups() for number in group}

    def run_of(self, conductor: int) -> Run:
        """Return the run that a conductor is part of."""
        run = self._runs.get(conductor)
        if run is None:
            conductors = self.linked.get(conductor, (conductor,))
            places = [place for number in conductors for place in self._ends(number)]
            run = Run(conductors, _run_pins(places))
            self._runs.update(dict.fromkeys(conductors, run))
        return run

    def _ends(self, conductor: int) -> Iterator[tuple[Node, MatchedPin]]:
        sheet = self.netlist.sheet_of_conductor(conductor)
        own = self.netlist.sheets[sheet]
        local = conductor - self.netlist.first_conductor[sheet]
        for node, matched in own.ends_of_conductor.get(local, ()):
            yield (sheet, node), matched

    @property
    def runs(self) -> Iterator[Run]:
        """All runs, those without a pin included, in the order of their first conductor."""
        for sheet, first in self.netlist.first_conductor.items():
            for number in range(first, first + len(self.netlist.numbers_on[sheet])):
                if self.linked.get(number, (number,))[0] == number:
                    yield self.run_of(number)

    def runs_of_pin(self, pin: PinKey) -> tuple[Run, ...]:
        """Return the runs that end at a pin, in order."""
        net = self.netlist.net_of_pin(pin)
        found: dict[int, Run] = {}
        for sheet in net.sheets if net is not None else ():
            first = self.netlist.first_conductor[sheet]
            for local in self.netlist.sheets[sheet].conductors_of_pin.get(pin, ()):
                run = self.run_of(first + local)
                found[run.conductors[0]] = run
        return tuple(found[number] for number in sorted(found))

    def paths_from(self, pin: RunPin) -> dict[Node, tuple[Hop, ...]]:
        """Return the shortest path from a pin to every node of its runs that can be reached."""
        best: dict[Node, float] = {}
        way: dict[Node, Hop] = {}
        heap: list[tuple[float, Node]] = []
        for node, _ in pin.places:
            best[node] = 0.0
            heap.append((0.0, node))
        heapq.heapify(heap)
        while heap:
            walked, node = heapq.heappop(heap)
            if walked > best[node]:
                continue
            for hop, step_mm in self._hops(node):
                if walked + step_mm < best.get(hop.end, float("inf")):
                    best[hop.end] = walked + step_mm
                    way[hop.end] = hop
                    heapq.heappush(heap, (best[hop.end], hop.end))
        return {node: _unwind(way, node) for node in best}

    def _hops(self, node: Node) -> Iterator[tuple[Hop, float]]:
        sheet, number = node
        for edge in self.netlist.sheets[sheet].graph.wiring.incident(number):
            end = (sheet, edge.other(number))
            yield Hop(node, end, edge, None), length_mm(edge.line)
        for other, link in self._links_at.get(node, ()):
            yield Hop(node, other, None, link), 0.0


def _unwind(way: Mapping[Node, Hop], node: Node) -> tuple[Hop, ...]:
    hops: list[Hop] = []
    while node in way:
        hops.append(way[node])
        node = way[node].start
    return tuple(reversed(hops))


def _run_pins(places: Sequence[tuple[Node, MatchedPin]]) -> tuple[RunPin, ...]:
    by_key: dict[PinKey, list[tuple[Node, MatchedPin]]] = {}
    for node, matched in places:
        by_key.setdefault(matched.key, []).append((node, matched))
    pins = [RunPin(key, tuple(found)) for key, found in by_key.items()]
    return tuple(sorted(pins, key=lambda pin: pin.key.sort_key))


def lines_of(hops: Sequence[Hop]) -> tuple[tuple[str, tuple[MmPoint, ...]], ...]:
    """Return the drawn lines of a path in the direction walked, one for each stretch on one sheet."""
    lines: list[tuple[str, tuple[MmPoint, ...]]] = []
    for hop in hops:
        if hop.edge is None:
            continue
        sheet = hop.start[0]
        line = hop.edge.line_from(hop.start[1])
        if lines and lines[-1][0] == sheet and lines[-1][1][-1] == line[0]:
            lines[-1] = (sheet, (*lines[-1][1], *line[1:]))
        else:
            lines.append((sheet, line))
    return tuple(lines)
