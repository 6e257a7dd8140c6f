"""The pieces that a path rests on: joins, crossings, gaps, links, mates, and whether each is confirmed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from loomfolio.basics import MmPoint
from loomfolio.nets.netlist import Netlist
from loomfolio.nets.records import NameClaim, Piece, Spot
from loomfolio.nets.release import anchor_of, is_borne_out
from loomfolio.nets.runs import Hop, Node
from loomfolio.nets.spots import SPOT_REACH_MM
from loomfolio.project import Anchor, Lead, Link, Mate, PieceKind, PinKey, pin_text

JOIN_DEGREE = 3
"""A node where this many line ends meet is a join; two are a bend or a touch of one line."""


def pieces_of_path(netlist: Netlist, hops: Sequence[Hop]) -> tuple[Piece, ...]:
    """Return what a path rests on, in the order walked, each place once."""
    pieces: list[Piece] = []
    for hop in hops:
        if hop.link is not None:
            pieces.append(piece_of_link(netlist, hop.link))
        elif hop.edge is not None:
            sheet = hop.start[0]
            spots = netlist.sheets[sheet].graph.edge_spots.get(hop.edge.number, ())
            pieces.extend(_piece_of_spot(netlist, sheet, spot) for spot in spots)
            pieces.extend(_joins_at(netlist, (hop.start, hop.end)))
    return _each_once(pieces)


def _joins_at(netlist: Netlist, nodes: Iterable[Node]) -> Iterable[Piece]:
    for sheet, number in nodes:
        wiring = netlist.sheets[sheet].graph.wiring
        if wiring.degree(number) >= JOIN_DEGREE:
            at = wiring.points[number]
            spot = _spot_at(netlist.sheets[sheet].graph.spots, at)
            yield _piece(netlist, sheet, "join", spot.at if spot else at, spot)


def _spot_at(spots: Sequence[Spot], at: MmPoint) -> Spot | None:
    reach = [
        (spot.at.distance_mm(at), i) for i, spot in enumerate(spots) if spot.kind == "junction"
    ]
    distance, position = min(reach, default=(SPOT_REACH_MM + 1.0, -1))
    return spots[position] if distance <= SPOT_REACH_MM else None


_KIND_OF_SPOT: dict[str, PieceKind] = {
    "junction": "join",
    "crossing": "crossing",
    "gap": "gap",
    "touch": "touch",
    "end": "end",
}

_READ_AS: dict[PieceKind, str] = {
    "join": "lines are joined",
    "crossing": "lines cross",
    "gap": "a line is broken",
    "touch": "lines nearly touch",
    "end": "a line ends",
}


def _piece_of_spot(netlist: Netlist, sheet: str, spot: Spot) -> Piece:
    return _piece(netlist, sheet, _KIND_OF_SPOT[spot.kind], spot.at, spot)


def _piece(netlist: Netlist, sheet: str, kind: PieceKind, at: MmPoint, spot: Spot | None) -> Piece:
    facts = netlist.confirmations.at_place(kind, sheet, at)
    is_answered = spot is not None and spot.answer is not None
    taken = "" if spot is None else f", taken as {spot.answer or spot.taken}"
    title = netlist.sheets[sheet].graph.sheet.title
    doubt = " (in doubt)" if spot is not None and spot.is_doubt and not is_answered else ""
    return Piece(
        kind=kind,
        sentence=f"On sheet {title} {_READ_AS[kind]} at {at.x:.0f}, {at.y:.0f} mm{taken}{doubt}",
        is_confirmed=is_answered or is_borne_out(facts),
        place=anchor_of(sheet, at),
    )


def piece_of_link(netlist: Netlist, link: Link) -> Piece:
    """Return the piece that a link is: confirmed once it is settled that the two ends are one."""
    label = f" {link.label}" if link.label else ""
    a = netlist.sheets[link.a.sheet].graph.sheet.title
    b = netlist.sheets[link.b.sheet].graph.sheet.title if link.b is not None else "an unknown sheet"
    return Piece(
        kind="link",
        sentence=f"Link{label} goes on from sheet {a} to sheet {b}",
        is_confirmed=netlist.confirmations.is_link_confirmed(link),
        place=link.a,
        record=link.id,
    )


def piece_of_mate(netlist: Netlist, a: PinKey, b: PinKey, mate: Mate, detail: str) -> Piece:
    """Return the piece that a mated pair of cavities is."""
    way = "by its table" if mate.pairs else "proposed n to n"
    return Piece(
        kind="mate",
        sentence=f"{pin_text(netlist.project, a)} meets {pin_text(netlist.project, b)}, {way}",
        is_confirmed=netlist.confirmations.is_mate_confirmed(mate, detail),
        place=netlist.place_of.get(a) or netlist.place_of.get(b),
        record=mate.id,
        detail=detail,
    )


def piece_of_lead(netlist: Netlist, lead: Lead) -> Piece:
    """Return the piece that a lead known without a drawing is."""
    a, b = (pin_text(netlist.project, end) for end in lead.ends)
    source = f" ({lead.known.source})" if lead.known.source else ""
    facts = [lead.known, *netlist.confirmations.of_record("lead", lead.id)]
    return Piece(
        kind="lead",
        sentence=f"A lead from {a} to {b} is known by {lead.known.how}{source}",
        is_confirmed=is_borne_out(facts),
        record=lead.id,
    )


def pieces_of_name(netlist: Netlist, claims: Sequence[NameClaim]) -> tuple[Piece, ...]:
    """Return the names of a net that are not settled: more than one, or one that is only inferred."""
    names = {claim.name for claim in claims}
    pieces: list[Piece] = []
    for claim in claims:
        facts = [claim.known, *netlist.confirmations.of_record("name", claim.source, claim.name)]
        is_settled = any(known.is_sure for known in facts) and len(names) == 1
        if not is_settled:
            why = "is only inferred" if len(names) == 1 else f"stands beside {len(names) - 1} other"
            pieces.append(
                Piece(
                    kind="name",
                    sentence=f"The name {claim.name} {why}",
                    is_confirmed=False,
                    place=claim.place,
                    record=claim.source,
                    detail=claim.name,
                )
            )
    return tuple(pieces)


def _each_once(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
    """Drop a piece that stands again at the same place; a join there says more than a crossing or a touch."""
    kept: list[Piece] = []
    joins = [p.place for p in pieces if p.kind == "join" and p.place is not None]
    for piece in pieces:
        if piece.kind in {"crossing", "touch"} and any(_is_near(piece, join) for join in joins):
            continue
        if not any(piece.kind == other.kind and _is_same(piece, other) for other in kept):
            kept.append(piece)
    return tuple(kept)


def _is_near(piece: Piece, place: Anchor) -> bool:
    return (
        piece.place is not None
        and piece.place.sheet == place.sheet
        and piece.place.at.distance_mm(place.at) <= SPOT_REACH_MM
    )


def _is_same(piece: Piece, other: Piece) -> bool:
    if piece.record is not None or other.record is not None:
        return (piece.record, piece.detail) == (other.record, other.detail)
    return other.place is not None and _is_near(piece, other.place)
