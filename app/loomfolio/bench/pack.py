"""The bench pack: connector map and splice sheet, each as PDF, XLSX and CSV."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from loomfolio.bench.cut_list import CutPiece, cut_list, joints_for_gaps, pieces_for_gaps
from loomfolio.bench.frame import Frame, Paper, Subject, frame_of
from loomfolio.bench.joints import Joint, joints_of
from loomfolio.bench.leads import BenchLead, bench_leads
from loomfolio.bench.map_files import map_sheet_table
from loomfolio.bench.map_sheet import map_sheet
from loomfolio.bench.output_files import make_folder, write_files
from loomfolio.bench.printed import MapSheet, SpliceSheet
from loomfolio.bench.sheet_words import counted
from loomfolio.bench.splice_sheet import splice_sheet
from loomfolio.bench.spreadsheets import Table, workbook_bytes
from loomfolio.bench.tables import (
    CUT_COLUMNS,
    MAP_COLUMNS,
    SPLICE_COLUMNS,
    MapLine,
    SpliceLine,
    cut_table,
    map_table,
    splice_table,
)
from loomfolio.bench.text_tables import csv_bytes
from loomfolio.bench.typesetting import typeset
from loomfolio.nets import MapRow, Netlist, scope_nets
from loomfolio.project import Project
from loomfolio.retrofit import Gap

MAP_TITLE, SPLICE_TITLE = "Connector map", "Splice sheet"


@dataclass(frozen=True, slots=True)
class _Pack:
    """What all files of one pack are made from."""

    project: Project
    fit: str
    paper: Paper
    today: date
    leads: tuple[BenchLead, ...]
    lines: tuple[MapLine, ...]
    joints: tuple[Joint, ...]
    splices: tuple[SpliceLine, ...]
    pieces: tuple[CutPiece, ...]
    knows_gaps: bool

    @property
    def own_leads(self) -> tuple[BenchLead, ...]:
        """The leads that the job is about."""
        return tuple(lead for lead in self.leads if lead.in_scope)

    def frame(self, title: str, leads: Sequence[BenchLead]) -> Frame:
        """Return the frame of one printed sheet that shows `leads`."""
        held_back = sum(not lead.row.is_released for lead in leads)
        facts = (
            ("Fit", self.fit),
            ("Leads", f"{len(leads)}, of which {len(leads) - held_back} released"),
        )
        subject = Subject(title, facts, _note(len(leads), held_back), has_hollow=held_back > 0)
        return frame_of(self.project, subject, self.lines, paper=self.paper, today=self.today)


def write_bench_pack(
    project: Project,
    netlist: Netlist,
    rows: Sequence[MapRow],
    out_dir: Path,
    *,
    gaps: Sequence[Gap] | None = None,
    paper: Paper = "a4",
    today: date,
) -> tuple[Path, ...]:
    """Write the bench pack and return its files: all are written, or none.

    On paper stands only what the job is about (`scope_nets`; all where no scope was named); the map's XLSX
    and CSV hold all rows. The cut list holds only what is released and not yet in the vehicle.
    `out_dir` is made where it is missing.

    Parameters
    ----------
    rows
        The connector map of `netlist`; may be empty.
    gaps
        What the vehicle lacks: only leads and joints that close one of them are made. None where the job names no
        fits; the cut list then says that it may hold leads which are in the vehicle already.
    today
        The date that is printed and written into the files.

    Raises
    ------
    UsageError
        The folder or a file in it cannot be written.
    """
    pack = _pack(project, netlist, rows, gaps, paper, today)
    contents = {
        "connector_map.pdf": typeset("connector_map.typ", _map_sheet(pack), today=today),
        "connector_map.xlsx": _map_workbook(pack),
        "connector_map.csv": csv_bytes(MAP_COLUMNS, [line.cells() for line in pack.lines]),
        "splice_sheet.pdf": typeset("splice_sheet.typ", _splice_sheet(pack), today=today),
        "splice_sheet.xlsx": _splice_workbook(pack),
        "splice_sheet.csv": csv_bytes(SPLICE_COLUMNS, [line.cells() for line in pack.splices]),
    }
    make_folder(out_dir)
    paths = {out_dir / name: data for name, data in contents.items()}
    write_files(paths)
    return tuple(paths)


def _pack(
    project: Project,
    netlist: Netlist,
    rows: Sequence[MapRow],
    gaps: Sequence[Gap] | None,
    paper: Paper,
    today: date,
) -> _Pack:
    scope = scope_nets(netlist) if project.job.scope else None
    leads = bench_leads(project, rows, scope)
    own = [lead for lead in leads if lead.in_scope]
    joints = joints_of(project, own)
    pieces = cut_list(own, joints)
    if gaps is not None:
        joints, pieces = joints_for_gaps(joints, gaps), pieces_for_gaps(pieces, gaps)
    return _Pack(
        project=project,
        fit=netlist.fit.name if netlist.fit is not None else "",
        paper=paper,
        today=today,
        leads=leads,
        lines=map_table(project, leads),
        joints=joints,
        splices=splice_table(project, joints),
        pieces=pieces,
        knows_gaps=gaps is not None,
    )


def _map_sheet(pack: _Pack) -> MapSheet:
    own = pack.own_leads
    return map_sheet(
        pack.project, own, pack.frame(MAP_TITLE, own), beyond=len(pack.leads) - len(own)
    )


def _splice_sheet(pack: _Pack) -> SpliceSheet:
    frame = pack.frame(SPLICE_TITLE, pack.own_leads)
    return splice_sheet(
        pack.project, pack.own_leads, pack.joints, pack.pieces, frame, knows_gaps=pack.knows_gaps
    )


def _map_workbook(pack: _Pack) -> bytes:
    table = map_sheet_table(pack.lines)
    return workbook_bytes([table], title=_title(MAP_TITLE, pack), today=pack.today)


def _splice_workbook(pack: _Pack) -> bytes:
    cut = cut_table(pack.project, pack.pieces)
    tables = [
        Table("joints", SPLICE_COLUMNS, tuple(line.cells() for line in pack.splices)),
        Table("cut list", CUT_COLUMNS, tuple(line.cells() for line in cut)),
    ]
    return workbook_bytes(tables, title=_title(SPLICE_TITLE, pack), today=pack.today)


def _note(count: int, held_back: int) -> str:
    if count == 0:
        return "There are no leads on this sheet."
    if held_back == 0:
        return "The one lead is released." if count == 1 else f"All {count} leads are released."
    verb = "is" if held_back == 1 else "are"
    held = f"{held_back} of {counted(count, 'lead')} {verb} not released"
    return f"{held}: hollow here, not in the cut list."


def _title(sheet: str, pack: _Pack) -> str:
    return f"{sheet}, {pack.project.job.title}" if pack.project.job.title else sheet
