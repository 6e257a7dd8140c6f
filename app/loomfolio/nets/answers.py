"""The person's answers worked into a wiring: joined here, apart here, no conductor at all.

An answer that says what the reader took at that place changes nothing: it confirms. Otherwise:

*Joined*: every line that passes within reach is split and tied at the place. Where one line passes, the
loose end beside it is tied to it; where none does, the two loose ends that face each other over the place are.

*Apart*: the nodes within reach are one hub. Its arms are paired where one runs straight on into the
other; pairs stay joined, an arm without a partner ends there. With two arms, or none and one line
running through, the line is cut. Lines that only cross are apart already and stay as they are.

An answer that meets nothing, or could mean two things, is reported, never guessed and never dropped.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations
from operator import attrgetter

from loomfolio.basics import MmPoint
from loomfolio.nets.geometry import foot_on, length_mm, point_along, turn_between_deg
from loomfolio.nets.laying import tie
from loomfolio.nets.wiring import Edge, Near, Wiring
from loomfolio.project import ApartMark, JoinMark, NotConductorMark

ANSWER_REACH_MM = 0.7
"""How far from its mark an answer still works: half the closest bundle pitch of 1.5 mm (common practice, no source)."""

GAP_REACH_MM = 4.0
"""How far from the mark the loose ends of an open gap may lie (a lead's text in a gap is up to 8 mm wide;
common practice, no source)."""

GAP_MARGIN = 1.3
"""A second pair of loose ends less than this much farther apart than the nearest leaves the gap open."""

STRAIGHT_DEG = 150.0
"""Two arms run straight on where they meet at more than this; a right-angled branch meets at 90."""

ARMS_OF_A_JOIN = 3
"""From this many arms on a place is a join; two are one line that bends or runs through."""

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
    taken: Callable[[MmPoint], str | None],
) -> tuple[Unanswered, ...]:
    """Change the wiring as the marks say and return the marks that met nothing.

    `taken` answers what the reader took at a place: `joined`, `apart`, or None where it saw nothing.
    """
    by_id = attrgetter("id")
    missed: list[JoinMark | ApartMark | NotConductorMark] = [
        mark
        for mark in sorted(aparts, key=by_id)
        if taken(mark.at) != "apart" and not _keep_apart(wiring, mark.at)
    ]
    missed += [
        mark
        for mark in sorted(joins, key=by_id)
        if taken(mark.at) != "joined" and not _join(wiring, mark.at)
    ]
    missed += [m for m in sorted(refusals, key=by_id) if not _take_out(wiring, m.at)]
    return tuple(Unanswered(mark.id, mark.at) for mark in missed)


def _take_out(wiring: Wiring, at: MmPoint) -> bool:
    near = wiring.near(at, ANSWER_REACH_MM)
    for edge in _piece(wiring, near[0].edge) if near else ():
        wiring.remove(edge)
    return bool(near)


def _join(wiring: Wiring, at: MmPoint) -> bool:
    near = wiring.near(at, ANSWER_REACH_MM)
    if not near:
        return _close_gap(wiring, at)
    if len(near) == 1:
        return _tie_beside(wiring, near[0], at)
    hub = wiring.add_node(at)
    for number in [n.edge.number for n in near]:
        # an earlier split may have replaced the edge: look the place up again on what is there now
        for again in wiring.near(at, ANSWER_REACH_MM):
            if again.edge.number == number:
                tie(wiring, hub, wiring.split(again.edge, again.foot))
    return True


def _tie_beside(wiring: Wiring, line: Near, at: MmPoint) -> bool:
    """Tie the one loose end of another line near `at` to the line that passes there."""
    own = {node for edge in _piece(wiring, line.edge) for node in (edge.a, edge.b)}
    reach = sorted(
        (wiring.points[node].distance_mm(at), node)
        for node in _loose_ends(wiring, at)
        if node not in own
    )
    if not reach or (len(reach) > 1 and reach[1][0] < reach[0][0] * GAP_MARGIN):
        return False
    tie(wiring, reach[0][1], wiring.split(line.edge, line.foot))
    return True


def _close_gap(wiring: Wiring, at: MmPoint) -> bool:
    """Tie the two loose ends that face each other over `at`; False where there is no clear pair."""
    ends = _loose_ends(wiring, at)
    pairs = sorted(
        (math.dist(wiring.points[a], wiring.points[b]), a, b)
        for a, b in combinations(ends, 2)
        if turn_between_deg(wiring.points[a], at, wiring.points[b]) > STRAIGHT_DEG
    )
    if not pairs or (len(pairs) > 1 and pairs[1][0] < pairs[0][0] * GAP_MARGIN):
        return False
    tie(wiring, pairs[0][1], pairs[0][2])
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
    hub = _hub(wiring, at, near)
    if _open_rings(wiring, hub):
        near = wiring.near(at, ANSWER_REACH_MM)
    edges = [n.edge for n in near]
    inner = [edge for edge in edges if edge.a in hub and edge.b in hub]
    outer = [(e, node) for e in edges if e not in inner for node in (e.a, e.b) if node in hub]
    if len(outer) >= ARMS_OF_A_JOIN:
        _part_hub(wiring, inner, outer)
    elif len(edges) - len(inner) < ARMS_OF_A_JOIN:
        _cut_line(wiring, at, inner, outer)
    return True


def _hub(wiring: Wiring, at: MmPoint, near: Sequence[Near]) -> set[int]:
    """The nodes within reach at which lines meet."""
    return {
        node
        for n in near
        for node in (n.edge.a, n.edge.b)
        if wiring.degree(node) > 1 and wiring.points[node].distance_mm(at) <= ANSWER_REACH_MM
    }


def _open_rings(wiring: Wiring, hub: set[int]) -> bool:
    """Split each line that leaves the hub and comes back to it, so that it has two arms; False for none."""
    rings = {
        edge.number: edge
        for node in hub
        for edge in wiring.incident(node)
        if edge.a in hub and edge.b in hub and length_mm(edge.line) > 2 * ANSWER_REACH_MM
    }
    for edge in rings.values():
        wiring.split(edge, foot_on(edge.line, point_along(edge.line, length_mm(edge.line) / 2)))
    return bool(rings)


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
