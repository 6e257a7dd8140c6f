"""Offers in the making: the words of each kind of work, its bans, its effort, and the rank among its like."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from loomfolio.electrics import Figure
from loomfolio.project import OperationKind, PinKey
from loomfolio.retrofit.records import Ends, Gap, Node
from loomfolio.retrofit.work.bans import MADE_BY_HAND, Ban, ban_of_lead, ban_of_orange, bans
from loomfolio.retrofit.work.effort_book import WORK_OF
from loomfolio.retrofit.work.feeds import Feeds
from loomfolio.retrofit.work.records import NewEnd, NewLead, Offer, PickUp
from loomfolio.retrofit.work.situation import Situation


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """What an offer says before bans, effort and rank are worked out.

    `touched` are the nodes whose metal is touched; `works` the rows of effort beside that of the kind, which
    `work` takes the place of.
    """

    kind: OperationKind
    subject: str
    title: str
    reasons: Sequence[str] = ()
    against: Sequence[str] = ()
    risk: str = ""
    cuts: int = 0
    joints: int = 0
    length_m: Figure | None = None
    work: str = ""
    works: Sequence[str] = ()
    touched: Sequence[Node] = ()
    pick_up: PickUp | None = None
    closes: Sequence[str] = ()
    donor: str | None = None
    new_leads: Sequence[NewLead] = ()
    caps: Sequence[NewEnd] = ()
    steps: Sequence[str] = ()
    own_bans: Sequence[Ban] = ()


@dataclass(frozen=True, slots=True)
class Desk:
    """What is at hand where offers are drafted."""

    situation: Situation
    feeds: Feeds


def offers_of(desk: Desk, gap: Gap, drafts: Iterable[Draft]) -> tuple[Offer, ...]:
    """Return drafts as the offers of a gap in their rank: least cutting first, what is refused last.

    Solder on a board stands behind all else that may be. Of two drafts with one key the first counts.
    """
    offers: dict[str, Offer] = {}
    for draft in drafts:
        offer = _offer(desk, gap, draft)
        offers.setdefault(offer.key, offer)
    return tuple(sorted(offers.values(), key=_rank))


def _offer(desk: Desk, gap: Gap, draft: Draft) -> Offer:
    found = [*draft.own_bans, *bans(desk.situation, draft.kind, tuple(draft.touched))]
    for lead in gap.mend.joined:
        never = ban_of_lead(desk.situation, lead)
        found += [never] if never is not None else []
    if draft.kind in MADE_BY_HAND:
        for lead in gap.mend.joined:
            orange = ban_of_orange(desk.situation, lead)
            found += [orange] if orange is not None else []
    works = (draft.work or WORK_OF[draft.kind], *draft.works)
    unmendable = [ban for ban in found if not ban.treatment]
    counting = unmendable or found
    return Offer(
        key=f"{draft.kind}: {draft.subject}",
        gap=gap.key,
        kind=draft.kind,
        title=draft.title,
        reasons=tuple(draft.reasons),
        against=tuple(draft.against),
        risk=draft.risk,
        cuts=draft.cuts,
        joints=draft.joints,
        length_m=draft.length_m,
        effort_h=desk.situation.effort.total(works),
        works=works,
        forbidden="; ".join(dict.fromkeys(ban.why for ban in counting)),
        treatment="; ".join(dict.fromkeys(ban.treatment for ban in counting)) if counting else "",
        pick_up=draft.pick_up,
        closes=tuple(dict.fromkeys((gap.key, *draft.closes))),
        donor=draft.donor,
        new_leads=tuple(draft.new_leads),
        caps=tuple(draft.caps),
        steps=tuple(draft.steps),
    )


def _rank(offer: Offer) -> tuple[object, ...]:
    length = math.inf if offer.length_m is None else offer.length_m.value
    return (
        bool(offer.forbidden),
        offer.kind == "solder to board",
        offer.cuts,
        offer.joints,
        offer.effort_h.most,
        length,
        offer.key,
    )


def plain_lead(lead: Ends, *, is_bought: bool = False) -> NewLead:
    """Return the lead that the target has, from one of its ends to the other."""
    return NewLead(lead, (NewEnd(lead[0]), NewEnd(lead[1])), is_bought)


def board_steps(situation: Situation, node: Node) -> tuple[str, ...]:
    """Return how a lead is soldered to a module's board at a pin, step by step."""
    if not isinstance(node, PinKey):
        return ()
    first, last, count = situation.counted(node)
    places = (
        f"the {_nth(first)} from the first and the {_nth(last)} from the last of {count} known pins"
    )
    return (
        f"Take {situation.part_name(node.part)} out and open it on the bench, discharged against static",
        f"Find {situation.text(node)} on the board from both directions: {places}; ring it out at the plug",
        "Solder the lead to the pin's pad; measure against both neighbours",
        "Lead it out by a hole of its own with a grommet, and hold it fast inside",
        "Seal the hole and the housing; the maker's warranty is gone",
    )


def _nth(number: int) -> str:
    endings = {1: "st", 2: "nd", 3: "rd"}
    ending = "th" if 10 <= number % 100 <= 20 else endings.get(number % 10, "th")
    return f"{number}{ending}"
