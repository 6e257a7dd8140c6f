"""The cut list: every piece of lead that is to be made.

A lead of the map is one piece, from pin to pin. Not so at a drawn branch: the map lists it from its
first pin to each of the others, but what is cut runs from each pin to the joint. What was seen in the
vehicle of the job is there already and is not cut; nor is what its gaps do not ask for (`pieces_for_gaps`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from loomfolio.bench.joints import Joint
from loomfolio.bench.leads import BenchLead
from loomfolio.project import LeadColour, PinKey
from loomfolio.retrofit import Gap, Node


@dataclass(frozen=True, slots=True)
class CutPiece:
    """One piece to cut, from a pin to another pin or to the joint of that name.

    `leads` are the numbers of the map's leads that run over it. Colour, area and length are None
    where they are not known, or where the leads that share the piece disagree.
    """

    leads: tuple[int, ...]
    a: PinKey
    b: PinKey | None
    joint: str
    net: str
    colour: LeadColour | None
    area_mm2: float | None
    length_m: float | None


def cut_list(leads: Sequence[BenchLead], joints: Sequence[Joint]) -> tuple[CutPiece, ...]:
    """Return the pieces to cut, by the number of their first lead: only what is released.

    `leads` are those that the job is about, `joints` those at which they meet.
    """
    pieces = [
        _whole(lead)
        for lead in leads
        if lead.row.is_released and not lead.is_seen and not lead.row.is_branch
    ]
    for joint in joints:
        if joint.kind == "drawn branch":
            pieces.extend(_to_joint(joint))
    return tuple(sorted(pieces, key=lambda piece: (piece.leads[0], -len(piece.leads))))


def _whole(lead: BenchLead) -> CutPiece:
    row = lead.row
    return CutPiece(
        leads=(lead.number,),
        a=row.a,
        b=row.b,
        joint="",
        net=row.net_name,
        colour=row.colour,
        area_mm2=row.area_mm2,
        length_m=lead.length_m,
    )


def _to_joint(joint: Joint) -> list[CutPiece]:
    return [
        CutPiece(
            leads=end.leads,
            a=end.pin,
            b=None,
            joint=joint.name,
            net=joint.net,
            colour=end.colour,
            area_mm2=end.area_mm2,
            length_m=None,
        )
        for end in joint.ends
        if end.pin is not None and end.is_released and not end.is_seen
    ]


def pieces_for_gaps(pieces: Sequence[CutPiece], gaps: Sequence[Gap]) -> tuple[CutPiece, ...]:
    """Return the pieces that close an open gap: every other lead is in the vehicle already.

    A piece to a joint counts where a lead that is missing ends at its pin.
    """
    missing = _missing(gaps)
    pins = {node for ends in missing for node in ends}
    return tuple(
        piece
        for piece in pieces
        if (piece.a in pins if piece.b is None else frozenset((piece.a, piece.b)) in missing)
    )


def joints_for_gaps(joints: Sequence[Joint], gaps: Sequence[Gap]) -> tuple[Joint, ...]:
    """Return the joints at which a lead that is missing ends: every other joint is in the vehicle already."""
    pins = {node for ends in _missing(gaps) for node in ends}
    return tuple(joint for joint in joints if any(end.pin in pins for end in joint.ends))


def _missing(gaps: Sequence[Gap]) -> set[frozenset[Node]]:
    """The two ends of each lead that an open gap asks for."""
    return {frozenset(ends) for gap in gaps if gap.is_open for ends in gap.mend.joined}
