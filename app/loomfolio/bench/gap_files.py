"""The gaps of a job as CSV, XLSX, JSON, and as text for a terminal.

The JSON is the contract `loomfolio.gaps/1`; its schema is published as `assets/schemas/gaps-1.schema.json`.
After a change of the columns it is written anew by

    PYTHONPATH=app python -c "from loomfolio.bench import write_gaps_schema; write_gaps_schema()"

The files hold all gaps that they are given, also the closed ones and those outside of the job.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final, Literal

from pydantic import BaseModel, ConfigDict, Field

from loomfolio.basics import asset_path
from loomfolio.bench.gap_table import GAP_COLUMNS, GapLine, bench_gaps, gap_table
from loomfolio.bench.json_records import record_bytes, schema_text
from loomfolio.bench.output_files import write_files
from loomfolio.bench.sheet_words import counted
from loomfolio.bench.spreadsheets import UNDATED, Table, workbook_bytes
from loomfolio.bench.text_tables import columns_text, csv_bytes
from loomfolio.project import Project
from loomfolio.retrofit import Gap

GAPS_SCHEMA: Final = "loomfolio.gaps/1"
GAPS_SCHEMA_PATH = asset_path("schemas", "gaps-1.schema.json")


class GapsRecord(BaseModel):
    """What the equipped vehicle has and this one lacks."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    format: Literal["loomfolio.gaps/1"] = Field(default=GAPS_SCHEMA, alias="schema")
    job: str
    target_fit: str = Field(description="the fit that the vehicle shall have")
    vehicle_fit: str = Field(
        description="the fit of this vehicle's documents; empty: without options"
    )
    contradictions: tuple[str, ...] = Field(
        description="where the survey and the documents of this vehicle disagree; the survey holds"
    )
    gaps: tuple[GapLine, ...]


def write_gaps_csv(project: Project, gaps: Sequence[Gap], path: Path) -> None:
    """Write gaps as CSV; `UsageError` if that cannot be done."""
    write_files({path: csv_bytes(GAP_COLUMNS, [line.cells() for line in _lines(project, gaps)])})


def write_gaps_xlsx(project: Project, gaps: Sequence[Gap], path: Path) -> None:
    """Write gaps as XLSX; `UsageError` if that cannot be done."""
    table = Table("gaps", GAP_COLUMNS, tuple(line.cells() for line in _lines(project, gaps)))
    title = f"Gaps, {project.job.title}"
    write_files({path: workbook_bytes([table], title=title, today=UNDATED)})


def write_gaps_json(
    project: Project, gaps: Sequence[Gap], path: Path, *, contradictions: Sequence[str] = ()
) -> None:
    """Write gaps as JSON; `UsageError` if that cannot be done."""
    write_files({path: gaps_json(project, gaps, contradictions=contradictions)})


def gaps_json(
    project: Project, gaps: Sequence[Gap], *, contradictions: Sequence[str] = ()
) -> bytes:
    """Return what `write_gaps_json` writes."""
    record = GapsRecord(
        job=project.job.title,
        target_fit=project.job.target_fit,
        vehicle_fit=project.job.vehicle_fit,
        contradictions=tuple(contradictions),
        gaps=_lines(project, gaps),
    )
    return record_bytes(record)


def gaps_text(project: Project, gaps: Sequence[Gap]) -> str:
    """Return what is open in scope as a table for a terminal, and the counts of the rest."""
    lines = _lines(project, gaps)
    to_do = [line for line in lines if line.in_scope and line.open]
    rows = [
        (str(line.gap), line.sureness, line.kind, " ".join(line.missing.split())) for line in to_do
    ]
    look = sum(line.sureness != "sure" for line in to_do)
    closed = sum(line.in_scope and not line.open for line in lines)
    beyond = sum(not line.in_scope for line in lines)
    counts = f"{counted(len(to_do), 'open gap')}, {look} of them to be looked at; {closed} closed"
    outside = f"; {beyond} outside of the job" if beyond else ""
    return "\n".join(
        [*columns_text(("gap", "sureness", "kind", "missing"), rows), counts + outside]
    )


def gaps_schema_text() -> str:
    """Return the JSON Schema (draft 2020-12) of what `write_gaps_json` writes, as published."""
    return schema_text(GapsRecord)


def write_gaps_schema(path: Path = GAPS_SCHEMA_PATH) -> None:
    """Write the published schema anew."""
    path.write_text(gaps_schema_text(), encoding="utf-8")


def _lines(project: Project, gaps: Sequence[Gap]) -> tuple[GapLine, ...]:
    return gap_table(project, bench_gaps(project, gaps))
