"""Continuity: that each net which the work touches is one piece of metal, in as few readings as there can be.

What the work leaves alone hangs together already: of such a piece one point stands for all. A net of g
pieces needs g - 1 readings, the bound of a spanning tree, and with one lead of the meter left where it is
g moves of a probe. Of several points of a piece the one is taken at which nothing more has to be opened.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from itertools import combinations

from loomfolio.bench.proof.building import HIGH_VOLTAGE, Points
from loomfolio.bench.proof.limits import continuity_limit
from loomfolio.bench.proof.metal import MetalNet, node_key
from loomfolio.bench.proof.records import Conditions, Probe, ProofTest

EXACT_COVERS = 12
"""Up to so many covers to choose from, the fewest are found by trying; beyond, the most useful first."""
SUPPLY_OFF = "12 V minus off and kept off"
KEY_OUT = "out, and the vehicle asleep"
OHM_METER = "ohm, lowest range; leads held together and nulled before the first reading"


def probed_pieces(net: MetalNet, points: Points) -> tuple[tuple[Probe, ...], ...]:
    """Return for each piece that has to be reached its points, best reach only; pieces without any are left out."""
    found: list[tuple[Probe, ...]] = []
    for piece in net.pieces_left():
        probes = [(points.reach(n), p) for n in net.nodes if n in piece and (p := points.at(n))]
        best = min((reach for reach, _ in probes), default=0)
        if probes:
            found.append(tuple(probe for reach, probe in probes if reach == best))
    needed = [own for own in found if points.reach(own[0].node) == 0]
    return tuple(needed if len(needed) > 1 else found)


def fewest_covers(choices: Sequence[Collection[str]]) -> frozenset[str]:
    """Return the fewest covers such that each choice holds one of them; ties go to what comes first.

    Choices without a cover are passed over.
    """
    wanted = [frozenset(own) for own in choices if own]
    forced = {next(iter(own)) for own in wanted if len(own) == 1}
    rest = [own for own in wanted if own.isdisjoint(forced)]
    offered = list(dict.fromkeys(cover for own in choices for cover in own))
    useful = [cover for cover in offered if any(cover in own for own in rest)]
    if len(useful) <= EXACT_COVERS:
        for count in range(len(useful) + 1):
            for some in combinations(useful, count):
                if all(not own.isdisjoint(some) for own in rest):
                    return frozenset(forced.union(some))
    while rest:
        count_of = Counter(cover for own in rest for cover in own)
        best = max(useful, key=lambda cover: (count_of[cover], -useful.index(cover)))
        forced.add(best)
        rest = [own for own in rest if best not in own]
    return frozenset(forced)


def continuity_tests(nets: Iterable[MetalNet], points: Points) -> tuple[ProofTest, ...]:
    """Return the readings that prove the touched nets to be whole; high voltage is left to those trained for it.

    They go from connector to connector, so that a cover is opened once and one lead of the meter stays
    where it is for the whole of a net.
    """
    pieces = {
        net.key: (net, probed_pieces(net, points))
        for net in nets
        if net.is_touched and HIGH_VOLTAGE not in net.classes
    }
    choices = [
        tuple(dict.fromkeys(probe.cover for probe in own))
        for _, groups in pieces.values()
        if len(groups) > 1
        for own in groups
    ]
    covers = fewest_covers(choices)
    chosen = {
        key: [_best(own, covers) for own in groups]
        for key, (_, groups) in pieces.items()
        if len(groups) > 1
    }
    common = Counter(probe.cover for probes in chosen.values() for probe in probes)
    tests: list[ProofTest] = []
    order = sorted(chosen, key=lambda key: _order(chosen[key], common))
    for key in order:
        tests.extend(_of_net(pieces[key][0], _root_first(chosen[key], common), points))
    return tuple(tests)


def _best(probes: Sequence[Probe], covers: Collection[str]) -> Probe:
    return min(probes, key=lambda probe: probe.cover not in covers)


def _root_first(probes: Sequence[Probe], common: Counter[str]) -> list[Probe]:
    return sorted(probes, key=lambda probe: -common[probe.cover])


def _order(probes: Sequence[Probe], common: Counter[str]) -> tuple[object, ...]:
    root, *others = _root_first(probes, common)
    sorts = [(probe.place, *(_natural(probe))) for probe in (root, *others)]
    return (-common[root.cover], *sorts)


def _natural(probe: Probe) -> tuple[object, ...]:
    return (str(node_key(probe.node)).rjust(40),)


def _of_net(net: MetalNet, probes: Sequence[Probe], points: Points) -> Iterable[ProofTest]:
    unplugged, taken_out = points.separated([probe.node for probe in probes])
    root, *others = probes
    for other in others:
        way = net.way(root.node, other.node)
        yield ProofTest(
            key=f"continuity {node_key(root.node)} {node_key(other.node)}",
            stage="continuity",
            title=f"{root.text} to {other.text}" + (f", {net.name}" if net.name else ""),
            conditions=Conditions(
                unplugged=unplugged,
                taken_out=taken_out,
                supply=SUPPLY_OFF,
                key=KEY_OUT,
                meter=OHM_METER,
                note="Wag the lead at both ends while you read: the figure must not jump.",
            ),
            limit=continuity_limit(way),
            a=root,
            b=(other,),
            proves=((net.key, net.key),),
        )
