"""The single ways of making a lead that several kinds of gap share: from a donor, whole, picked up, on a board."""

from __future__ import annotations

from collections.abc import Iterator

from loomfolio.electrics import Figure
from loomfolio.project import OperationKind, PinKey
from loomfolio.retrofit.gap_writer import ends_key, node_key
from loomfolio.retrofit.records import Ends, Gap, Node
from loomfolio.retrofit.work.bans import Ban, ban_of_pick_up
from loomfolio.retrofit.work.drafts import Desk, Draft, board_steps, plain_lead
from loomfolio.retrofit.work.pick_ups import Place, places_for
from loomfolio.retrofit.work.records import NewEnd, NewLead


def way_length(desk: Desk, a: Node, b: Node) -> Figure | None:
    """Return how long a lead between two nodes gets; None where it has to be measured."""
    zones = desk.situation.zones
    return zones.between(zones.zone_of(a), zones.zone_of(b)).length_m


def from_donors(desk: Desk, gap: Gap) -> Iterator[Draft]:
    """Yield the donor looms at hand that bring what mends a gap."""
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


def whole_cable(desk: Desk, gap: Gap) -> Draft:
    """Return the way to fit what a gap lacks as one assembly."""
    situation = desk.situation
    screen = [
        f"Its screen goes to {', '.join(map(situation.text, group.screen_ends))}, and nowhere else"
        for group in situation.target.groups
        if group.screen_ends and gap.key.endswith(f": {group.id}")
    ]
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
        steps=screen,
        length_m=way_length(desk, *lead),
        touched=tuple(node for one in gap.mend.joined for node in one),
        new_leads=[plain_lead(one, is_bought=True) for one in gap.mend.joined],
    )


def picked_up(desk: Desk, near: Node, far: Node, gap: Gap) -> Iterator[Draft]:
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


def on_board(desk: Desk, near: Node, far: Node, target: Ends) -> Draft:
    """Return the way to solder a lead to a module's board, the last of all."""
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
        length_m=way_length(desk, near, far),
        touched=(near, far),
        new_leads=[NewLead(target, (NewEnd(near, via="board"), NewEnd(far)), is_direct=False)],
        steps=board_steps(situation, near),
    )


def _part(node: Node) -> str:
    return node if isinstance(node, str) else node.part


def other_end(ends: Ends, node: Node) -> Node:
    """Return the end of a lead that is not this one."""
    return ends[1] if ends[0] == node else ends[0]
