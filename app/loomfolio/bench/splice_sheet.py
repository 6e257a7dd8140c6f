"""The splice sheet for the bench: each joint as one block, the cut list, and what is not released."""

from __future__ import annotations

from collections.abc import Sequence

from loomfolio.bench.cut_list import CutPiece
from loomfolio.bench.joints import Joint, JointEnd
from loomfolio.bench.leads import BenchLead, pin_words
from loomfolio.bench.printed import (
    Frame,
    JointBlock,
    PrintedLead,
    SpliceSheet,
    printed_wire,
    sheet_numbers,
)
from loomfolio.project import Project

LEADS_PER_BLOCK = 16
"""Of one side. A block of so many, two lines each, still fits on a page of letter size."""


def splice_sheet(
    project: Project,
    leads: Sequence[BenchLead],
    joints: Sequence[Joint],
    pieces: Sequence[CutPiece],
    frame: Frame,
) -> SpliceSheet:
    """Return the splice sheet as it is printed; `leads` are those that the job is about."""
    return SpliceSheet(
        frame=frame,
        joints=tuple(block for joint in joints for block in _blocks(project, joint)),
        cut=tuple(_piece(project, piece) for piece in pieces),
        held_back=tuple(_held_back(project, lead) for lead in leads if not lead.row.is_released),
    )


def _blocks(project: Project, joint: Joint) -> list[JointBlock]:
    """One block for a joint; several, each named as a part, where it has very many leads."""
    seen = [_end(project, end) for end in joint.ends if end.is_seen]
    new = [_end(project, end) for end in joint.ends if not end.is_seen]
    parts = max(_parts(seen), _parts(new), 1)
    return [
        JointBlock(
            name=joint.name,
            kind=joint.kind,
            part="" if parts == 1 else f"part {number + 1} of {parts}",
            net=joint.net,
            sheets=sheet_numbers(project, joint.sheets),
            is_released=joint.is_released,
            note=_note(joint),
            seen=tuple(seen[number * LEADS_PER_BLOCK :][:LEADS_PER_BLOCK]),
            new=tuple(new[number * LEADS_PER_BLOCK :][:LEADS_PER_BLOCK]),
        )
        for number in range(parts)
    ]


def _parts(ends: Sequence[PrintedLead]) -> int:
    return -(-len(ends) // LEADS_PER_BLOCK)


def _note(joint: Joint) -> str:
    held_back = [end for end in joint.ends if not end.is_released]
    if not held_back:
        return ""
    numbers = sorted({number for end in held_back for number in end.leads})
    which = f"lead {numbers[0]}" if len(numbers) == 1 else f"leads {_runs(numbers)}"
    return f"Do not make this joint: {which} not released, see below."


def _runs(numbers: Sequence[int]) -> str:
    """Return numbers with runs of three or more drawn together: `3, 5–8, 11`."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs
    )


def _end(project: Project, end: JointEnd) -> PrintedLead:
    return PrintedLead(
        number=_runs(sorted(end.leads)),
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
        number=_runs(sorted(piece.leads)),
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
        open=lead.open_sentences,
    )
