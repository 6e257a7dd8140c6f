"""Where a net that is in the vehicle can be picked up: free places without cutting, plugs, leads.

Each place is offered with its reach (what comes off first) and the length of the new lead from there. A free
place is a cavity on a bar, a ground stud, a splice that is opened anyway; a plug takes an adaptor loom; a
lead is tapped near one of its halves.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomfolio.project import HalfKey, OperationKind, PinKey
from loomfolio.retrofit.records import Ends, Node
from loomfolio.retrofit.work.records import PickUp
from loomfolio.retrofit.work.situation import Situation

MOST_TAPS = 6
"""Leads of a net that are offered for a tap, nearest first: a net of forty legs is no help on a screen."""


@dataclass(frozen=True, slots=True)
class Place:
    """A place to pick a net up, by which kind of work, and what speaks for and against it."""

    kind: OperationKind
    pick_up: PickUp
    reasons: tuple[str, ...]
    against: tuple[str, ...]
    risk: str


def places_for(situation: Situation, start: Node, far: Node) -> tuple[Place, ...]:
    """Return the places at which the net of a node can be picked up for a lead to `far`.

    The node itself is none of them; a node that nothing in the vehicle is joined to has none.
    """
    block = situation.joined(start)
    free = list(_free_places(situation, block, far))
    plugs = list(_plugs(situation, block, start, far))
    taps = sorted(_taps(situation, block, far), key=_by_length)[:MOST_TAPS]
    return (*free, *plugs, *taps)


def _by_length(place: Place) -> tuple[float, str]:
    length = place.pick_up.length_m
    return (float("inf") if length is None else length.value, place.pick_up.where)


def _pick_up(
    situation: Situation, node: Node, far: Node, where: str, ends: Ends | None = None
) -> PickUp:
    zone = situation.zones.zone_of(node)
    laid = situation.zones.between(zone, situation.zones.zone_of(far))
    return PickUp(node, ends, where, zone, situation.zones.covers(zone), laid.length_m)


def _free_places(situation: Situation, block: tuple[Node, ...], far: Node) -> Iterator[Place]:
    for node in block[1:]:
        if isinstance(node, str) and situation.kind(node) == "ground point":
            where = f"the stud of {situation.text(node)}"
            yield Place(
                "lead into cavity",
                _pick_up(situation, node, far, where),
                ("Nothing is cut: a ring terminal goes onto the stud",),
                (),
                "Torque and clean metal: measure the ground afterwards",
            )
        elif isinstance(node, PinKey) and situation.vehicle.bars_at.get(node):
            if situation.leads_at(node) or situation.cavity_state(node) == "filled":
                continue
            where = f"the free cavity {situation.text(node)}"
            unseen = situation.cavity_state(node) == ""
            yield Place(
                "lead into cavity",
                _pick_up(situation, node, far, where),
                ("Nothing is cut: the cavity lies on the bar of this net",),
                ("Nobody has looked whether it is free",) if unseen else (),
                "The bar carries the new load as well",
            )


def _plugs(
    situation: Situation, block: tuple[Node, ...], start: Node, far: Node
) -> Iterator[Place]:
    done: set[HalfKey] = set()
    for node in block:
        if not isinstance(node, PinKey) or node == start or not situation.leads_at(node):
            continue
        half = node.half_key
        kind = situation.kind(node)
        if half in done or kind in {"joint connector", "splice", "ground point"}:
            continue
        done.add(half)
        what = "socket of" if kind in {"relay", "fuse"} else "plug"
        where = f"the {what} {situation.half_text(half)}, at {node.pin}"
        yield Place(
            "adaptor loom",
            _pick_up(situation, node, far, where),
            ("Nothing is cut, and it comes out again without a trace",),
            ("Both halves of the connector have to be got, and room for them",),
            "Every other circuit of the plug runs through the adaptor, too",
        )


def _taps(situation: Situation, block: tuple[Node, ...], far: Node) -> Iterator[Place]:
    done: set[Ends] = set()
    for node in block:
        for ends in situation.leads_at(node):
            if ends in done:
                continue
            done.add(ends)
            for end in ends:
                if isinstance(end, PinKey):
                    name = situation.half_text(end.half_key)
                    where = f"the lead {situation.lead_text(ends)}, near {name}"
                    yield Place(
                        "tap",
                        _pick_up(situation, end, far, where, ends),
                        ("The lead goes on whole: its insulation is opened at one place",),
                        ("One more joint in a lead of the vehicle",),
                        "A poor joint disturbs what hangs on the lead already",
                    )
