"""The ends of a bus pair: what the two leads read against each other with the power off (ISO 11898-2)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from loomfolio.bench.proof.building import Points
from loomfolio.bench.proof.limits import limit_value
from loomfolio.bench.proof.metal import Metal, MetalNet, node_key
from loomfolio.bench.proof.records import Conditions, Limit, ProofTest
from loomfolio.electrics import Figure, given, pair_resistance
from loomfolio.project import CableGroup, PinKey, Project

BUS = "bus"
_OHMS = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:ohm|Ω)", re.IGNORECASE)
_ENDS = re.compile(r"terminat", re.IGNORECASE)
_STANDARD_OHM = 120.0


def bus_tests(project: Project, metal: Metal, points: Points) -> tuple[ProofTest, ...]:
    """Return one reading for each bus pair that the work touches; none where it touches none."""
    return tuple(
        test for group in project.groups for test in _of_group(project, group, metal, points)
    )


def _of_group(
    project: Project, group: CableGroup, metal: Metal, points: Points
) -> Iterator[ProofTest]:
    if group.kind not in {"pair", "twist"} or len(group.pins) != 2:
        return
    nets = [_net_of(metal, ends) for ends in group.pins]
    if nets[0] is None or nets[1] is None or nets[0] is nets[1]:
        return
    high, low = nets[0], nets[1]
    ends = _terminators(project, high, low)
    is_bus = BUS in high.classes or bool(ends) or "can" in group.name.casefold().split()
    if not is_bus or not (high.is_touched or low.is_touched):
        return
    at = _where(high, low, project, points)
    if at is None:
        return
    a, b = (points.at(pin) for pin in at)
    if a is None or b is None:
        return
    # a module with an end in it stays plugged, or the end would be missing from the reading
    stays = at[0].part in ends
    if stays:
        a, b = (
            replace(probe, how="back-probed from the wire side, left plugged") for probe in (a, b)
        )
    expected, said = _expected(ends)
    yield ProofTest(
        key=f"bus {node_key(at[0])} {node_key(at[1])}",
        stage="bus ends",
        title=f"Ends of {group.name}: {a.text} to {b.text}",
        conditions=Conditions(
            supply="12 V minus off; wait until every module sleeps",
            key="out",
            unplugged=() if stays else (a.place,),
            meter="ohm, 200 ohm range; leads nulled",
            note=f"All {'' if stays else 'other '}modules of the pair plugged. {said}",
        ),
        limit=_limit(expected),
        a=a,
        b=(b,),
    )


def _limit(expected: Figure) -> Limit:
    """The usual service limits of two ends, in proportion for another count of them."""
    low, high = limit_value("bus of two ends at least"), limit_value("bus of two ends at most")
    return Limit(
        unit="ohm",
        low=Figure(
            "least", expected.value * low.value / 60, "ohm", "ends · 55/60", (expected, low)
        ),
        high=Figure(
            "greatest", expected.value * high.value / 60, "ohm", "ends · 65/60", (expected, high)
        ),
        doubt_low=expected.value * 0.85,
        doubt_high=expected.value * 1.2,
    )


def _net_of(metal: Metal, ends: tuple[PinKey, PinKey]) -> MetalNet | None:
    return next((net for net in metal.nets if any(end in net.nodes for end in ends)), None)


def _terminators(project: Project, high: MetalNet, low: MetalNet) -> dict[str, float]:
    """The ohms of each end that the documents draw between the two nets, by the id of its part."""
    found: dict[str, float] = {}
    for part in project.parts:
        for way in part.ways:
            if way.relation != "loads" or not _ENDS.search(way.label):
                continue
            a, b = (PinKey(part=part.id, **pin.model_dump()) for pin in way.pins)
            if (a in high.nodes and b in low.nodes) or (b in high.nodes and a in low.nodes):
                ohms = _OHMS.search(way.label)
                found[part.id] = float(ohms[1].replace(",", ".")) if ohms else _STANDARD_OHM
    return found


def _expected(ends: dict[str, float]) -> tuple[Figure, str]:
    if ends:
        count = "One end is" if len(ends) == 1 else f"{len(ends)} ends are"
        return pair_resistance(tuple(ends.values())), f"{count} in the circuit, as drawn."
    two = given("each of two ends", _STANDARD_OHM, "ohm")
    figure = Figure("the pair", _STANDARD_OHM / 2, "ohm", "two ends in parallel", (two,))
    return figure, "No end is drawn: one at each end of the bus is taken for granted."


def _where(
    high: MetalNet, low: MetalNet, project: Project, points: Points
) -> tuple[PinKey, PinKey] | None:
    """The plug of a module without an end in it, where both leads are: pulled, it leaves the ends as they are."""
    ends = _terminators(project, high, low)
    for pin in high.nodes:
        if not isinstance(pin, PinKey) or pin.part in ends or points.reach(pin):
            continue
        for other in low.nodes:
            if isinstance(other, PinKey) and other.half_key == pin.half_key:
                return pin, other
    for pin in high.nodes:
        for other in low.nodes:
            if (
                isinstance(pin, PinKey)
                and isinstance(other, PinKey)
                and pin.half_key == other.half_key
            ):
                return pin, other
    return None
