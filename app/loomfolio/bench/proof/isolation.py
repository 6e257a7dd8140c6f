"""Isolation: that a touched net meets none of its neighbours, no ground and no supply, every pair of them proved.

A reading holds one net against several others that are clipped together: open, it proves every pair of
the one with each of the others. Grounds and supplies stay clipped all the time, so that one reading for
each net is the least that can be, and no pair needs one of its own; what lies beside it is added as clips.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from loomfolio.bench.proof.building import HIGH_VOLTAGE, Points
from loomfolio.bench.proof.continuity import KEY_OUT, SUPPLY_OFF
from loomfolio.bench.proof.limits import isolation_limit
from loomfolio.bench.proof.metal import Metal, MetalNet, node_key
from loomfolio.bench.proof.records import Conditions, Probe, ProofTest
from loomfolio.project import Face, HalfKey, PinKey, Project, natural_order
from loomfolio.retrofit import Node

MOST_CLIPS = 8
"""More points than this are not clipped together at once; a reading more is taken instead."""
OPEN_METER = "ohm, highest range; leads not touched by hand"

Pair = tuple[str, str]
"""Two nets by their keys, in order."""


def pair_of(a: str, b: str) -> Pair:
    """Return two nets in their fixed order."""
    return (a, b) if a <= b else (b, a)


@dataclass(frozen=True, slots=True)
class Opposite:
    """A net, ground or supply that a touched net has to be proved against, with the point to clip to."""

    key: str
    probe: Probe
    is_rail: bool


def cavities_beside(face: Face | None, pin: str, pins: Iterable[str]) -> frozenset[str]:
    """Return the cavities beside one: above, below, beside and across on the face.

    Where no face is known, those that come before and after it as one counts.
    """
    if face is not None and any(pin in row for row in face.rows):
        at = {name: (y, x) for y, row in enumerate(face.rows) for x, name in enumerate(row) if name}
        y, x = at[pin]
        return frozenset(
            name
            for name, (row, column) in at.items()
            if name != pin and abs(row - y) <= 1 and abs(column - x) <= 1
        )
    in_order = sorted({pin, *pins}, key=natural_order)
    place = in_order.index(pin)
    return frozenset(in_order[max(place - 1, 0) : place] + in_order[place + 1 : place + 2])


class Surroundings:
    """What lies beside the nets of a vehicle: neighbours in the housings, grounds, supplies."""

    def __init__(self, project: Project, metal: Metal, points: Points) -> None:
        self._metal = metal
        self._points = points
        self._faces = {
            HalfKey(part=part.id, connector=connector.name, half=half.name): half.face
            for part in project.parts
            for connector in part.connectors
            for half in connector.halves
        }
        self._references = {part.id: part.reference for part in project.parts}
        self._net_of: dict[Node, MetalNet] = {}
        self._pins_in: dict[HalfKey, list[str]] = {}
        for net in metal.nets:
            for node in net.nodes:
                if isinstance(node, PinKey):
                    self._net_of[node] = net
                    self._pins_in.setdefault(node.half_key, []).append(node.pin)

    def opposites(self, net: MetalNet) -> dict[str, Opposite]:
        """Return what a net has to be proved against, by key; not itself, nor what it is joined to."""
        found = self.rails_against(net)
        for node in net.touched_nodes:
            if not isinstance(node, PinKey):
                continue
            half = node.half_key
            beside = cavities_beside(self._faces.get(half), node.pin, self._pins_in.get(half, ()))
            for pin in sorted(beside, key=natural_order):
                other = self._net_of.get(half.pin(pin))
                probe = None if other is None else self._points.at(half.pin(pin))
                if other is not None and probe is not None and self._are_strange(net, other):
                    found.setdefault(other.key, Opposite(other.key, probe, is_rail=False))
        return found

    def _are_strange(self, net: MetalNet, other: MetalNet) -> bool:
        """Two nets that the finished vehicle does not join, and of which none is high voltage."""
        if other.key == net.key or HIGH_VOLTAGE in other.classes:
            return False
        return self._grounds(net).isdisjoint(self._grounds(other))

    def _grounds(self, net: MetalNet) -> set[str]:
        """The references that a net is joined to; a ground point without one is a reference by itself."""
        return {
            self._references.get(node) or node
            for node in net.nodes
            if isinstance(node, str) and self._metal.stops(node)
        }

    def rails_against(self, net: MetalNet) -> dict[str, Opposite]:
        """Return one point for each reference and each supply that a net must not meet."""
        found: dict[str, Opposite] = {}
        own = self._grounds(net)
        for node in dict.fromkeys(n for one in self._metal.nets for n in one.nodes):
            if isinstance(node, str) and self._metal.stops(node):
                reference = self._references.get(node) or node
                probe = self._points.at(node)
                if reference not in own and probe is not None:
                    found.setdefault(
                        f"ground {reference}", Opposite(f"ground {reference}", probe, is_rail=True)
                    )
        for other in self._metal.nets:
            feed = _feed_of(other, self._metal)
            is_ground = any(self._metal.stops(n) for n in other.nodes)
            if feed is not None and not is_ground and self._are_strange(net, other):
                probe = self._points.at(feed)
                if probe is not None:
                    found.setdefault(other.key, Opposite(other.key, probe, is_rail=True))
        return found


def _feed_of(net: MetalNet, metal: Metal) -> Node | None:
    """Where a supply is clipped to: at its terminal, or at one of the fuses that one bar feeds; else None."""
    named = [node for node in net.nodes if metal.kind(node) in {"supply", "battery"}]
    fuses = [node for node in net.nodes if metal.kind(node) == "fuse"]
    return next(iter(named or (fuses if len(fuses) > 1 else [])), None)


def required_pairs(opposites: Mapping[str, Mapping[str, Opposite]]) -> frozenset[Pair]:
    """Return every pair that a plan has to prove."""
    return frozenset(pair_of(net, other) for net, own in opposites.items() for other in own)


def isolation_tests(
    nets: Iterable[MetalNet], surroundings: Surroundings, points: Points
) -> tuple[ProofTest, ...]:
    """Return the readings that prove every pair: one for each touched net, more where the clips would be too many."""
    touched = [net for net in nets if net.is_touched and HIGH_VOLTAGE not in net.classes]
    proved: set[Pair] = set()
    tests: list[ProofTest] = []
    for net in touched:
        probe = _probe(net, points)
        own = surroundings.opposites(net)
        open_ones = [one for one in own.values() if pair_of(net.key, one.key) not in proved]
        if probe is None or not open_ones:
            continue
        proved.update(pair_of(net.key, one.key) for one in open_ones)
        in_order = sorted(open_ones, key=lambda one: not one.is_rail)
        for number, some in enumerate(_clipped(in_order)):
            tests.append(_test(net, probe, some, points, number))
    return tuple(tests)


def _probe(net: MetalNet, points: Points) -> Probe | None:
    touched = [probe for node in net.touched_nodes if (probe := points.at(node)) is not None]
    easy = [probe for probe in touched if points.reach(probe.node) == 0 and probe.cavity]
    return next(iter(easy or touched), None)


def _clipped(opposites: Sequence[Opposite]) -> list[Sequence[Opposite]]:
    return [opposites[first : first + MOST_CLIPS] for first in range(0, len(opposites), MOST_CLIPS)]


def _test(
    net: MetalNet, probe: Probe, against: Sequence[Opposite], points: Points, number: int
) -> ProofTest:
    unplugged, taken_out = points.separated(net.nodes)
    others = ", ".join(one.probe.text for one in against)
    part = f" part {number + 1}" if number else ""
    return ProofTest(
        key=f"isolation {node_key(probe.node)}{part}",
        stage="isolation",
        title=f"{probe.text}{', ' + net.name if net.name else ''} against {others}",
        conditions=Conditions(
            unplugged=unplugged,
            taken_out=taken_out,
            supply=SUPPLY_OFF,
            key=KEY_OUT,
            meter=OPEN_METER,
            note=""
            if len(against) == 1
            else "Hold the points after “against” together with clips.",
        ),
        limit=isolation_limit(),
        a=probe,
        b=tuple(one.probe for one in against),
        proves=tuple(pair_of(net.key, one.key) for one in against),
    )
