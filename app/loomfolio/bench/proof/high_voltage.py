"""Insulation and bonding of what lies at high voltage, for people trained for it only.

The figures are those of UN ECE R100 (with ISO 6469-3): 100 ohm per volt of a DC bus, 500 ohm per volt
where an AC part hangs on it, 0.1 ohm from a housing to the chassis at 0.2 A or more.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from loomfolio.bench.proof.building import HIGH_VOLTAGE, Points
from loomfolio.bench.proof.limits import limit_value
from loomfolio.bench.proof.loops import QUALIFIED
from loomfolio.bench.proof.metal import Metal, MetalNet, node_key
from loomfolio.bench.proof.records import Conditions, Limit, ProofTest
from loomfolio.electrics import Figure, given
from loomfolio.retrofit import Node

TRACTION_MINUS = "traction minus"
UNPLUGGED_FIRST = (
    "Electronics and the battery's own monitor unplugged; only at points that the maker allows."
)
_HIGHER_TESTER_ABOVE_V = 500.0


def high_voltage_tests(
    metal: Metal, points: Points, *, working_v: float | None, has_ac: bool = True
) -> tuple[ProofTest, ...]:
    """Return the readings at the high-voltage nets that the work touches; without a voltage only what needs none.

    `has_ac` says that an AC part may hang on the bus, which asks for five times as much.
    """
    nets = [
        net
        for net in metal.nets
        if net.is_touched and not {HIGH_VOLTAGE, TRACTION_MINUS}.isdisjoint(net.classes)
    ]
    chassis = next((node for node in _grounds(metal) if points.at(node) is not None), None)
    if chassis is None:
        return ()
    insulation = (
        () if working_v is None else _insulation(nets, chassis, points, working_v, has_ac=has_ac)
    )
    return (*insulation, *_bonding(metal, nets, chassis, points))


def _grounds(metal: Metal) -> Iterator[Node]:
    for net in metal.nets:
        yield from (node for node in net.nodes if metal.stops(node))


def _insulation(
    nets: Iterable[MetalNet], chassis: Node, points: Points, working_v: float, *, has_ac: bool
) -> Iterator[ProofTest]:
    item = "isolation of an AC or combined bus" if has_ac else "isolation of a DC bus"
    per_volt = limit_value(item)
    tester = limit_value(
        "test voltage above 500 V"
        if working_v > _HIGHER_TESTER_ABOVE_V
        else "test voltage up to 500 V"
    )
    volts = given("working voltage", working_v, "V")
    low = Figure(
        "least insulation",
        per_volt.value * working_v,
        "ohm",
        "ohm per volt · volt",
        (per_volt, volts),
    )
    for net in nets:
        probe = next((p for node in net.nodes if (p := points.at(node)) is not None), None)
        ground = points.at(chassis)
        if probe is None or ground is None:
            continue
        yield ProofTest(
            key=f"insulation {node_key(probe.node)}",
            stage="high voltage",
            title=f"Insulation of {probe.text} to the chassis at {ground.text}",
            conditions=Conditions(
                supply="Proved dead: meter, circuit, meter; 12 V off; service disconnect out",
                key="out, kept by the worker",
                meter=f"insulation tester, {tester.value:g} V DC",
                note=f"{QUALIFIED} {UNPLUGGED_FIRST}",
            ),
            limit=Limit(unit="ohm", low=low, doubt_low=low.value),
            a=probe,
            b=(ground,),
            by_qualified_only=True,
        )


def _bonding(
    metal: Metal, nets: Iterable[MetalNet], chassis: Node, points: Points
) -> Iterator[ProofTest]:
    """The housing of each new part at high voltage against the chassis."""
    parts = {
        node.part
        for net in nets
        for node in net.touched_nodes
        if not isinstance(node, str) and metal.kind(node) != "in-line connector"
    }
    high, current = limit_value("bonding to the chassis"), limit_value("bonding current")
    ground = points.at(chassis)
    for part in sorted(parts, key=lambda part: metal.names[part]):
        yield ProofTest(
            key=f"bonding {part}",
            stage="high voltage",
            title=f"Housing of {metal.names[part]} to the chassis"
            + (f" at {ground.text}" if ground else ""),
            conditions=Conditions(
                supply="Proved dead: meter, circuit, meter; 12 V off; service disconnect out",
                meter=f"four leads, at least {current.value:g} A, to 0.01 ohm",
                note=QUALIFIED,
            ),
            limit=Limit(unit="ohm", high=high, doubt_high=high.value),
            b=(ground,) if ground else (),
            by_qualified_only=True,
        )
