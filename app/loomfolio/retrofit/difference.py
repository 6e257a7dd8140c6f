"""What has to change so that a vehicle is joined as the target is: on pins and nets, not on drawn lines.

How the data flows, on those nets only that differ somewhere::

    target, vehicle ─ whole_things ─> parts, halves, plugs put right
                    ─ regions ─> the net of each node ─> leads to be cut, bars to be parted
                    ─ joining ─> bars and leads to be made
                    ─ moves ─> a cut lead and a missing one that share an end are one move

Of several leads that would serve alike (a ring), those in scope and then the first in order are taken.
The result has no more steps than needed: taking one away leaves two blocks of a net apart (tests hold it).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field

from loomfolio.retrofit.joining import Joiner
from loomfolio.retrofit.nodes import ends_order
from loomfolio.retrofit.records import Ends, Node
from loomfolio.retrofit.regions import Region
from loomfolio.retrofit.state import Bar, Equipment
from loomfolio.retrofit.whole_things import NOTHING, WholeThings, whole_things, with_whole_things


@dataclass(frozen=True)
class Move:
    """A lead that is there and has to end elsewhere: one end stays, the other leaves one node for another."""

    stays: Node
    leaves: Node
    goes_to: Node
    cut: Ends
    joined: Ends


@dataclass(frozen=True)
class Difference:
    """The steps from a vehicle to the target, in a fixed order.

    `joined` and `cut` are without those that make up `moves`; `branches` are the joined ones (moves
    included) that meet leads which the vehicle has.
    """

    whole: WholeThings = NOTHING
    bars: tuple[Bar, ...] = ()
    parted: Mapping[Bar, tuple[Bar, ...]] = field(default_factory=dict)
    joined: tuple[Ends, ...] = ()
    cut: tuple[Ends, ...] = ()
    moves: tuple[Move, ...] = ()
    branches: frozenset[Ends] = frozenset()
    taps: Mapping[Node, Node] = field(default_factory=dict)
    """For each splice that goes into leads which are there: one node of these."""


def difference(
    target: Equipment,
    vehicle: Equipment,
    *,
    preferred: Collection[Node] | None = None,
    around: Collection[Node] | None = None,
) -> Difference:
    """Return what has to change in `vehicle`; nothing where both join the same and hold the same.

    Parameters
    ----------
    preferred
        The nodes in scope: between leads that would serve alike, one of theirs is taken.
    around
        Look at bars and leads only of what hangs together with these nodes.
    """
    whole = whole_things(target, vehicle)
    region = Region(target, with_whole_things(target, vehicle, whole), around)
    labels = region.labels()
    cut = sorted(region.wrong_leads(labels), key=ends_order)
    parted = region.wrong_bars(labels)
    joiner = Joiner(region, labels, cut, parted, preferred)
    moves = _moves(cut, joiner.leads, joiner.in_target)
    moved_cuts, moved_joins = {m.cut for m in moves}, {m.joined for m in moves}
    return Difference(
        whole=whole,
        bars=tuple(joiner.bars),
        parted=parted,
        joined=tuple(ends for ends in joiner.leads if ends not in moved_joins),
        cut=tuple(ends for ends in cut if ends not in moved_cuts),
        moves=moves,
        branches=frozenset(joiner.branches),
        taps=joiner.taps,
    )


def _moves(
    cut: Sequence[Ends], joined: Sequence[Ends], in_target: Callable[[Node], Sequence[Node]]
) -> tuple[Move, ...]:
    """Pair as many cut leads as can be with missing ones that share an end (augmenting paths)."""
    at: dict[Node, list[Ends]] = {}
    for ends in joined:
        for node in ends:
            at.setdefault(node, []).append(ends)
    partner: dict[Ends, Ends] = {}

    def place(lead: Ends, tried: set[Ends]) -> bool:
        for node in lead:
            for wanted in [lead for same in in_target(node) for lead in at.get(same, ())]:
                if wanted not in tried:
                    tried.add(wanted)
                    if wanted not in partner or place(partner[wanted], tried):
                        partner[wanted] = lead
                        return True
        return False

    for lead in cut:
        place(lead, set())
    return tuple(
        _move(lead, wanted, in_target)
        for wanted, lead in sorted(partner.items(), key=lambda pair: ends_order(pair[0]))
    )


def _move(cut: Ends, joined: Ends, in_target: Callable[[Node], Sequence[Node]]) -> Move:
    stays, same = next((node, same) for node in cut for same in in_target(node) if same in joined)
    return Move(
        stays=stays,
        leaves=next(node for node in cut if node != stays),
        goes_to=next(node for node in joined if node != same),
        cut=cut,
        joined=joined,
    )
