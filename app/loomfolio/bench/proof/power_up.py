"""Power in stages: first through a lamp in place of the fuse, then the fuse; and drops under load.

A lamp in place of a fuse glows where too much flows, and nothing burns. An ohm test passes on a single
strand; a lead that has to carry power is therefore read for its drop while it does.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

from loomfolio.bench.proof.building import HIGH_VOLTAGE, Points
from loomfolio.bench.proof.limits import drop_limit_of, general_drop_limit, limit_value
from loomfolio.bench.proof.metal import Metal, MetalNet, MetalPiece, node_key
from loomfolio.bench.proof.records import Conditions, Limit, Probe, ProofTest
from loomfolio.electrics import Figure, given
from loomfolio.project import PartKind, PinKey
from loomfolio.retrofit import Node

BUS_LIKE = frozenset(
    {"bus", "interlock", "sensor ground", "screened", HIGH_VOLTAGE, "traction minus"}
)
"""Classes whose leads carry no power, or none that may be loaded at the bench."""
_SOURCES: tuple[PartKind, ...] = (
    "fuse",
    "battery",
    "supply",
    "ground point",
    "relay",
    "module",
)
"""From which end a drop is read: the one that the power comes from, or goes back to."""
_LOADED_BY_LAMP: frozenset[PartKind] = frozenset(
    {"fuse", "battery", "supply", "ground point", "relay"}
)
LEAST_RATING_FOR_LOAD_A = 7.5
"""A fuse below this is loaded with the smaller lamp."""
POWER_AREA_MM2 = 1.5
"""From this area on a lead is taken to carry power; common practice, no source."""
SUPPLY_V = 12.0


def power_up_tests(
    metal: Metal, *, new_parts: Collection[str] = (), ratings: Mapping[str, float] | None = None
) -> tuple[ProofTest, ...]:
    """Return the stages of the first power: supply alone, then each new feed through a lamp, then its fuse.

    `new_parts` are parts that the work brings in: what feeds them is a new feed too. `ratings` are those of
    fuses by their part's id; without one it is only seen whether the fuse holds.
    """
    fuses = list(dict.fromkeys(_fuses(metal, new_parts)))
    if not fuses:
        return ()
    first = _supply_alone(metal, fuses)
    tests = [first]
    for fuse in fuses:
        lamp = _through_lamp(metal, fuse, tests[-1].key)
        with_loads = _loads_plugged(metal, fuse, lamp.key)
        tests += [
            lamp,
            with_loads,
            _with_fuse(metal, fuse, with_loads.key, (ratings or {}).get(fuse)),
        ]
    return tuple(tests)


def _fuses(metal: Metal, new_parts: Collection[str]) -> Iterable[str]:
    """The fuses at a lead that the work touches, or that feed a part which it brings in."""
    for net in metal.nets:
        feeds = any(isinstance(node, PinKey) and node.part in new_parts for node in net.nodes)
        if (net.is_touched or feeds) and not net.classes & {HIGH_VOLTAGE, "traction minus"}:
            fuses = {
                node.part
                for node in net.nodes
                if isinstance(node, PinKey) and metal.kind(node) == "fuse"
            }
            if (
                len(fuses) == 1
            ):  # several share the bar that feeds them: that is no feed of the work
                yield from fuses


def _supply_alone(metal: Metal, fuses: Iterable[str]) -> ProofTest:
    low, high = limit_value("supply at least"), limit_value("supply at most")
    return ProofTest(
        key="power supply alone",
        stage="power up",
        title="12 V back with the new fuses out: battery voltage",
        conditions=Conditions(
            taken_out=tuple(metal.names[fuse] for fuse in fuses),
            supply="on",
            key="out",
            meter="V DC, 20 V range",
            note="Continuity, isolation and loops have passed. A person stands at the battery minus.",
        ),
        limit=Limit(unit="V", low=low, high=high, doubt_low=low.value - 0.6, doubt_high=high.value),
    )


def _through_lamp(metal: Metal, fuse: str, after: str) -> ProofTest:
    watt = limit_value("test lamp")
    return ProofTest(
        key=f"power lamp {fuse}",
        stage="power up",
        title=f"{metal.names[fuse]}: a lamp in place of the fuse, loads unplugged",
        conditions=Conditions(
            taken_out=(metal.names[fuse],),
            unplugged=_loads(metal, fuse),
            supply=f"through a {watt.value:g} W lamp in the clips of {metal.names[fuse]}, or a supply limited to 2 A",
            key="out, then on",
        ),
        limit=Limit(passes="dark", fails="glows"),
        after=(after,),
    )


def _loads_plugged(metal: Metal, fuse: str, after: str) -> ProofTest:
    return ProofTest(
        key=f"power loads {fuse}",
        stage="power up",
        title=f"{metal.names[fuse]}: lamp still in place, plug the loads one after the other",
        conditions=Conditions(
            supply=f"through the lamp in the clips of {metal.names[fuse]}",
            key="out, then on",
            note=f"Plug {', '.join(_loads(metal, fuse)) or 'nothing more'}, one at a time. Nothing is switched on.",
        ),
        limit=Limit(passes="dark or dim", fails="bright"),
        after=(after,),
    )


def _with_fuse(metal: Metal, fuse: str, after: str, rating_a: float | None) -> ProofTest:
    name = metal.names[fuse]
    rating = f"{rating_a:g} A" if rating_a else "of the planned rating"
    conditions = Conditions(
        supply=f"fuse {rating} in {name}",
        key="on, its loads on",
        meter="clamp meter, A DC" if rating_a else "",
    )
    limit = Limit(passes="holds", fails="blows")
    if rating_a:
        share = Figure(
            "share of the rating for ever", 0.75, "ratio", source=limit_value("test lamp").source
        )
        high = Figure(
            "greatest current",
            rating_a * 0.75,
            "A",
            "rating · share",
            (given("rating", rating_a, "A"), share),
        )
        limit = Limit(unit="A", high=high, doubt_high=rating_a)
    return ProofTest(
        key=f"power fuse {fuse}",
        stage="power up",
        title=f"{name}: the fuse in, loads on" + (", current" if rating_a else ""),
        conditions=conditions,
        limit=limit,
        after=(after,),
    )


def _loads(metal: Metal, fuse: str) -> tuple[str, ...]:
    """The parts behind a fuse that have to be unplugged."""
    found: dict[str, None] = {}
    for net in metal.nets_at(fuse):
        for node in net.nodes:
            kind = metal.kind(node)
            if (
                isinstance(node, PinKey)
                and node.part != fuse
                and kind
                not in {
                    "fuse",
                    "splice",
                    "in-line connector",
                    "joint connector",
                    "battery",
                    "supply",
                    "ground point",
                }
            ):
                found.setdefault(metal.names[node.part])
    return tuple(found)


# ------------------------------------------------------------------------------------ loaded drop


def drop_tests(
    metal: Metal,
    points: Points,
    *,
    coil_pins: Collection[Node] = (),
    ratings: Mapping[str, float] | None = None,
) -> tuple[ProofTest, ...]:
    """Return one reading under load for each touched way that carries power, its ground included.

    A way that is fed from a fuse, a supply, a relay's contact or the ground is loaded with a lamp that its fuse
    holds. What a module feeds is read under its own load only: a lamp could be too much for its driver.
    `coil_pins` are pins of relays that carry no power.
    """
    tests: list[ProofTest] = []
    for net in metal.nets:
        if net.is_touched and net.classes.isdisjoint(BUS_LIKE) and _carries_power(metal, net):
            tests.extend(_of_net(metal, net, points, coil_pins, ratings or {}))
    return tuple(tests)


def _carries_power(metal: Metal, net: MetalNet) -> bool:
    thick = any((piece.area_mm2 or 0) >= POWER_AREA_MM2 for piece in net.pieces if piece.is_touched)
    fed = any(metal.kind(node) in {"fuse", "battery", "supply"} for node in net.nodes)
    return thick or fed


def _of_net(
    metal: Metal,
    net: MetalNet,
    points: Points,
    coil_pins: Collection[Node],
    ratings: Mapping[str, float],
) -> Iterable[ProofTest]:
    reached = [
        node
        for node in net.nodes
        if points.at(node) is not None and points.reach(node) == 0 and node not in coil_pins
    ]
    source = next((n for kind in _SOURCES for n in reached if metal.kind(n) == kind), None)
    touched = [node for node in reached if node in net.touched_nodes and node != source]
    if source is None and len(touched) > 1:
        source = touched.pop(0)
    for a, b in ((source, node) for node in touched):
        if a is None or points.half(a) == points.half(b):
            continue
        near, far = points.at(a), points.at(b)
        way = net.way(a, b)
        if near is not None and far is not None and way:
            limit, load = _under_load(metal, a, far, way, ratings)
            yield _drop_test(net, near, far, limit, load)


def _under_load(
    metal: Metal, source: Node, far: Probe, way: Sequence[MetalPiece], ratings: Mapping[str, float]
) -> tuple[Limit, str]:
    """The limit of a drop, and the load under which it is read."""
    if metal.kind(source) not in _LOADED_BY_LAMP:
        return general_drop_limit(), f"the circuit's own load at {far.text}"
    rating = ratings.get(source.part) if isinstance(source, PinKey) else None
    is_small = rating is not None and rating < LEAST_RATING_FOR_LOAD_A
    load = limit_value("test lamp" if is_small else "load for the drop")
    limit, ampere = drop_limit_of(way, SUPPLY_V, load)
    where = f"from battery plus to {far.text}" if metal.stops(source) else f"at {far.text}"
    return limit, f"{load.value:g} W lamp {where}, about {ampere.value:.1f} A"


def _drop_test(net: MetalNet, near: Probe, far: Probe, limit: Limit, load: str) -> ProofTest:
    return ProofTest(
        key=f"drop {node_key(near.node)} {node_key(far.node)}",
        stage="loaded drop",
        title=f"Drop from {near.text} to {far.text}" + (f", {net.name}" if net.name else ""),
        conditions=Conditions(
            supply=f"on; {load}",
            key="on",
            meter="V DC, 2 V range, both leads on the metal of the lead's ends, not on the clips of the load",
            note="Read while the load is on; wag the lead at both ends.",
        ),
        limit=limit,
        a=near,
        b=(far,),
    )
