"""The files of the bench pack when the work is planned: one PDF for the phone, sheets for the wall, lists for programs.

How the data flows::

    project, job's gaps, plan ─> PlanWords ─> work pack, tags, tables ─> PDF, XLSX, CSV, JSON
    project, nets, readings, pages ─> annotations ─> annotated sheets
    connector map ─> layout ─> picture for the wall

All files are written, or none.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from loomfolio.basics import NameNotFoundError
from loomfolio.bench.annotated import Picture, annotated_pdf
from loomfolio.bench.annotations import sheet_notes
from loomfolio.bench.cavities import cavity_svg, cavity_views
from loomfolio.bench.frame import Frame, Paper, Subject, frame_of
from loomfolio.bench.leads import BenchLead, bench_leads
from loomfolio.bench.map_files import map_sheet_table
from loomfolio.bench.map_sheet import map_sheet
from loomfolio.bench.map_wall import wall_sheet, wall_svg
from loomfolio.bench.output_files import make_folder, write_files
from loomfolio.bench.plan_words import PlanWords
from loomfolio.bench.proof import ProofPlan, job_proof, proof_json, proof_table
from loomfolio.bench.proof.proof_table import PROOF_COLUMNS, proof_sheet_table
from loomfolio.bench.sheet_words import counted
from loomfolio.bench.spreadsheets import workbook_bytes
from loomfolio.bench.tables import MAP_COLUMNS, map_table
from loomfolio.bench.text_tables import csv_bytes
from loomfolio.bench.typesetting import typeset
from loomfolio.bench.wire_tags import tag_sheet
from loomfolio.bench.work_pack import PROOF_ONLY, SPLICE_ONLY, work_pack
from loomfolio.bench.work_tables import work_json, work_tables
from loomfolio.nets import scope_nets
from loomfolio.project import PinKey, Project
from loomfolio.reading import Reading
from loomfolio.retrofit import JobGaps, WorkPlan

_UNSAFE = re.compile(r"[^A-Za-z0-9._-]+")


@dataclass(frozen=True, eq=False)
class BenchJob:
    """What the pack is made from: the document, its gaps and plan, its readings, and the pages of its sheets.

    `pictures` are the pages by sheet id; a sheet without one is annotated on white paper.
    """

    project: Project
    job: JobGaps
    plan: WorkPlan
    readings: Mapping[str, Reading] = field(default_factory=dict)
    pictures: Mapping[str, Picture] = field(default_factory=dict)

    def words(self, zone: str | None = None) -> PlanWords:
        """Return the words of the pack.

        Raises
        ------
        NameNotFoundError
            The document has no zone of that name.
        """
        names = [one.name for one in self.project.zones]
        if zone is not None and zone not in names:
            raise NameNotFoundError("zone", zone, names)
        return PlanWords(self.project, self.job, self.plan, zone)

    @property
    def proof(self) -> ProofPlan:
        """The proof of the job."""
        return job_proof(self.project, self.job, self.plan)

    @property
    def leads(self) -> tuple[BenchLead, ...]:
        """All leads of the target's map, numbered, with those of the job marked."""
        netlist = self.job.target.netlist
        scope = scope_nets(netlist) if self.project.job.scope else None
        return bench_leads(self.project, self.job.target.rows, scope)

    @property
    def own_leads(self) -> tuple[BenchLead, ...]:
        """The leads that the job is about."""
        return tuple(lead for lead in self.leads if lead.in_scope)

    @property
    def new_numbers(self) -> dict[frozenset[PinKey], str]:
        """The number of each new lead by its two pins; one that ends at a joint is left out."""
        numbers = self.words().lead_numbers
        found: dict[frozenset[PinKey], str] = {}
        for lead in self.plan.leads:
            pins = [end.pin for end in lead.ends if end.pin is not None]
            if len(pins) == 2:
                found[frozenset(pins)] = numbers[lead.key]
        return found


def write_work_pack(
    bench: BenchJob,
    out_dir: Path,
    *,
    zone: str | None = None,
    paper: Paper = "a4",
    today: date,
) -> tuple[Path, ...]:
    """Write the pack of a planned job and return its files: all are written, or none.

    Parameters
    ----------
    zone
        Only what is done in the zone of this name; the map and the annotated sheets show all.

    Raises
    ------
    UsageError
        The folder or a file in it cannot be written.
    NameNotFoundError
        The document has no such zone.
    """
    words = bench.words(zone)
    contents = {
        **_sheets(bench, words, paper, today),
        **_lists(bench, words, today),
        **_drawings(bench, today),
        **{f"cavities/{name}": data for name, data in cavity_files(bench).items()},
    }
    make_folder(out_dir)
    make_folder(out_dir / "cavities")
    paths = {out_dir / name: data for name, data in contents.items()}
    write_files(paths)
    return tuple(paths)


def _sheets(bench: BenchJob, words: PlanWords, paper: Paper, today: date) -> dict[str, bytes]:
    proof = bench.proof
    whole = work_pack(words, proof, paper=paper, today=today)
    splice = work_pack(
        words, proof, title="Splice sheet", sections=SPLICE_ONLY, paper=paper, today=today
    )
    tests = work_pack(words, proof, title="Proof", sections=PROOF_ONLY, paper=paper, today=today)
    return {
        "bench_pack.pdf": typeset("bench_pack.typ", whole, today=today),
        "splice_sheet.pdf": typeset("bench_pack.typ", splice, today=today),
        "proof.pdf": typeset("bench_pack.typ", tests, today=today),
        "wire_tags.pdf": typeset(
            "wire_tags.typ", tag_sheet(words, paper=paper, today=today), today=today
        ),
        "connector_map.pdf": as_built_map(bench, paper=paper, today=today),
    }


def as_built_map(bench: BenchJob, *, paper: Paper, today: date) -> bytes:
    """Return the connector map of the vehicle as it is to be, as PDF."""
    own = bench.own_leads
    held_back = sum(not lead.row.is_released for lead in own)
    facts = (("Leads", f"{len(own)}, of which {len(own) - held_back} released"),)
    note = f"{held_back} of {counted(len(own), 'lead')} not released: hollow here."
    subject = Subject("Connector map", facts, note, has_hollow=held_back > 0)
    lines = map_table(bench.project, bench.leads)
    frame = frame_of(bench.project, subject, lines, paper=paper, today=today)
    beyond = len(bench.leads) - len(own)
    return typeset(
        "connector_map.typ", map_sheet(bench.project, own, frame, beyond=beyond), today=today
    )


def _lists(bench: BenchJob, words: PlanWords, today: date) -> dict[str, bytes]:
    project, proof = bench.project, bench.proof
    lines = map_table(project, bench.leads)
    tests = proof_table(proof, project.meter_readings)
    title = project.job.title
    plan_tables = work_tables(words)
    return {
        "connector_map.xlsx": workbook_bytes(
            [map_sheet_table(lines)], title=f"Connector map, {title}", today=today
        ),
        "connector_map.csv": csv_bytes(MAP_COLUMNS, [line.cells() for line in lines]),
        "splice_sheet.xlsx": workbook_bytes(plan_tables, title=f"Work, {title}", today=today),
        **{f"{table.name}.csv": csv_bytes(table.columns, table.rows) for table in plan_tables},
        "work.json": work_json(words),
        "proof.xlsx": workbook_bytes(
            [proof_sheet_table(tests)], title=f"Proof, {title}", today=today
        ),
        "proof.csv": csv_bytes(PROOF_COLUMNS, [line.cells() for line in tests]),
        "proof.json": proof_json(project, proof),
    }


def _drawings(bench: BenchJob, today: date) -> dict[str, bytes]:
    wall = wall_sheet(
        bench.project, bench.own_leads, new_ends=frozenset(bench.new_numbers), today=today
    )
    return {
        "map_picture.pdf": typeset("map_picture.typ", wall, today=today),
        "map_picture.svg": wall_svg(wall).encode(),
        "annotated_sheets.pdf": annotated_sheets(bench, today=today),
    }


def annotated_sheets(bench: BenchJob, *, today: date) -> bytes:
    """Return the sheets of the documents with everything of ours drawn over them, as PDF."""
    notes = sheet_notes(
        bench.project,
        bench.job.target.netlist,
        bench.own_leads,
        bench.job.gaps,
        bench.readings,
        new_numbers=bench.new_numbers,
    )
    return annotated_pdf(bench.project, notes, bench.pictures, _frame(bench, today), today=today)


def _frame(bench: BenchJob, today: date) -> Frame:
    subject = Subject("Annotated sheets", (), "", has_hollow=False)
    lines = map_table(bench.project, bench.leads)
    return frame_of(bench.project, subject, lines, paper="a4", today=today)


def cavity_files(bench: BenchJob) -> dict[str, bytes]:
    """Return the cavity view of each connector that the work touches as SVG, by file name."""
    views = cavity_views(
        bench.project, bench.job, bench.plan, lead_numbers=bench.words().lead_numbers
    )
    return {f"{_UNSAFE.sub('_', view.title)}.svg": cavity_svg(view).encode() for view in views}
