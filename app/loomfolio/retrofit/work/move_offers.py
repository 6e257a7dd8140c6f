"""Offers for leads that are there: those that go elsewhere, are too much, or look other than drawn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from loomfolio.project import PinKey
from loomfolio.retrofit.gap_writer import ends_key, node_key
from loomfolio.retrofit.records import Ends, Gap, Node
from loomfolio.retrofit.work.drafts import Desk, Draft, plain_lead
from loomfolio.retrofit.work.lead_ways import (
    from_donors,
    other_end,
    picked_up,
    way_length,
)
from loomfolio.retrofit.work.records import NewEnd, NewLead


def drafts_for_move(desk: Desk, gap: Gap) -> Iterator[Draft]:
    """Yield the ways to lead to its new place a lead that goes elsewhere."""
    situation = desk.situation
    (new,), (old,) = gap.mend.joined, gap.mend.cut
    stays, goes_to, leaves = _ends_of_move(new, old)
    yield from from_donors(desk, gap)
    if isinstance(leaves, PinKey) and isinstance(goes_to, PinKey):
        yield _moved_terminal(desk, leaves, goes_to)
    if not gap.mend.tapped and not situation.leads_at(goes_to):
        yield Draft(
            kind="lead into cavity",
            subject=f"instead of {ends_key(old)}",
            title=f"A new lead {situation.lead_text(new)}; the old one is taken out and insulated",
            reasons=("Nothing is cut: the old lead stays whole and is tied back",),
            against=("The old terminal has to be released, too",),
            length_m=way_length(desk, stays, goes_to),
            works=("removal",),
            touched=(*new, leaves),
            new_leads=[plain_lead(new)],
        )
    yield from _extended(desk, stays, goes_to, leaves, old, new)
    yield from _broken_in(desk, gap, stays, goes_to, leaves)
    released = f"; the old lead is released at {situation.text(leaves)} and insulated"
    for near, far in ((stays, goes_to), (goes_to, stays)):
        for draft in picked_up(desk, near, far, gap):
            at = draft.pick_up
            if at is None or (at.node != leaves and leaves not in (at.ends or ())):
                works = (*draft.works, "removal")
                yield replace(draft, title=draft.title + released, works=works)


def _ends_of_move(new: Ends, old: Ends) -> tuple[Node, Node, Node]:
    """Which end stays, where the other goes, and what it leaves; a joint told apart is taken for the same."""
    for stays in new:
        if stays in old:
            return stays, other_end(new, stays), other_end(old, stays)
    return new[0], new[1], old[1]


def _moved_terminal(desk: Desk, leaves: PinKey, goes_to: PinKey) -> Draft:
    situation = desk.situation
    is_near = leaves.half_key == goes_to.half_key
    zones = {situation.zones.zone_of(pin) for pin in (leaves, goes_to)}
    in_one_zone = len(zones) == 1 and None not in zones
    reach = "Where its slack does not reach the other cavity it is extended: one joint; look first"
    return Draft(
        kind="move terminal",
        subject=f"{node_key(leaves)} to {node_key(goes_to)}",
        title=f"Move the terminal from {situation.text(leaves)} to {situation.text(goes_to)}",
        reasons=("Nothing is cut and no new lead is made",),
        against=() if is_near else (reach,),
        risk="A terminal that was released once too often does not lock any more",
        joints=0 if is_near or in_one_zone else 1,
        touched=(leaves, goes_to),
    )


def _extended(
    desk: Desk, stays: Node, goes_to: Node, leaves: Node, old: Ends, new: Ends
) -> Iterator[Draft]:
    situation = desk.situation
    yield Draft(
        kind="butt splice",
        subject=f"{ends_key(old)} at {node_key(leaves)}",
        title=f"Cut the lead {situation.lead_text(old)} at {situation.text(leaves)} and extend it to"
        f" {situation.text(goes_to)}",
        reasons=("One joint, where there is room to work",),
        against=("The lead is cut",),
        risk="The stub at the other side stays behind: it is insulated and capped",
        cuts=1,
        joints=1,
        length_m=way_length(desk, leaves, goes_to),
        works=("cap",),
        touched=(stays, leaves, goes_to),
        new_leads=[
            NewLead(
                new,
                (
                    NewEnd(leaves, "butt splice", old, f"the stub from {situation.text(stays)}"),
                    NewEnd(goes_to),
                ),
                is_direct=False,
            )
        ],
        caps=[NewEnd(leaves, "cap", old, f"the stub at {situation.text(leaves)}")],
    )


def _broken_in(desk: Desk, gap: Gap, stays: Node, goes_to: Node, leaves: Node) -> Iterator[Draft]:
    """Where another gap leads on to what the lead leaves, both new ends come from one cut."""
    situation = desk.situation
    (new,), (old,) = gap.mend.joined, gap.mend.cut
    for key, other in situation.gaps.items():
        if key == gap.key or not any(leaves in lead for lead in other.mend.joined):
            continue
        onward = next(lead for lead in other.mend.joined if leaves in lead)
        second = other_end(onward, leaves)
        first_text, second_text = situation.text(goes_to), situation.text(second)
        yield Draft(
            kind="break in",
            subject=ends_key(old),
            title=f"Break in to the lead {situation.lead_text(old)}: cut it once and lead both ends away",
            reasons=(f"One cut gives both ways: to {first_text} and from {second_text}",),
            against=("The lead is cut, and works again only when both new leads are in",),
            risk="Stubs that are mistaken for one another: tag both before the cut",
            cuts=1,
            joints=2,
            length_m=way_length(desk, leaves, goes_to),
            works=("lead",),
            touched=(stays, leaves, goes_to),
            closes=(key,),
            new_leads=[
                NewLead(
                    new,
                    (
                        NewEnd(leaves, "break in", old, f"the stub from {situation.text(stays)}"),
                        NewEnd(goes_to),
                    ),
                    is_direct=False,
                ),
                NewLead(
                    onward,
                    (
                        NewEnd(leaves, "break in", old, f"the stub from {situation.text(leaves)}"),
                        NewEnd(second),
                    ),
                    is_direct=False,
                ),
            ],
            steps=(
                f"Tag the stub from {situation.text(stays)}: it goes to {first_text}",
                f"Tag the stub from {situation.text(leaves)}: it goes to {second_text}",
                "Cut between the tags",
            ),
        )


def drafts_for_extra(desk: Desk, gap: Gap) -> Iterator[Draft]:
    """Yield the ways to be rid of a lead that the target keeps apart."""
    situation = desk.situation
    (lead,) = gap.mend.cut
    text = situation.lead_text(lead)
    yield Draft(
        kind="take out lead",
        subject=ends_key(lead),
        title=f"Release the lead {text} at one end, insulate its terminal and tie it back",
        reasons=("Nothing is cut, and it can be put back",),
        against=("Its terminal has to be released without harm",),
        touched=lead,
    )
    for end in lead:
        yield Draft(
            kind="cap off",
            subject=f"{ends_key(lead)} at {node_key(end)}",
            title=f"Cut the lead {text} at {situation.text(end)}; cap and insulate the remainder",
            reasons=("Where the terminal cannot be released",),
            against=("The lead is cut",),
            risk="The remainder may still be live from its other end: measure, then cap",
            cuts=1,
            touched=lead,
            caps=[NewEnd(end, "cap", lead, f"the remainder at {situation.text(end)}")],
        )


def drafts_for_look(desk: Desk, gap: Gap) -> Iterator[Draft]:
    """Yield what to do about a lead with another colour or area than drawn."""
    situation = desk.situation
    (lead,) = gap.mend.looks
    text = situation.lead_text(lead)
    is_area = gap.kind == "other area"
    yield Draft(
        kind="take as found",
        subject=ends_key(lead),
        title=f"Ring the lead {text} out and leave it as it is",
        reasons=("It does its work whatever it looks like, once it is proved to be the one",),
        against=("Its area has to serve what hangs on it",) if is_area else (),
        risk="Another lead may have been taken for it",
        touched=lead,
    )
    yield Draft(
        kind="lead into cavity",
        subject=f"instead of {ends_key(lead)}",
        title=f"A new lead {text} as drawn; the old one is taken out",
        reasons=("As the documents have it",),
        against=("More work than it is worth where the old lead serves",),
        length_m=way_length(desk, *lead),
        works=("removal",),
        touched=lead,
        new_leads=[plain_lead(lead)],
    )
