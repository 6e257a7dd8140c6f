"""What feeds a node, what a lead carries, and which fuse stands before it: ways over what is joined or passes.

A load is drawn at its pin from the supplies that its pin reaches. A lead carries a load where the pin
reaches no supply without that lead; it carries the load's return where `back` reaches no ground without it. The
fuse before a lead is the first one on the way from it to the supply. Where no supply is noted or drawn on
the way, a module's pin feeds.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from loomfolio.electrics import Figure, given
from loomfolio.project import FuseNote, LoadNote, Part, PinKey, SupplyNote
from loomfolio.retrofit.nodes import ends_of, node_order
from loomfolio.retrofit.records import Ends, Node
from loomfolio.retrofit.state import Equipment
from loomfolio.retrofit.work.situation import Situation

_SUPPLIES = frozenset({"battery", "supply"})
_MINUS = frozenset({"-", "\N{MINUS SIGN}", "minus", "neg", "b-", "31"})
"""How the minus of a battery is written."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """One step of a way: to a node, through a part where the part passes, else over a lead or contact."""

    node: Node
    part: str | None


@dataclass(frozen=True, slots=True)
class Carried:
    """A load that a lead carries: out, or back to ground."""

    note: LoadNote
    is_return: bool


class Feeds:
    """Ways to supplies and grounds on one side of a job."""

    def __init__(self, situation: Situation, side: Equipment, parts: Collection[Part]) -> None:
        self._situation, self._side = situation, side
        self._parts = {part.id: part for part in parts}
        notes = situation.project.electric_notes
        self.supplies: Mapping[Node, SupplyNote] = {
            side.node(note.pin): note for note in notes if isinstance(note, SupplyNote)
        }
        self.fuses: Mapping[str, FuseNote] = {
            note.part: note for note in notes if isinstance(note, FuseNote)
        }
        self._sources: dict[Node, frozenset[Node]] = {}
        self._carried: dict[Ends, tuple[Carried, ...]] = {}
        self._grounded: dict[Node, tuple[Stretch, ...] | None] = {}
        self._ways: dict[Node, tuple[Stretch, ...] | None] = {}
        self.loads: tuple[LoadNote, ...] = tuple(n for n in notes if isinstance(n, LoadNote))

    @cached_property
    def _passing(self) -> Mapping[Node, tuple[Node, ...]]:
        found: dict[Node, list[Node]] = {}
        for part in self._parts.values():
            for way in part.ways:
                if way.relation == "passes":
                    a, b = (
                        PinKey(part=part.id, connector=p.connector, half=p.half, pin=p.pin)
                        for p in way.pins
                    )
                    found.setdefault(a, []).append(b)
                    found.setdefault(b, []).append(a)
        return {node: tuple(others) for node, others in found.items()}

    def _steps(self, node: Node, without: Ends | None) -> Iterator[Stretch]:
        for other in sorted(self._side.neighbours(node), key=node_order):
            if without is None or ends_of(node, other) != without:
                yield Stretch(other, None)
        for other in self._passing.get(node, ()):
            yield Stretch(other, other.part if isinstance(other, PinKey) else None)

    def way(
        self, start: Node, goals: Collection[Node], without: Ends | None = None
    ) -> tuple[Stretch, ...] | None:
        """Return the shortest way from a node to the nearest of some, the start left out; None for none."""
        came: dict[Node, tuple[Node, Stretch] | None] = {start: None}
        rest = deque([start])
        while rest:
            node = rest.popleft()
            if node in goals:
                return tuple(self._back(came, node))
            for step in self._steps(node, without):
                if step.node not in came:
                    came[step.node] = (node, step)
                    rest.append(step.node)
        return None

    @staticmethod
    def _back(came: Mapping[Node, tuple[Node, Stretch] | None], end: Node) -> tuple[Stretch, ...]:
        steps: list[Stretch] = []
        at = came[end]
        while at is not None:
            steps.append(at[1])
            at = came[at[0]]
        return tuple(reversed(steps))

    def sources_for(self, start: Node) -> frozenset[Node]:
        """Return what may feed a node: noted supplies, else drawn ones, else the pins of other modules."""
        if start not in self._sources:
            self._sources[start] = self._found_sources(start)
        return self._sources[start]

    def _found_sources(self, start: Node) -> frozenset[Node]:
        own = start.part if isinstance(start, PinKey) else start
        modules = self._module_pins - self._pins_of_part.get(own, frozenset())
        for goals in (frozenset(self.supplies), self._drawn, modules):
            if goals and self.way(start, goals) is not None:
                return goals
        return frozenset()

    @cached_property
    def _module_pins(self) -> frozenset[Node]:
        return frozenset(pin for pin in self._side.pins if self._kind(pin) == "module")

    @cached_property
    def _pins_of_part(self) -> Mapping[str, frozenset[Node]]:
        found: dict[str, set[Node]] = {}
        for pin in self._side.pins:
            found.setdefault(pin.part, set()).add(pin)
        return {part: frozenset(pins) for part, pins in found.items()}

    @cached_property
    def _drawn(self) -> frozenset[Node]:
        """The pins of batteries and supplies, without those of their minus."""
        own = (pin for pin in self._side.pins if self._kind(pin) in _SUPPLIES)
        return frozenset(pin for pin in own if pin.pin.casefold() not in _MINUS)

    def _kind(self, pin: PinKey) -> str:
        return self._side.part_kinds.get(pin.part, "")

    @cached_property
    def grounds(self) -> frozenset[Node]:
        """The ground points, and the minus of noted supplies."""
        points: set[Node] = {hub for hub, kind in self._side.hubs.items() if kind == "ground point"}
        backs = {
            self._side.node(note.back) for note in self.supplies.values() if note.back is not None
        }
        return frozenset(points | backs)

    def carried(self, lead: Ends) -> tuple[Carried, ...]:
        """Return the loads that a lead carries, out or back; none where none is noted behind it."""
        if lead not in self._carried:
            self._carried[lead] = self._found_carried(lead)
        return self._carried[lead]

    def _found_carried(self, lead: Ends) -> tuple[Carried, ...]:
        found: list[Carried] = []
        for note in self.loads:
            pin = self._side.node(note.pin)
            goals = self.sources_for(pin)
            if self._needs(pin, goals, lead):
                found.append(Carried(note, is_return=False))
            elif note.back is not None and self._needs(
                self._side.node(note.back), self.grounds, lead
            ):
                found.append(Carried(note, is_return=True))
        return tuple(found)

    def _needs(self, start: Node, goals: frozenset[Node], lead: Ends) -> bool:
        """Does a node reach its goals over that lead alone?"""
        if not goals or start in goals:
            return False
        is_out = goals is not self.grounds
        full = self.way_to_supply(start) if is_out else self._way_to_ground(start)
        if full is None or not self._runs_over(start, full, lead):
            return False
        return self.way(start, goals, without=lead) is None

    def _way_to_ground(self, start: Node) -> tuple[Stretch, ...] | None:
        if start not in self._grounded:
            self._grounded[start] = self.way(start, self.grounds)
        return self._grounded[start]

    @staticmethod
    def _runs_over(start: Node, way: tuple[Stretch, ...], lead: Ends) -> bool:
        nodes = [start, *(step.node for step in way)]
        return any(ends_of(a, b) == lead for a, b in pairwise(nodes))

    def way_to_supply(self, start: Node) -> tuple[Stretch, ...] | None:
        """Return the way from a node to what feeds it; None where nothing is known to."""
        if start not in self._ways:
            goals = self.sources_for(start)
            self._ways[start] = self.way(start, goals) if goals else None
        return self._ways[start]

    def supply_of(self, start: Node) -> SupplyNote | None:
        """Return the noted supply that feeds a node; None where none is."""
        way = self.way_to_supply(start)
        if way is None:
            return None
        end = way[-1].node if way else start
        return self.supplies.get(end)

    def fuse_before(self, start: Node, lead: Ends | None = None) -> str | None:
        """Return the part that is the first fuse on the way from a node to its supply, behind a lead.

        The way is that of the node; with `lead`, only what lies beyond it counts.
        """
        way = self.way_to_supply(start)
        if way is None:
            return None
        is_beyond, at = lead is None, start
        for step in way:
            if step.part is not None and is_beyond and self._is_fuse(step.part):
                return step.part
            if lead is not None and ends_of(at, step.node) == lead:
                is_beyond = True
            at = step.node
        return None

    def _is_fuse(self, part: str) -> bool:
        return part in self.fuses or self._side.part_kinds.get(part) == "fuse"

    def loads_through(self, part: str) -> tuple[LoadNote, ...]:
        """Return the loads that are fed through a part: through a fuse, or the contact of a relay."""
        found = []
        for note in self.loads:
            way = self.way_to_supply(self._side.node(note.pin))
            if way is not None and any(step.part == part for step in way):
                found.append(note)
        return tuple(found)

    def is_fed(self, node: Node) -> bool:
        """Does a node reach a noted or drawn supply over what is joined or passes?"""
        goals = self._drawn.union(self.supplies)
        return self.way(node, self.grounds) is None and self.way(node, goals) is not None


def load_figure(carried: Collection[Carried], text_of: Mapping[str, str]) -> Figure:
    """Return the sum of what is carried, in A; zero for nothing."""
    parts = tuple(
        given(f"load at {text_of.get(one.note.id, one.note.id)}", one.note.current_a, "A")
        for one in carried
    )
    return Figure("load", sum(part.value for part in parts), "A", "sum of the loads", parts)


def target_feeds(situation: Situation) -> Feeds:
    """Return the ways of the target."""
    view = situation.job.target
    return Feeds(situation, situation.target, view.netlist.project.parts)


def vehicle_feeds(situation: Situation) -> Feeds:
    """Return the ways of the vehicle as it is."""
    view = situation.job.vehicle
    return Feeds(situation, situation.vehicle, view.netlist.project.parts)
