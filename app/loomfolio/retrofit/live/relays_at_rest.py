"""Relays iterated to rest: a coil fed on both ends pulls its contacts, which may feed other coils.

All relays begin released. In each round the walks are made with the contacts as they stand, and every
coil is judged anew. Where a set of positions comes back, the relays that change within the round trip have
no rest: their contacts are unknown, and the others are brought to rest with that.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from loomfolio.retrofit.live.conduction import Conduction, InnerEdge, Position
from loomfolio.retrofit.live.reach import Reach, reach_of

Pulled = bool | None
"""Does a relay pull? None: unknown."""


@dataclass(frozen=True, eq=False)
class Rest:
    """The walks once all relays are at rest, what each relay does and why, and those without rest."""

    reach: Reach
    pulled: Mapping[str, Pulled]
    reasons: Mapping[str, str]
    restless: tuple[str, ...]


def bring_to_rest(conduction: Conduction) -> Rest:
    """Return what the relays of a state do, beginning with all released."""
    coils = _coils(conduction)
    pulled: dict[str, Pulled] = dict.fromkeys(coils, False)
    restless: set[str] = set()
    history: list[dict[str, Pulled]] = []
    while True:
        reach = reach_of(conduction, _positions(conduction, pulled))
        judged = {
            part: _judge(reach, edges) if part not in restless else (None, "it does not rest")
            for part, edges in coils.items()
        }
        after = {part: answer for part, (answer, _) in judged.items()}
        if after == pulled:
            reasons = {part: reason for part, (_, reason) in judged.items()}
            return Rest(reach, pulled, reasons, tuple(sorted(restless)))
        if after in history:
            trip = [*history[history.index(after) :], pulled]
            restless |= {part for part in coils if len({one[part] for one in trip}) > 1}
            after = {part: None if part in restless else False for part in coils}
            history = []
        else:
            history.append(pulled)
        pulled = after


def _coils(conduction: Conduction) -> dict[str, list[InnerEdge]]:
    """The coils of each relay. Of several ways that load, those labelled as a coil are its coils."""
    kinds = {part.id: part.kind for part in conduction.netlist.project.parts}
    found: dict[str, list[InnerEdge]] = {}
    for edge in conduction.edges:
        if kinds[edge.part] == "relay" and edge.relation == "loads":
            found.setdefault(edge.part, []).append(edge)
    return {
        part: [edge for edge in edges if "coil" in edge.name.casefold()] or edges
        for part, edges in found.items()
    }


def _positions(
    conduction: Conduction, pulled: Mapping[str, Pulled]
) -> Mapping[InnerEdge, Position]:
    turned: Mapping[Position, Position] = {"open": "closed", "closed": "open", "unknown": "unknown"}
    found: dict[InnerEdge, Position] = {}
    for edge in conduction.edges:
        if not edge.is_contact or edge.is_set:
            continue
        does = pulled.get(edge.part, False)
        if does is None:
            found[edge] = "unknown"
        elif does:
            found[edge] = turned[edge.position]
    return found


def _judge(reach: Reach, coils: Iterable[InnerEdge]) -> tuple[Pulled, str]:
    """Several coils of one relay: one that surely pulls decides; else any that may."""
    answers = [_judge_coil(reach, coil) for coil in coils]
    for wanted in (True, None, False):
        for answer, reason in answers:
            if answer is wanted:
                return answer, reason
    return False, "it has no coil"


def _judge_coil(reach: Reach, coil: InnerEdge) -> tuple[Pulled, str]:
    a, b = coil.net_a, coil.net_b
    if a == b:
        return False, "both ends of its coil are one metal"
    for group in {group for group, _ in reach.groups}:
        plus = reach.groups.get((group, "plus"), {})
        minus = reach.groups.get((group, "minus"), {})
        if (a in plus and b in minus) or (b in plus and a in minus):
            return True, "its coil is fed on both ends"
    # what is live or low only through this coil feeds it on no end
    bare = _without(reach, coil)
    if _may_pull(bare, a, b) or _may_pull(bare, b, a):
        return None, "whether its coil is fed on both ends is not known"
    return False, "its coil is not fed on both ends"


def _without(reach: Reach, coil: InnerEdge) -> Reach:
    left = tuple(edge for edge in reach.conduction.edges if edge is not coil)
    return reach_of(replace(reach.conduction, edges=left), reach.positions)


def _may_pull(reach: Reach, high: int, low: int) -> bool:
    is_maybe_high = (
        high in reach.held_high
        or high in reach.may_be_high
        or high in reach.unknown
        or high in reach.live_by_load
    )
    is_maybe_low = (
        low in reach.held_low
        or low in reach.may_be_low
        or low in reach.low_by_load
        or (low in reach.held_high and _is_other_pole(reach, high, low))
    )
    return is_maybe_high and is_maybe_low


def _is_other_pole(reach: Reach, high: int, low: int) -> bool:
    """May the two nets stand at the two poles of one source that is not on chassis?"""
    groups = {group for (group, _), walk in reach.groups.items() if low in walk}
    return any(
        high in walk or high in reach.unknown
        for (group, _), walk in reach.groups.items()
        if group in groups and low not in walk
    )
