"""Offers for leads, branches and cables that are missing.

A missing lead may end in both cavities that the target names, or begin anywhere on the net that is in
the vehicle already. What is cut comes after what is plugged, and a module's board comes last.
"""

from __future__ import annotations

from collections.abc import Iterator

from loomfolio.project import PinKey
from loomfolio.retrofit.gap_writer import ends_key, node_key
from loomfolio.retrofit.records import Ends, Gap, Node
from loomfolio.retrofit.work.bans import Ban
from loomfolio.retrofit.work.drafts import Desk, Draft, plain_lead
from loomfolio.retrofit.work.lead_ways import (
    from_donors,
    on_board,
    other_end,
    picked_up,
    way_length,
    whole_cable,
)
from loomfolio.retrofit.work.practice import practice
from loomfolio.retrofit.work.records import NewEnd, NewLead

_STUBS = frozenset({"cut", "terminal without lead"})


def drafts_for_missing(desk: Desk, gap: Gap) -> Iterator[Draft]:
    """Yield the ways to make a lead or branch that is missing."""
    (lead,) = gap.mend.joined
    yield from from_donors(desk, gap)
    if _is_assembly(desk, lead):
        yield whole_cable(desk, gap)
    if not gap.mend.tapped:
        yield _at_joint(desk, lead) if _old_joint(desk, lead) else _both_cavities(desk, lead)
    for near, far in (lead, lead[::-1]):
        yield from picked_up(desk, near, far, gap)
        yield from _stub(desk, near, far, lead)
    for near, far in (lead, lead[::-1]):
        if desk.situation.is_module_in_vehicle(near):
            yield on_board(desk, near, far, lead)


def drafts_for_cable(desk: Desk, gap: Gap) -> Iterator[Draft]:
    """Yield the ways to make a pair, a screened cable or a cable that is missing."""
    situation, name = desk.situation, gap.sentence.split(" is missing")[0]
    yield from from_donors(desk, gap)
    yield whole_cable(desk, gap)
    nodes = tuple(node for lead in gap.mend.joined for node in lead)
    untwisted = practice("untwisted length of a pair at a joint or connector")
    yield Draft(
        kind="lead into cavity",
        subject=" ".join(ends_key(lead) for lead in gap.mend.joined),
        title=f"{name}: make its leads one by one and lay them together",
        reasons=("Nothing is cut",),
        against=(f"Twist them by hand, no more than {untwisted.value:g} mm open at each end",),
        risk="A pair that is laid apart picks up what it should not",
        length_m=way_length(desk, *gap.mend.joined[0]),
        works=("lead",) * (len(gap.mend.joined) - 1),
        touched=nodes,
        new_leads=[plain_lead(lead) for lead in gap.mend.joined],
        own_bans=_screen_ban(desk, nodes, name),
    )
    for lead in gap.mend.joined:
        for near in lead:
            if situation.is_module_in_vehicle(near):
                other = lead[1] if near == lead[0] else lead[0]
                yield on_board(desk, near, other, lead)


def _screen_ban(desk: Desk, nodes: tuple[Node, ...], name: str) -> tuple[Ban, ...]:
    if "screened" not in desk.situation.classes(*nodes):
        return ()
    return (Ban(f"{name[0].lower()}{name[1:]} has a screen: single leads have none"),)


def _old_joint(desk: Desk, lead: Ends) -> Node | None:
    """The splice of the vehicle at which a lead would end; None where it ends at none."""
    situation = desk.situation
    own = (n for n in lead if situation.kind(n) == "splice" and situation.leads_at(n))
    return next(own, None)


def _at_joint(desk: Desk, lead: Ends) -> Draft:
    """A lead that ends at a splice which is in the vehicle: the splice is opened and takes one leg more."""
    situation = desk.situation
    joint = _old_joint(desk, lead) or lead[0]
    far = other_end(lead, joint)
    return Draft(
        kind="tap",
        subject=ends_key(lead),
        title=f"Open {situation.text(joint)} and join a lead to {situation.text(far)} there",
        reasons=("Where the target has its joint",),
        against=("It has to be found in the bundle, and made anew with one leg more",),
        risk="All its legs work again only when it is whole",
        cuts=1,
        joints=1,
        length_m=way_length(desk, *lead),
        works=("lead",),
        touched=lead,
        new_leads=[NewLead(lead, (NewEnd(joint, "splice"), NewEnd(far)))],
    )


def _is_assembly(desk: Desk, lead: Ends) -> bool:
    return bool(desk.situation.classes(*lead) & {"high voltage", "screened"})


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
        length_m=way_length(desk, *lead),
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


def _stub(desk: Desk, near: Node, far: Node, target: Ends) -> Iterator[Draft]:
    situation = desk.situation
    if not isinstance(near, PinKey) or situation.cavity_state(near) not in _STUBS:
        return
    yield Draft(
        kind="butt splice",
        subject=f"stub at {node_key(near)} for {node_key(far)}",
        title=f"Extend the stub at {situation.text(near)} to {situation.text(far)}",
        reasons=("The terminal is in already: its stub is joined and led on",),
        against=("A stub of its full length has to be there",),
        risk="Old copper does not take a crimp: cut back to bright strands",
        joints=1,
        length_m=way_length(desk, near, far),
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
