"""The operations of a document with the offers that they take, in an order that does not depend on theirs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from loomfolio.project import Operation
from loomfolio.retrofit.records import Gap
from loomfolio.retrofit.work.records import Offer
from loomfolio.retrofit.work.situation import Situation


@dataclass(frozen=True, slots=True)
class Chosen:
    """A gap with its operation and the offer that it takes; None where no such offer is made any more."""

    gap: Gap
    operation: Operation
    offer: Offer | None


def chosen_in(situation: Situation, offers: Mapping[str, tuple[Offer, ...]]) -> tuple[Chosen, ...]:
    """Return what is chosen for the gaps that stand open in scope, by the gaps' keys."""
    by_gap = {one.gap: one for one in situation.project.operations}
    found: list[Chosen] = []
    for key in sorted(situation.gaps):
        operation = by_gap.get(key)
        if operation is not None:
            own = {offer.key: offer for offer in offers.get(key, ())}
            found.append(Chosen(situation.gaps[key], operation, own.get(operation.offer)))
    return tuple(found)


def is_allowed(one: Chosen) -> bool:
    """May the offer be worked? A refused one only with its treatment stated, and only where there is one."""
    if one.offer is None:
        return False
    if not one.offer.forbidden:
        return True
    return bool(one.offer.treatment and one.operation.in_spite_of.strip())


def is_in_spite_of_bounds(one: Chosen) -> bool:
    """Has the person taken a lead in spite of a bound that it fails?

    What is stated as the treatment of a refused offer is spent on that: it excuses no bound.
    """
    is_refused = one.offer is not None and bool(one.offer.forbidden)
    return bool(one.operation.in_spite_of.strip()) and not is_refused
