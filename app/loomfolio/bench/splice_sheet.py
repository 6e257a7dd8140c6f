"""The splice sheet for the bench: each joint as one block, the cut list, and what is not released."""

from __future__ import annotations

from collections.abc import Sequence

from loomfolio.bench.cut_list import CutPiece
from loomfolio.bench.frame import Frame
from loomfolio.bench.joints import Joint, JointEnd
from loomfolio.bench.leads import BenchLead, pin_words
from loomfolio.bench.printed import JointBlock, PrintedLead, SpliceSheet, printed_wire
from loomfolio.bench.sheet_words import by_number, gathered, number_runs, sheet_numbers
from loomfolio.project import Project

MOST_OPEN = 4
"""Sentences on what is open that are printed with a lead; the map's files hold them all."""


def splice_sheet(
    project: Project,
    leads: Sequence[BenchLead],
    joints: Sequence[Joint],
    pieces: Sequence[CutPiece],
    frame: Frame,
    *,
    knows_gaps: bool,
) -> SpliceSheet:
    """Return the splice sheet as it is printed; `leads` are those that the job is about."""
    return SpliceSheet(
        frame=frame,
        joints=tuple(_block(project, joint) for joint in joints),
        cut=tuple(_piece(project, piece) for piece in pieces),
        cut_note=_cut_note(knows_gaps=knows_gaps, has_pieces=bool(pieces)),
        held_back=tuple(_held_back(project, lead) for lead in leads if not lead.row.is_released),
    )


def _cut_note(*, knows_gaps: bool, has_pieces: bool) -> str:
    if not has_pieces:
        return "No lead that the job needs is released: there is nothing to cut yet."
    if knows_gaps:
        return "Released, and lacking in the vehicle. Look first: what is there already is not cut."
    return (
        "Released. Which of these leads the vehicle has already is not known: name its fit and the fit"
        " that it is to get, or look at each before you cut."
    )


def _block(project: Project, joint: Joint) -> JointBlock:
    return JointBlock(
        name=joint.name,
        kind=joint.kind,
        net=joint.net,
        sheets=sheet_numbers(project, joint.sheets),
        is_released=joint.is_released,
        note=_note(joint),
        seen=tuple(_end(project, end) for end in joint.ends if end.is_seen),
        new=tuple(_end(project, end) for end in joint.ends if not end.is_seen),
    )


def _note(joint: Joint) -> str:
    held_back = [end for end in joint.ends if not end.is_released]
    if not held_back:
        return ""
    numbers = sorted({number for end in held_back for number in end.leads})
    which = f"lead {numbers[0]}" if len(numbers) == 1 else f"leads {number_runs(numbers)}"
    return f"Do not make this joint: {which} not released, see below."


def _end(project: Project, end: JointEnd) -> PrintedLead:
    return PrintedLead(
        number=number_runs(sorted(end.leads)),
        pin=None,
        far=pin_words(project, end.pin) if end.pin else None,
        joint="",
        wire=printed_wire(end.colour, end.area_mm2),
        net="",
        length="",
        sheets="",
        is_released=end.is_released,
    )


def _piece(project: Project, piece: CutPiece) -> PrintedLead:
    return PrintedLead(
        number=number_runs(sorted(piece.leads)),
        pin=pin_words(project, piece.a),
        far=pin_words(project, piece.b) if piece.b else None,
        joint=piece.joint,
        wire=printed_wire(piece.colour, piece.area_mm2),
        net=piece.net,
        length="" if piece.length_m is None else f"{piece.length_m:g}",
        sheets="",
        is_released=True,
    )


def _held_back(project: Project, lead: BenchLead) -> PrintedLead:
    row = lead.row
    open_sentences = gathered(by_number(project, lead.open_sentences))
    shown = open_sentences[:MOST_OPEN]
    return PrintedLead(
        number=str(lead.number),
        pin=pin_words(project, row.a),
        far=pin_words(project, row.b) if row.b else None,
        joint="",
        wire=printed_wire(row.colour, row.area_mm2),
        net=row.net_name,
        length="",
        sheets=sheet_numbers(project, row.sheets),
        is_released=False,
        open=shown,
        more_open=len(open_sentences) - len(shown),
    )
