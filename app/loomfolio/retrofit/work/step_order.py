"""Steps in an order that keeps every before and after, and what a person's own order breaks.

Each rule of the order carries its reason. Where the person puts a step before another that the rules have
before it, the rules in the way are dropped, and each of them is told. Among steps that may come next, one
in the zone where one is working comes first, then the one of the lower rank.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Before:
    """That one step comes before another, and why."""

    first: str
    then: str
    reason: str


@dataclass(frozen=True, slots=True)
class Place:
    """What decides among steps that may come next: rank, then zone."""

    key: str
    rank: int
    zone: str | None


@dataclass(frozen=True, slots=True)
class Ordered:
    """Steps in order, the rules that hold, and those that the person's own order broke."""

    keys: tuple[str, ...]
    rules: tuple[Before, ...]
    broken: tuple[Before, ...]


def in_order(places: Sequence[Place], rules: Iterable[Before], own: Iterable[Before]) -> Ordered:
    """Return steps in order.

    Parameters
    ----------
    rules
        What the plan asks for; no ring among them.
    own
        What the person asks for, in that order: each breaks the rules and earlier wishes in its way.
    """
    known = {place.key for place in places}
    kept = {
        (rule.first, rule.then): rule
        for rule in rules
        if rule.first in known and rule.then in known and rule.first != rule.then
    }
    broken: list[Before] = []
    for wish in own:
        if wish.first in known and wish.then in known:
            for rule in _in_the_way(kept, wish):
                del kept[(rule.first, rule.then)]
                broken.append(rule)
            kept[(wish.first, wish.then)] = wish
    return Ordered(_sorted(places, kept), tuple(kept.values()), tuple(broken))


def _in_the_way(kept: Mapping[tuple[str, str], Before], wish: Before) -> list[Before]:
    """The rules into the step that comes first now, from the other one or from what follows it."""
    after: dict[str, list[str]] = {}
    for first, then in kept:
        after.setdefault(first, []).append(then)
    reached, rest = {wish.then}, [wish.then]
    while rest:
        for then in after.get(rest.pop(), ()):
            if then not in reached:
                reached.add(then)
                rest.append(then)
    return [rule for rule in kept.values() if rule.then == wish.first and rule.first in reached]


def _sorted(places: Sequence[Place], kept: Mapping[tuple[str, str], Before]) -> tuple[str, ...]:
    waits = dict.fromkeys((place.key for place in places), 0)
    after: dict[str, list[str]] = {}
    for first, then in kept:
        waits[then] += 1
        after.setdefault(first, []).append(then)
    by_key = {place.key: place for place in places}
    free = [place for place in places if waits[place.key] == 0]
    keys: list[str] = []
    zone: str | None = None
    while free:
        here = zone
        best = min(free, key=lambda one: (one.zone != here or here is None, one.rank, one.key))
        free.remove(best)
        keys.append(best.key)
        zone = best.zone if best.zone is not None else zone
        for then in after.get(best.key, ()):
            waits[then] -= 1
            if waits[then] == 0:
                free.append(by_key[then])
    if len(keys) < len(places):
        raise RuntimeError("the rules of the order go round in a ring")
    return tuple(keys)
