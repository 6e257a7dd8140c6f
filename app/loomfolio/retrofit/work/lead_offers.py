"""Offers for leads: missing ones, branches, cables, leads that go elsewhere, extra ones, and those that look other.

A missing lead may end in both cavities that the target names, or begin anywhere on the net that is in
the vehicle already. What is cut comes after what is plugged, and a module's board comes last.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from loomfolio.electrics import Figure
from loomfolio.project import OperationKind, PinKey
from loomfolio.retrofit.gap_writer import ends_key, node_key
from loomfolio.retrofit.records import Ends, Gap, Node
from loomfolio.retrofit.work.bans import Ban, ban_of_pick_up
from loomfolio.retrofit.work.drafts import Desk, Draft, board_steps, plain_lead
from loomfolio.retrofit.work.pick_ups import Place, places_for
from loomfolio.retrofit.work.practice import practice
from loomfolio.retrofit.work.records import NewEnd, NewLead

_NO_STUBS = frozenset({"cut", "terminal without lead"})


def drafts_for_missing(desk: Desk, gap: Gap) -> Iterator[Draft]:
    """Yield the ways to make a lead or branch that is missing."""
    (lead,) = gap.mend.joined
    yield from _from_donors(desk, gap)
    if _is_assembly(desk, lead):
        yield _whole_cable(desk, gap)
    if not gap.mend.tapped:
        yield _at_joint(desk, lead) if _old_joint(desk, lead) else _both_cavities(desk, lead)
    for near, far in (lead, lead[::-1]):
        yield from _picked_up(desk, near, far, gap)
        yield from _stub(desk, near, far, lead)
    for near, far in (lead, lead[::-1]):
        if desk.situation.is_module_in_vehicle(near):
            yield _on_board(desk, near, far, lead)


def drafts_for_cable(desk: Desk, gap: Gap) -> Iterator[Draft]:
    """Yield the ways to make a pair, a screened cable or a cable that is missing."""
    situation, name = desk.situation, gap.sentence.split(" is missing")[0]
    yield from _from_donors(desk, gap)
    yield _whole_cable(desk, gap)
    nodes = tuple(node for lead in gap.mend.joined for node in lead)
    untwisted = practice("untwisted length of a pair at a joint or connector")
    yield Draft(
        kind="lead into cavity",
        subject=" ".join(ends_key(lead) for lead in gap.mend.joined),
        title=f"{name}: make its leads one by one and lay them together",
        reasons=("Nothing is cut",),
        against=(f"Twist them by hand, no more than {untwisted.value:g} mm open at each end",),
        risk="A pair that is laid apart picks up what it should not",
        length_m=_length(desk, *gap.mend.joined[0]),
        works=("lead",) * (len(gap.mend.joined) - 1),
        touched=nodes,
        new_leads=[plain_lead(lead) for lead in gap.mend.joined],
        own_bans=_screen_ban(desk, nodes, name),
    )
    for lead in gap.mend.joined:
        for near in lead:
            if situation.is_module_in_vehicle(near):
                other = lead[1] if near == lead[0] else lead[0]
                yield _on_board(desk, near, other, lead)


def _screen_ban(desk: Desk, nodes: tuple[Node, ...], name: str) -> tuple[Ban, ...]:
    if "screened" not in desk.situation.classes(*nodes):
        return ()
    return (Ban(f"{name[0].lower()}{name[1:]} has a screen: single leads have none"),)


def drafts_for_move(desk: Desk, gap: Gap) -> Iterator[Draft]:
    """Yield the ways to lead to its new place a lead that goes elsewhere."""
    situation = desk.situation
    (new,), (old,) = gap.mend.joined, gap.mend.cut
    stays, goes_to, leaves = _ends_of_move(new, old)
    yield from _from_donors(desk, gap)
    if isinstance(leaves, PinKey) and isinstance(goes_to, PinKey):
        yield _moved_terminal(desk, leaves, goes_to)
    if not gap.mend.tapped and not situation.leads_at(goes_to):
        yield Draft(
            kind="lead into cavity",
            subject=f"instead of {ends_key(old)}",
            title=f"A new lead {situation.lead_text(new)}; the old one is taken out and insulated",
            reasons=("Nothing is cut: the old lead stays whole and is tied back",),
            against=("The old terminal has to be released, too",),
            length_m=_length(desk, stays, goes_to),
            works=("removal",),
            touched=(*new, leaves),
            new_leads=[plain_lead(new)],
        )
    yield from _extended(desk, stays, goes_to, leaves, old, new)
    yield from _broken_in(desk, gap, stays, goes_to, leaves)
    released = f"; the old lead is released at {situation.text(leaves)} and insulated"
    for near, far in ((stays, goes_to), (goes_to, stays)):
        for draft in _picked_up(desk, near, far, gap):
            at = draft.pick_up
            if at is None or (at.node != leaves and leaves not in (at.ends or ())):
                works = (*draft.works, "removal")
                yield replace(draft, title=draft.title + released, works=works)


def _ends_of_move(new: Ends, old: Ends) -> tuple[Node, Node, Node]:
    """Which end stays, where the other goes, and what it leaves; a joint told apart is taken for the same."""
    for stays in new:
        if stays in old:
            return stays, _other(new, stays), _other(old, stays)
    return new[0], new[1], old[1]


def _old_joint(desk: Desk, lead: Ends) -> Node | None:
    """The splice of the vehicle at which a lead would end; None where it ends at none."""
    situation = desk.situation
    own = (n for n in lead if situation.kind(n) == "splice" and situation.leads_at(n))
    return next(own, None)


def _at_joint(desk: Desk, lead: Ends) -> Draft:
    """A lead that ends at a splice which is in the vehicle: the splice is opened and takes one leg more."""
    situation = desk.situation
    joint = _old_joint(desk, lead) or lead[0]
    far = _other(lead, joint)
    return Draft(
        kind="tap",
        subject=ends_key(lead),
        title=f"Open {situation.text(joint)} and join a lead to {situation.text(far)} there",
        reasons=("Where the target has its joint",),
        against=("It has to be found in the bundle, and made anew with one leg more",),
        risk="All its legs work again only when it is whole",
        cuts=1,
        joints=1,
        length_m=_length(desk, *lead),
        works=("lead",),
        touched=lead,
        new_leads=[NewLead(lead, (NewEnd(joint, "splice"), NewEnd(far)))],
    )


def _other(ends: Ends, node: Node) -> Node:
    return ends[1] if ends[0] == node else ends[0]


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
        length_m=_length(desk, leaves, goes_to),
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
        second = _other(onward, leaves)
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
            length_m=_length(desk, leaves, goes_to),
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
        length_m=_length(desk, *lead),
        works=("removal",),
        touched=lead,
        new_leads=[plain_lead(lead)],
    )


# ------------------------------------------------------------------------------------ single ways


def _length(desk: Desk, a: Node, b: Node) -> Figure | None:
    zones = desk.situation.zones
    return zones.between(zones.zone_of(a), zones.zone_of(b)).length_m


def _from_donors(desk: Desk, gap: Gap) -> Iterator[Draft]:
    for name, cover in desk.situation.donors:
        if any(one.key == gap.key for one in cover.covered):
            yield Draft(
                kind="donor lead",
                subject=cover.specimen,
                title=f"Take it over from the donor {name}, with its terminals",
                reasons=("Nothing is cut, and the terminals are the maker's",),
                against=("It comes out of the donor's bundle without harm or not at all",),
                risk="Old terminals: look at each under the glass",
                works=("transfer",) * (len(gap.mend.joined) - 1),
                touched=tuple(node for lead in gap.mend.joined for node in lead),
                donor=cover.specimen,
                new_leads=[plain_lead(lead, is_bought=True) for lead in gap.mend.joined],
            )


def _is_assembly(desk: Desk, lead: Ends) -> bool:
    return bool(desk.situation.classes(*lead) & {"high voltage", "screened"})


def _whole_cable(desk: Desk, gap: Gap) -> Draft:
    situation = desk.situation
    lead = gap.mend.joined[0]
    halves = {node.half_key for one in gap.mend.joined for node in one if isinstance(node, PinKey)}
    number = next(
        (
            f" (part number {h.part_number})"
            for h in situation.project.harnesses
            if h.part_number and set(h.ends) <= halves | set(h.ends) and set(h.ends) & halves
        ),
        "",
    )
    what = f"the assembly {situation.lead_text(lead)}"
    if len(gap.mend.joined) > 1:
        what = gap.sentence.split(" is missing")[0].replace("The ", "the ", 1)
    return Draft(
        kind="fit cable",
        subject=" ".join(ends_key(one) for one in gap.mend.joined),
        title=f"Fit {what}{number} whole",
        reasons=("Nothing is cut; it comes with its terminals, twist and screen",),
        against=("It has to be bought, or made up beforehand",),
        length_m=_length(desk, *lead),
        touched=tuple(node for one in gap.mend.joined for node in one),
        new_leads=[plain_lead(one, is_bought=True) for one in gap.mend.joined],
    )


def _both_cavities(desk: Desk, lead: Ends) -> Draft:
    situation = desk.situation
    taken = [n for n in lead if isinstance(n, PinKey) and situation.leads_at(n)]
    own = tuple(
        Ban(
            f"{situation.text(n)} holds the lead {situation.lead_text(situation.leads_at(n)[0])} already:"
            " two leads do not go into one terminal"
        )
        for n in taken
    )
    return Draft(
        kind="lead into cavity",
        subject=ends_key(lead),
        title=f"A lead {situation.lead_text(lead)} with {_end_words(desk, lead[0])} and"
        f" {_end_words(desk, lead[1])}",
        reasons=("Nothing is cut: both ends go where the target has them",),
        against=_unseen(desk, lead),
        length_m=_length(desk, *lead),
        touched=lead,
        new_leads=[plain_lead(lead)],
        own_bans=own,
    )


def _end_words(desk: Desk, node: Node) -> str:
    kind = desk.situation.kind(node)
    name = desk.situation.text(node)
    if kind == "ground point":
        return f"a ring terminal on {name}"
    if kind == "splice":
        return f"a joint in {name}"
    return f"a terminal in {name}"


def _unseen(desk: Desk, lead: Ends) -> tuple[str, ...]:
    situation = desk.situation
    unseen = [
        situation.text(node)
        for node in lead
        if isinstance(node, PinKey)
        and situation.is_there(node)
        and situation.cavity_state(node) == ""
    ]
    return (f"Nobody has looked into {' and '.join(unseen)} yet",) if unseen else ()


def _picked_up(desk: Desk, near: Node, far: Node, gap: Gap) -> Iterator[Draft]:
    """The lead to `far` begins somewhere on the net of `near` that is in the vehicle."""
    situation = desk.situation
    start = dict(gap.mend.tapped).get(near, near) if isinstance(near, str) else near
    for place in places_for(situation, start, far):
        node = place.pick_up.node
        unfused = ban_of_pick_up(situation, desk.feeds, node)
        target = next(lead for lead in gap.mend.joined if near in lead)
        yield _of_place(desk, place, far, target, unfused)


def _of_place(desk: Desk, place: Place, far: Node, target: Ends, unfused: Ban | None) -> Draft:
    situation, at = desk.situation, place.pick_up
    words: dict[OperationKind, str] = {
        "lead into cavity": f"A lead from {at.where} to {situation.text(far)}",
        "adaptor loom": f"An adaptor loom at {at.where}, with a lead to {situation.text(far)}",
        "tap": f"Tap {at.where}, with a lead to {situation.text(far)}",
    }
    subject = f"{node_key(at.node)} for {node_key(far)}"
    if at.ends is not None:
        subject = f"{ends_key(at.ends)} near {subject}"
    is_tap = place.kind == "tap"
    begin = NewEnd(at.node, via="adaptor" if place.kind == "adaptor loom" else "cavity")
    if at.ends is not None:
        begin = NewEnd(
            at.node, "tap", at.ends, f"{situation.lead_text(at.ends)}, which goes on whole"
        )
    return Draft(
        kind=place.kind,
        subject=subject,
        title=words[place.kind],
        reasons=place.reasons,
        against=(*place.against, f"Reach: {at.reach}"),
        risk=place.risk,
        cuts=1 if is_tap else 0,
        joints=1 if is_tap else 0,
        length_m=at.length_m,
        works=() if place.kind == "lead into cavity" else ("lead",),
        touched=(at.node, far),
        pick_up=at,
        new_leads=[NewLead(target, (begin, NewEnd(far)), is_direct=False)],
        own_bans=() if unfused is None else (unfused,),
    )


def _stub(desk: Desk, near: Node, far: Node, target: Ends) -> Iterator[Draft]:
    situation = desk.situation
    if not isinstance(near, PinKey) or situation.cavity_state(near) not in _NO_STUBS:
        return
    yield Draft(
        kind="butt splice",
        subject=f"stub at {node_key(near)} for {node_key(far)}",
        title=f"Extend the stub at {situation.text(near)} to {situation.text(far)}",
        reasons=("The terminal is in already: its stub is joined and led on",),
        against=("A stub of its full length has to be there",),
        risk="Old copper does not take a crimp: cut back to bright strands",
        joints=1,
        length_m=_length(desk, near, far),
        works=("lead",),
        touched=(near, far),
        new_leads=[
            NewLead(
                target,
                (
                    NewEnd(near, "butt splice", None, f"the stub at {situation.text(near)}"),
                    NewEnd(far),
                ),
                is_direct=False,
            )
        ],
    )


def _on_board(desk: Desk, near: Node, far: Node, target: Ends) -> Draft:
    situation = desk.situation
    return Draft(
        kind="solder to board",
        subject=f"{node_key(near)} for {node_key(far)}",
        title=f"Solder a lead for {situation.text(far)} to the board of {situation.part_name(_part(near))}"
        f" at {situation.text(near)}",
        reasons=("Where the plug has no cavity or contact, and nothing else is to be had",),
        against=("The module is opened: warranty, seal and static are at stake",),
        risk="A wrong pad burns the module; the joint breaks by shaking unless the lead is held fast",
        joints=1,
        length_m=_length(desk, near, far),
        touched=(near, far),
        new_leads=[NewLead(target, (NewEnd(near, via="board"), NewEnd(far)), is_direct=False)],
        steps=board_steps(situation, near),
    )


def _part(node: Node) -> str:
    return node if isinstance(node, str) else node.part
