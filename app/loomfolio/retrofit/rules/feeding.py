"""What feeds what in the target: supplies, fuses with their ratings, loads, and the ways between the nets."""

from __future__ import annotations

import heapq
import math
from collections.abc import Mapping
from functools import cached_property

from loomfolio.nets import Netlist
from loomfolio.project import FuseNote, LoadNote, PinKey, Project, SupplyNote
from loomfolio.retrofit.live.conduction import InnerEdge, chassis_nets, inner_edges

UNRATED = 0.0
"""Stands for a fuse that protects by a rating which nobody noted."""


class FeedingWays:
    """The supplies, fuses and loads that are noted in a target, and what conducts between its nets."""

    def __init__(self, project: Project, netlist: Netlist) -> None:
        self.project, self.netlist = project, netlist

    @cached_property
    def supplies(self) -> Mapping[PinKey, SupplyNote]:
        """The supplies of the target by their pin."""
        notes = [n for n in self.project.electric_notes if isinstance(n, SupplyNote)]
        return {note.pin: note for note in notes if note.pin in self.netlist.net_by_pin}

    @cached_property
    def fuses(self) -> Mapping[str, FuseNote]:
        """What is noted of fuses, by part."""
        return {n.part: n for n in self.project.electric_notes if isinstance(n, FuseNote)}

    @cached_property
    def loads(self) -> tuple[LoadNote, ...]:
        """The loads of the target."""
        notes = [n for n in self.project.electric_notes if isinstance(n, LoadNote)]
        return tuple(note for note in notes if note.pin in self.netlist.net_by_pin)

    @cached_property
    def chassis(self) -> Mapping[int, PinKey]:
        """The nets at chassis, each with a pin of a ground point."""
        return chassis_nets(self.netlist)

    @cached_property
    def edges(self) -> tuple[InnerEdge, ...]:
        """What lies between nets, at rest."""
        return tuple(inner_edges(self.project, self.netlist))

    @cached_property
    def edges_at(self) -> Mapping[int, tuple[InnerEdge, ...]]:
        """What lies at each net."""
        found: dict[int, list[InnerEdge]] = {}
        for edge in self.edges:
            found.setdefault(edge.net_a, []).append(edge)
            found.setdefault(edge.net_b, []).append(edge)
        return {net: tuple(own) for net, own in found.items()}

    @cached_property
    def protection_a(self) -> Mapping[int, float]:
        """For each net that a supply can feed the rating before it: infinite without a fuse, `UNRATED` where not noted.

        Over several ways the largest counts; contacts and switches may be closed.
        """
        found: dict[int, float] = {}
        rest: list[tuple[float, int]] = []
        for pin, note in self.supplies.items():
            heapq.heappush(rest, (-(note.fuse_a or math.inf), self.netlist.net_by_pin[pin]))
        while rest:
            rating, net = heapq.heappop(rest)
            if net in found:
                continue
            found[net] = -rating
            for edge in self.edges_at.get(net, ()):
                beyond = edge.beyond(net)
                if edge.relation == "passes" and beyond not in found:
                    heapq.heappush(rest, (-min(-rating, self._rating(edge)), beyond))
        return found

    @cached_property
    def _kinds(self) -> Mapping[str, str]:
        return {part.id: part.kind for part in self.netlist.project.parts}

    def _rating(self, edge: InnerEdge) -> float:
        if self._kinds[edge.part] != "fuse":
            return math.inf
        note = self.fuses.get(edge.part)
        return UNRATED if note is None else note.rating_a

    def fed_through(self, edge: InnerEdge) -> frozenset[int]:
        """Return the nets that are fed through a way alone: those on the side of it that holds no supply."""
        sources = {self.netlist.net_by_pin[pin] for pin in self.supplies}
        for start, other in ((edge.net_a, edge.net_b), (edge.net_b, edge.net_a)):
            side = self._side(edge, start)
            if other not in side and not side & sources:
                return side
        return frozenset()

    def _side(self, edge: InnerEdge, start: int) -> frozenset[int]:
        found, rest = {start}, [start]
        while rest:
            net = rest.pop()
            for other in self.edges_at.get(net, ()):
                beyond = other.beyond(net)
                if other is not edge and other.relation == "passes" and beyond not in found:
                    found.add(beyond)
                    rest.append(beyond)
        return frozenset(found)

    def drawn_through(self, edge: InnerEdge) -> tuple[LoadNote, ...]:
        """Return the loads that are noted at the nets fed through a way alone."""
        side = self.fed_through(edge) - self.chassis.keys()
        return tuple(note for note in self.loads if self.netlist.net_by_pin[note.pin] in side)
