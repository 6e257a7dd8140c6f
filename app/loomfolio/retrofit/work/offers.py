"""Every way to close each gap, ranked, least cutting first, each with its reasons, and what must not be with why.

How the data flows::

    job, notes, zones ─> Situation, Feeds
    gap ─ by its kind ─> drafts ─ bans, effort, rank ─> offers
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from loomfolio.project import Project
from loomfolio.retrofit.job import JobGaps
from loomfolio.retrofit.records import Gap, GapKind
from loomfolio.retrofit.work.drafts import Desk, Draft, offers_of
from loomfolio.retrofit.work.feeds import vehicle_feeds
from loomfolio.retrofit.work.lead_offers import drafts_for_cable, drafts_for_missing
from loomfolio.retrofit.work.move_offers import (
    drafts_for_extra,
    drafts_for_look,
    drafts_for_move,
)
from loomfolio.retrofit.work.records import Offer
from loomfolio.retrofit.work.situation import Situation
from loomfolio.retrofit.work.thing_offers import (
    drafts_for_bar,
    drafts_for_connector,
    drafts_for_header,
    drafts_for_part,
    drafts_for_plug,
    drafts_for_terminal,
)

DRAFTS: Mapping[GapKind, Callable[[Desk, Gap], Iterator[Draft]]] = {
    "lead missing": drafts_for_missing,
    "branch missing": drafts_for_missing,
    "cable group missing": drafts_for_cable,
    "lead goes elsewhere": drafts_for_move,
    "extra lead": drafts_for_extra,
    "other colour": drafts_for_look,
    "other area": drafts_for_look,
    "terminal missing": drafts_for_terminal,
    "pin missing in header": drafts_for_header,
    "section or driver not populated": drafts_for_header,
    "needs coding": drafts_for_header,
    "connector missing": drafts_for_connector,
    "device missing": drafts_for_part,
    "device position of a lower grade": drafts_for_part,
    "bar missing": drafts_for_bar,
    "dummy plug or bridge must go": drafts_for_plug,
}
"""What drafts the offers of each kind of gap; a test holds the table against all kinds."""


def offers_for(project: Project, job: JobGaps, gap: Gap) -> tuple[Offer, ...]:
    """Return the ways to close one gap in their rank; those that must not be stand last and say why."""
    return _offers(Situation(project, job), gap)


def all_offers(project: Project, job: JobGaps) -> Mapping[str, tuple[Offer, ...]]:
    """Return the ways to close each open gap in scope, by the gap's key."""
    return offers_in(Situation(project, job))


def offers_in(situation: Situation) -> Mapping[str, tuple[Offer, ...]]:
    """Return the same of a situation that is worked out already."""
    desk = Desk(situation, vehicle_feeds(situation))
    return {
        key: offers_of(desk, gap, DRAFTS[gap.kind](desk, gap))
        for key, gap in situation.gaps.items()
    }


def _offers(situation: Situation, gap: Gap) -> tuple[Offer, ...]:
    desk = Desk(situation, vehicle_feeds(situation))
    return offers_of(desk, gap, DRAFTS[gap.kind](desk, gap))
