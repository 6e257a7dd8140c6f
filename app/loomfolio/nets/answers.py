"""The person's answers worked into a wiring: joined here, apart here, no conductor at all.

*Joined*: every line that passes within reach is split and tied at the place. Where no two lines pass,
the two loose ends that face each other over the place are tied (an open gap).

*Apart*: the nodes within reach are one hub. Its arms are paired where one runs straight on into the
other; pairs stay joined, an arm without a partner ends there. With two arms, or none and one line
running through, the line is cut. Lines that only cross are apart already and stay as they are.

An answer that meets nothing is reported, never dropped in silence.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from operator import attrgetter

from loomfolio.basics import MmPoint
from loomfolio.nets.geometry import point_along, turn_between_deg
from loomfolio.nets.laying import tie
from loomfolio.nets.wiring import Edge, Wiring
from loomfolio.project import ApartMark, JoinMark, NotConductorMark

ANSWER_REACH_MM = 0.7
"""How far from its mark an answer still works: half the closest bundle pitch of 1.5 mm (common practice, no source)."""

GAP_REACH_MM = 4.0
"""How far from the mark the loose ends of an open gap may lie (a lead's text in a gap is up to 8 mm wide;
common practice, no source)."""

STRAIGHT_DEG = 150.0
"""Two arms run straight on where they meet at more than this; a right-angled branch meets at 90."""

ARM_LOOK_MM = 1.0
"""An arm's direction is taken this far out, beyond the blot of a dot (dots are drawn about 1 mm wide)."""


@dataclass(frozen=True, slots=True)
class Unanswered:
    """A mark that met nothing."""

    mark: str
    at: MmPoint


def work_in_answers(
    wiring: Wiring,
    joins: Sequence[JoinMark],
    aparts: Sequence[ApartMark],
    refusals: Sequence[NotConductorMark],
) -> tuple[Unanswered, ...]:
    """Change the wiring as the marks say and return the marks that met nothing."""
    by_id = attrgetter("id")
    missed: list[JoinMark | ApartMark | NotConductorMark] = [
        m for m in sorted(aparts, key=by_id) if not _keep_apart(wiring, m.at)
    ]
    missed += [m for m in sorted(joins, key=by_id) if not _join(wiring, m.at)]
    missed += [m for m in sorted(refusals, key=by_id) if not _take_out(wiring, m.at)]
    return tuple(Unanswered(mark.id, mark.at) for mark in missed)


def _take_out(wiring: Wiring, at: MmPoint) -> bool:
    near = wiring.near(at, ANSWER_REACH_MM)
    for edge in _piece(wiring, near[0].edge) if near else ():
        wiring.remove(edge)
    return bool(near)


def _join(wiring: Wiring, at: MmPoint) -> bool:
    near = wiring.near(at, ANSWER_REACH_MM)
    if len(near) < 2:
        return _close_gap(wiring, at)
    hub = wiring.add_node(at)
    for number in [n.edge.number for n in near]:
        # an earlier split may have replaced the edge: look the place up again on what is there now
        for again in wiring.near(at, ANSWER_REACH_MM):
            if again.edge.number == number:
                tie(wiring, hub, wiring.split(again.edge, again.foot))
    return True


def _close_gap(wiring: Wiring, at: MmPoint) -> bool:
    """Tie the two loose ends that face each other over `at`; False where there is no clear pair."""
    ends = _loose_ends(wiring, at)
    pairs = [
        (math.dist(wiring.points[a], wiring.points[b]), a, b)
        for a, b in combinations(ends, 2)
        if turn_between_deg(wiring.points[a], at, wiring.points[b]) > STRAIGHT_DEG
    ]
    if not pairs:
        return False
    _, a, b = min(pairs)
    tie(wiring, a, b)
    return True


def _loose_ends(wiring: Wiring, at: MmPoint) -> list[int]:
    ends = {
        node
        for near in wiring.near(at, GAP_REACH_MM)
        for node in (near.edge.a, near.edge.b)
        if wiring.degree(node) == 1 and wiring.points[node].distance_mm(at) <= GAP_REACH_MM
    }
    return sorted(ends)


def _keep_apart(wiring: Wiring, at: MmPoint) -> bool:
    near = wiring.near(at, ANSWER_REACH_MM)
    if not near:
        return False
    hub = {
        node
        for n in near
        for node in (n.edge.a, n.edge.b)
        if wiring.degree(node) > 1 and wiring.points[node].distance_mm(at) <= ANSWER_REACH_MM
    }
    edges = [n.edge for n in near]
    arms = [(edge, node) for edge in edges for node in (edge.a, edge.b) if node in hub]
    inner = [edge for edge in edges if edge.a in hub and edge.b in hub]
    outer = [(edge, node) for edge, node in arms if edge not in inner]
    if len(outer) >= 3:
        _part_hub(wiring, inner, outer)
    elif len(edges) - len(inner) <= 2:
        _cut_line(wiring, at, inner, outer)
    return True


def _part_hub(wiring: Wiring, inner: Sequence[Edge], outer: Sequence[tuple[Edge, int]]) -> None:
    """Take the hub out; tie again the arms that run straight on into each other, best pair first."""
    centre = _middle([wiring.points[node] for _, node in outer])
    metal = _hub_pieces(inner, [node for _, node in outer])
    far = [point_along(edge.line_from(node), ARM_LOOK_MM) for edge, node in outer]
    for edge in inner:
        wiring.remove(edge)
    ends = [wiring.detach(edge, node)[1] for edge, node in outer]
    turns = sorted(
        (
            (turn_between_deg(far[i], centre, far[j]), i, j)
            for i, j in combinations(range(len(outer)), 2)
        ),
        reverse=True,
    )
    taken: set[int] = set()
    for turn, i, j in turns:
        is_one_metal = metal[outer[i][1]] == metal[outer[j][1]]
        if turn > STRAIGHT_DEG and is_one_metal and not taken & {i, j}:
            taken |= {i, j}
            tie(wiring, ends[i], ends[j])


def _hub_pieces(inner: Sequence[Edge], nodes: Sequence[int]) -> dict[int, int]:
    """Number the nodes of a hub by what is one metal inside it, so that parting never joins anything."""
    piece = {node: node for node in nodes}
    for edge in inner:
        piece.setdefault(edge.a, edge.a)
        piece.setdefault(edge.b, edge.b)
        old, new = piece[edge.b], piece[edge.a]
        piece = {node: new if number == old else number for node, number in piece.items()}
    return piece


def _cut_line(
    wiring: Wiring, at: MmPoint, inner: Sequence[Edge], outer: Sequence[tuple[Edge, int]]
) -> None:
    """Open the one line that runs through `at`; two lines that only cross share no hub and are left."""
    if inner:
        for edge in inner:
            wiring.remove(edge)
    elif outer:
        wiring.detach(*outer[0])
    else:
        near = wiring.near(at, ANSWER_REACH_MM)
        if len(near) == 1:
            edge = near[0].edge
            node = wiring.split(edge, near[0].foot)
            if wiring.degree(node) > 1:
                wiring.detach(wiring.incident(node)[0], node)


def _middle(points: Sequence[MmPoint]) -> MmPoint:
    return MmPoint(sum(p.x for p in points) / len(points), sum(p.y for p in points) / len(points))


def _piece(wiring: Wiring, start: Edge) -> list[Edge]:
    """All edges that are one metal with `start`."""
    found = {start.number: start}
    rest = [start]
    while rest:
        edge = rest.pop()
        for node in (edge.a, edge.b):
            for other in wiring.incident(node):
                if other.number not in found:
                    found[other.number] = other
                    rest.append(other)
    return list(found.values())
