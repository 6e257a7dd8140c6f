"""From a fault to suspects and checks: a reading that failed, a loop open, a fuse that blows, what stays live, no bus.

What the work made is suspected first, then contacts that were opened, then what was left alone. Of a way
from one point to another each point between can be probed; a short is found by parting the net at what can
be unplugged. Each start gives a `Search`, which proposes one check after the other (`half_split`).
"""

from __future__ import annotations

from collections.abc import Sequence

from loomfolio.basics import UsageError
from loomfolio.bench.proof.building import STAY_MATED, Points
from loomfolio.bench.proof.half_split import Check, Search, Suspect
from loomfolio.bench.proof.loops import Loop
from loomfolio.bench.proof.metal import Metal, MetalNet, MetalPiece, components, node_key
from loomfolio.bench.proof.records import ProofTest
from loomfolio.nets import Way
from loomfolio.project import PinKey
from loomfolio.retrofit import Node

NEW_JOINT, NEW_PIECE, OPENED_CONTACT, LEFT_ALONE = 5.0, 3.0, 2.0, 1.0
"""How much a piece is suspected: made by the work and jointed, made by it, unplugged for it, or neither."""
FURTHER_COVER = 0.3
"""What a point adds to the cost of a check where it is back-probed, or something more has to be opened."""


def way_search(
    net: MetalNet, a: Node, b: Node, metal: Metal, points: Points, *, opened: Sequence[str] = ()
) -> Search:
    """Return where a way from a to b is interrupted: checks from a to each point between that can be probed.

    `opened` are covers that are open already.

    Raises
    ------
    UsageError
        There is no way between the two.
    """
    way = net.way(a, b)
    if not way:
        raise UsageError("These two points are on no common lead; choose two of the same net.")
    return _chain_search(way, _nodes_along(way, a), metal, points, opened)


def _nodes_along(way: Sequence[MetalPiece], a: Node) -> list[Node]:
    nodes = [a]
    for piece in way:
        nodes.append(piece.other(nodes[-1]))
    return nodes


def _chain_search(
    way: Sequence[MetalPiece],
    nodes: Sequence[Node],
    metal: Metal,
    points: Points,
    opened: Sequence[str],
) -> Search:
    suspects = tuple(
        Suspect(piece.key, piece_text(piece, metal, points), _weight(piece, metal)) for piece in way
    )
    start = _name(nodes[0], metal, points)
    checks: list[Check] = []
    for number, node in enumerate(nodes[1:-1], 1):
        probe = points.at(node)
        if probe is None:
            continue
        further = points.reach(node) + (probe.cover not in opened)
        checks.append(
            Check(
                key=f"from {node_key(nodes[0])} to {node_key(node)}",
                text=f"{start} to {probe.text}, {probe.how}",
                side=frozenset(piece.key for piece in way[:number]),
                cost=1 + FURTHER_COVER * min(further, 1),
                good="conducts",
                bad="open",
            )
        )
    return Search(suspects, tuple(checks))


def _weight(piece: MetalPiece, metal: Metal) -> float:
    if piece.is_touched:
        is_jointed = any(metal.kind(node) == "splice" for node in piece.ends)
        return NEW_JOINT if is_jointed else NEW_PIECE
    return OPENED_CONTACT if piece.kind == "mate" else LEFT_ALONE


def piece_text(piece: MetalPiece, metal: Metal, points: Points) -> str:
    """Return a piece as a person calls it: the lead from here to there, its contacts included."""
    a, b = (_name(node, metal, points) for node in piece.ends)
    if piece.kind == "mate":
        return f"the contact {a} in {b}"
    if piece.kind == "bar":
        return f"the bar from {a} to {b}"
    colour = f" {piece.colour.text}" if piece.colour else ""
    return (
        f"the{' new' if piece.is_touched else ''} lead{colour} from {a} to {b}, its ends included"
    )


def _name(node: Node, metal: Metal, points: Points) -> str:
    probe = points.at(node)
    if probe is not None:
        return probe.text
    return metal.names.get(node if isinstance(node, str) else node.part, "the joint")


def failed_test_search(test: ProofTest, metal: Metal, points: Points) -> Search:
    """Return where the fault behind a failed reading may lie: an interruption, or a short.

    Raises
    ------
    UsageError
        The test is of a kind that names its fault by itself.
    """
    if test.stage in {"continuity", "loaded drop"} and test.a is not None and test.b:
        net = next(n for n in metal.nets if test.a.node in n.nodes and test.b[0].node in n.nodes)
        covers = [probe.cover for probe in test.probes]
        return way_search(net, test.a.node, test.b[0].node, metal, points, opened=covers)
    if test.stage == "isolation" and test.a is not None:
        net = next(n for n in metal.nets if test.a.node in n.touched_nodes)
        return short_search(net, test.a.node, metal, points)
    raise UsageError("This reading names its fault by itself; follow what stands beside it.")


def short_search(net: MetalNet, at: Node, metal: Metal, points: Points) -> Search:
    """Return where a net meets what it must not: parted at each contact that can be unplugged, read from `at`.

    Also the parts that hang on it are suspects; each is unplugged by itself.
    """
    suspects = [Suspect(p.key, piece_text(p, metal, points), _weight(p, metal)) for p in net.pieces]
    checks: list[Check] = []
    for piece in net.pieces:
        if piece.kind == "mate":
            beyond = _beyond(net, piece, at)
            name = " and ".join(_name(node, metal, points) for node in piece.ends)
            checks.append(_parted(f"part {piece.key}", f"Unplug {name}, read again", beyond))
    for part in dict.fromkeys(n.part for n in net.nodes if isinstance(n, PinKey)):
        if metal.kinds.get(part) in STAY_MATED | {"splice", "ground point"}:
            continue
        suspects.append(Suspect(f"part {part}", f"{metal.names[part]} itself", LEFT_ALONE))
        text = f"Unplug {metal.names[part]} and nothing else, read again"
        checks.append(_parted(f"unplug {part}", text, frozenset((f"part {part}",))))
    return Search(tuple(suspects), tuple(checks))


def _parted(key: str, text: str, beyond: frozenset[str]) -> Check:
    """A check by unplugging: where the short goes away, it lies beyond."""
    return Check(key, text, beyond, good="short is still there", bad="short has gone")


def _beyond(net: MetalNet, piece: MetalPiece, at: Node) -> frozenset[str]:
    """The pieces, and parts, that hang on the far side of a piece, seen from `at`."""
    rest = [other for other in net.pieces if other is not piece]
    far = next(
        (
            own
            for own in components(net.nodes, rest)
            if at not in own and not own.isdisjoint(piece.ends)
        ),
        frozenset[Node](),
    )
    pieces = {other.key for other in rest if set(other.ends) <= far}
    parts = {f"part {node.part}" for node in far if isinstance(node, PinKey)}
    return frozenset(pieces | parts)


# ------------------------------------------------------------------------------------ other starts


def loop_open_search(loop: Loop, metal: Metal, points: Points) -> Search:
    """Return where an interlock loop is open: from its first pin to each point that can be probed on it."""
    suspects: list[Suspect] = []
    checks: list[Check] = []
    start = _name(loop.ends[0], metal, points)
    for step in loop.steps:
        if step.part is not None:
            contact = f"contact {node_key(step.a)} {node_key(step.b)}"
            text = f"the interlock contact inside {metal.names[step.part]}, or its plug not home"
            suspects.append(Suspect(contact, text, OPENED_CONTACT))
            continue
        net = next(net for net in loop.nets if step.a in net.nodes)
        way = net.way(step.a, step.b)
        for piece, node in zip(way, _nodes_along(way, step.a)[1:], strict=True):
            suspects.append(
                Suspect(piece.key, piece_text(piece, metal, points), _weight(piece, metal))
            )
            probe = points.at(node)
            if probe is not None and node != loop.ends[1]:
                checks.append(
                    Check(
                        key=f"loop to {node_key(node)}",
                        text=f"{start} to {probe.text}, back-probed, all plugged",
                        side=frozenset(s.key for s in suspects),
                        cost=1 + FURTHER_COVER * points.reach(node),
                        good="conducts",
                        bad="open",
                    )
                )
    return Search(tuple(suspects), tuple(checks))


def fuse_blows_search(fuse: str, metal: Metal, points: Points) -> Search:
    """Return what may blow a fuse: everything on the net behind it, read to ground with the fuse out.

    Behind is the side with what the work touches, otherwise that with fewer other fuses.

    Raises
    ------
    UsageError
        The fuse is on no lead.
    """
    nets = sorted(
        metal.nets_at(fuse),
        key=lambda net: (not net.is_touched, sum(metal.kind(node) == "fuse" for node in net.nodes)),
    )
    if not nets:
        raise UsageError(f"{metal.names.get(fuse, 'This fuse')} is on no lead of the documents.")
    at = next(node for node in nets[0].nodes if isinstance(node, PinKey) and node.part == fuse)
    search = short_search(nets[0], at, metal, points)
    own = f"part {fuse}"
    return Search(
        tuple(s for s in search.suspects if s.key != own),
        tuple(c for c in search.checks if c.key != f"unplug {fuse}"),
    )


def stays_live_search(pin: PinKey, ways: Sequence[Way], metal: Metal, points: Points) -> Search:
    """Return what may feed a pin that should be dead: each contact, fuse or switch on a way from a supply to it.

    `ways` are those that follow the pin. Each can be taken out; where the pin goes dead, the feed runs over it.
    """
    feeds: dict[str, set[str]] = {}
    texts: dict[str, str] = {}
    for number, way in enumerate(ways):
        if not _comes_from_supply(way, metal):
            continue
        route = f"way {number}"
        texts[route] = (
            f"a feed over {', '.join(_passed(way)) or 'nothing that switches'} from {way.ends_at}"
        )
        for step in way.steps:
            if step.relation == "passes" and step.pin is not None:
                feeds.setdefault(step.pin.part, set()).add(route)
    suspects = [Suspect(route, text, LEFT_ALONE) for route, text in texts.items()]
    net = next((net for net in metal.nets if pin in net.nodes), None)
    if net is not None:
        short = f"a short to something live on {net.name or 'its net'}"
        weight = NEW_PIECE if net.is_touched else LEFT_ALONE
        suspects.append(Suspect("short", short, weight))
    checks = [
        Check(
            f"out {part}",
            f"Take out or unplug {metal.names[part]}; is {points.half(pin)}:{pin.pin} dead?",
            frozenset(routes),
            good="still live",
            bad="dead",
        )
        for part, routes in feeds.items()
    ]
    return Search(tuple(suspects), tuple(checks))


def _comes_from_supply(way: Way, metal: Metal) -> bool:
    last = next((step.pin for step in reversed(way.steps) if step.pin is not None), None)
    return last is not None and metal.kind(last) in {"supply", "battery"}


def _passed(way: Way) -> tuple[str, ...]:
    return tuple(dict.fromkeys(step.label for step in way.steps if step.relation == "passes"))


def no_communication_search(pair: ProofTest, metal: Metal, points: Points) -> Search:
    """Return why a module does not talk on a bus pair: its supply, its ground, a lead of the pair, the ends, itself."""
    if pair.a is None or not pair.b:
        raise UsageError("This pair has no place to read it; choose a bus of the plan.")
    place = pair.a.place
    high, low = (next(n for n in metal.nets if p.node in n.nodes) for p in (pair.a, pair.b[0]))
    suspects = [
        Suspect("supply", f"the supply of {place}", OPENED_CONTACT),
        Suspect("ground", f"the ground of {place}", OPENED_CONTACT),
        *(
            Suspect(p.key, piece_text(p, metal, points), _weight(p, metal))
            for p in (*high.pieces, *low.pieces)
        ),
        Suspect("ends", "an end of the bus that is missing, or one too many", LEFT_ALONE),
        Suspect("crossed", "the two leads of the pair are crossed", NEW_PIECE),
        Suspect("coding", f"{place} is not coded for this bus, or faulty", LEFT_ALONE),
    ]
    leads = frozenset(p.key for p in (*high.pieces, *low.pieces))
    volts = f"Battery volts at {place}, supply to ground, plugged and back-probed"
    drop = f"Drop from the ground pin of {place} to battery minus: below 0.1 V"
    ends = f"{pair.a.text} to {pair.b[0].text}, power off: 60 ohm"
    levels = "Bus awake: high 2.5 to 3.5 V, low 1.5 to 2.5 V to ground, not the other way round"
    checks = (
        Check("volts", volts, frozenset(("supply", "ground"))),
        Check("ground", drop, frozenset(("ground",))),
        Check(f"ends {pair.key}", ends, frozenset({"ends", *leads})),
        Check("levels", levels, frozenset(("crossed",)), cost=1.2),
        *(
            Check(
                f"whole {net.key}",
                f"{probe.text}: the lead alone, from end to end",
                frozenset(piece.key for piece in net.pieces),
                cost=1.3,
            )
            for net, probe in ((high, pair.a), (low, pair.b[0]))
        ),
    )
    return Search(tuple(suspects), checks)
