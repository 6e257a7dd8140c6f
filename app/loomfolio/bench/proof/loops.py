"""Interlock loops, connector by connector: closed as a whole, opened by each connector that belongs to it.

A loop is a chain of nets and of contacts that pass inside parts. It is found from its label, or from
the class of its nets. The meter stays at the loop's two ends; only connectors are unplugged and plugged.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from loomfolio.bench.proof.building import STAY_MATED, Points
from loomfolio.bench.proof.limits import isolation_limit, limit_value
from loomfolio.bench.proof.metal import Metal, MetalNet, node_key
from loomfolio.bench.proof.records import Conditions, Limit, Probe, ProofTest
from loomfolio.project import InnerWay, Part, PinKey, Project
from loomfolio.retrofit import Node

INTERLOCK = "interlock"
QUALIFIED = (
    "Only by people trained for high voltage, after the vehicle was proved dead and 12 V is off."
)


@dataclass(frozen=True, slots=True)
class LoopStep:
    """One step along a loop: over metal, or through a contact inside a part."""

    a: PinKey
    b: PinKey
    part: str | None
    """The part through whose contact it goes; None over metal."""


@dataclass(frozen=True, slots=True)
class Loop:
    """An interlock loop from its first pin to its last, in the order walked."""

    steps: tuple[LoopStep, ...]
    nets: tuple[MetalNet, ...]

    @property
    def ends(self) -> tuple[PinKey, PinKey]:
        """Where the loop is measured: its first pin and its last."""
        return self.steps[0].a, self.steps[-1].b

    @property
    def key(self) -> str:
        """The loop by its ends."""
        return " ".join(sorted(map(node_key, self.ends)))


def loops_of(project: Project, metal: Metal) -> tuple[Loop, ...]:
    """Return the interlock loops of a vehicle, those alone that are one chain; none where there are none.

    Nets are taken where they are of the class, or where a contact of that label ends at them.
    """
    contacts = list(_contacts(project, metal))
    named = {pin for _, a, b in contacts for pin in (a, b)}
    nets = [
        net for net in metal.nets if INTERLOCK in net.classes or not named.isdisjoint(net.nodes)
    ]
    found: list[Loop] = []
    used: set[str] = set()
    for net in nets:
        if net.key not in used:
            chain = _chain(net, nets, contacts)
            used.update(one.key for one in chain.nets) if chain else used.add(net.key)
            found += [chain] if chain else []
    return tuple(found)


_Contact = tuple[str, PinKey, PinKey]


def _contacts(project: Project, metal: Metal) -> Iterable[_Contact]:
    of_class = {node for node, classes in metal.classes.items() if INTERLOCK in classes}
    for part in project.parts:
        for way in part.ways:
            if way.relation == "passes" and _is_interlock(part, way, of_class):
                a, b = (PinKey(part=part.id, **pin.model_dump()) for pin in way.pins)
                yield part.id, a, b


def _is_interlock(part: Part, way: InnerWay, of_class: Collection[Node]) -> bool:
    pins = [PinKey(part=part.id, **pin.model_dump()) for pin in way.pins]
    return INTERLOCK in way.label.casefold() or all(pin in of_class for pin in pins)


def _chain(first: MetalNet, nets: Iterable[MetalNet], contacts: Iterable[_Contact]) -> Loop | None:
    """Walk from one end of the chain that a net lies in to the other; None where it branches or is no chain."""
    by_pin = {pin: net for net in nets for pin in net.nodes if isinstance(pin, PinKey)}
    beyond: dict[str, list[_Contact]] = {}
    for part, a, b in contacts:
        if a in by_pin and b in by_pin:
            beyond.setdefault(by_pin[a].key, []).append((part, a, b))
            beyond.setdefault(by_pin[b].key, []).append((part, b, a))
    if any(len(own) > 2 for own in beyond.values()):
        return None
    start, came = first, ""
    seen = {first.key}
    while on := [c for c in beyond.get(start.key, ()) if by_pin[c[2]].key not in {came, *seen}]:
        came, start = start.key, by_pin[on[0][2]]
        seen.add(start.key)
    walked = [start]
    steps: list[LoopStep] = []
    at: PinKey | None = None
    while True:
        own = walked[-1]
        on = [c for c in beyond.get(own.key, ()) if by_pin[c[2]] not in walked]
        here = at or _free_end(own, [c[1] for c in beyond.get(own.key, ())])
        leave = on[0][1] if on else _free_end(own, [c[1] for c in beyond.get(own.key, ())])
        if here is None or leave is None or here == leave:
            return None
        steps.append(LoopStep(here, leave, None))
        if not on:
            return Loop(tuple(steps), tuple(walked))
        part, a, b = on[0]
        steps.append(LoopStep(a, b, part))
        walked.append(by_pin[b])
        at = b


def _free_end(net: MetalNet, contacts: Collection[PinKey]) -> PinKey | None:
    """The pin at which a loop is entered from outside: the one end of the net that is no contact of the loop."""
    at_ends = {node for node in net.nodes if sum(node in p.ends for p in net.pieces) == 1}
    own = [node for node in net.nodes if isinstance(node, PinKey) and node in at_ends]
    free = [pin for pin in own if pin not in contacts]
    return free[0] if free else None


def loop_tests(metal: Metal, loops: Iterable[Loop], points: Points) -> tuple[ProofTest, ...]:
    """Return for each loop: closed, then open with each of its connectors unplugged, one after the other."""
    tests: list[ProofTest] = []
    for loop in loops:
        a, b = (points.at(end) for end in loop.ends)
        if a is None or b is None:
            continue
        whole = _closed(loop, a, b, metal, points)
        tests.append(whole)
        tests.extend(
            _opened(loop, a, b, half, whole, points) for half in _halves(loop, metal, points)
        )
    return tuple(tests)


def _halves(loop: Loop, metal: Metal, points: Points) -> tuple[str, ...]:
    """The connectors that a loop runs through, in its order, without those of its two ends."""
    ends = {_plug(end, metal, points) for end in loop.ends}
    found: dict[str, None] = {}
    for step in loop.steps:
        if step.part is not None:
            found.setdefault(_plug(step.a, metal, points))
            continue
        net = next(net for net in loop.nets if step.a in net.nodes)
        for piece in net.way(step.a, step.b):
            for node in piece.ends:
                if metal.kind(node) in STAY_MATED:
                    found.setdefault(_plug(node, metal, points))
    return tuple(half for half in found if half not in ends)


def _plug(node: Node, metal: Metal, points: Points) -> str:
    """The name of what is unplugged: an in-line pair is one, whichever of its halves one thinks of."""
    if metal.kind(node) in STAY_MATED and not isinstance(node, str):
        return metal.names[node.part]
    return points.half(node)


def _conditions(loop: Loop, points: Points, note: str) -> Conditions:
    unplugged, taken_out = points.separated(loop.ends)
    return Conditions(
        unplugged=unplugged,
        taken_out=taken_out,
        supply="12 V minus off and kept off; service disconnect out",
        key="out",
        meter="ohm, lowest range; leads nulled",
        note=f"{note} {QUALIFIED}",
    )


def _closed(loop: Loop, a: Probe, b: Probe, metal: Metal, points: Points) -> ProofTest:
    high = limit_value("interlock loop closed")
    names = ", ".join(_halves(loop, metal, points))
    return ProofTest(
        key=f"loop {loop.key}",
        stage="loops",
        title=f"Interlock loop closed, {a.text} to {b.text}",
        conditions=_conditions(loop, points, f"All connectors of the loop plugged: {names}."),
        limit=Limit(unit="ohm", high=high, doubt_high=high.value * 2),
        a=a,
        b=(b,),
        by_qualified_only=True,
    )


def _opened(
    loop: Loop, a: Probe, b: Probe, half: str, whole: ProofTest, points: Points
) -> ProofTest:
    limit = isolation_limit()
    return ProofTest(
        key=f"{whole.key} without {half}",
        stage="loops",
        title=f"Interlock loop opens at {half}",
        conditions=_conditions(
            loop, points, f"Unplug {half} alone, read, plug it in again and see the loop close."
        ),
        limit=limit,
        a=a,
        b=(b,),
        by_qualified_only=True,
        after=(whole.key,),
    )
