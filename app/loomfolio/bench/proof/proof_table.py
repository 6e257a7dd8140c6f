"""The proof as numbered lines with columns that stay, each with its last reading and what it means.

The JSON is the contract `loomfolio.proof/1`; its schema is published as `assets/schemas/proof-1.schema.json`.
After a change of the columns it is written anew by

    PYTHONPATH=app python -c "from loomfolio.bench import write_proof_schema; write_proof_schema()"
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Final, Literal

from pydantic import BaseModel, ConfigDict, Field

from loomfolio.basics import asset_path
from loomfolio.bench.json_records import record_bytes, schema_text
from loomfolio.bench.output_files import write_files
from loomfolio.bench.proof.judging import judge, last_reading, limit_text
from loomfolio.bench.proof.records import ProofPlan, ProofTest
from loomfolio.bench.sheet_words import counted
from loomfolio.bench.spreadsheets import UNDATED, Table, workbook_bytes
from loomfolio.bench.tables import Line
from loomfolio.bench.text_tables import columns_text, csv_bytes
from loomfolio.project import MeterReading, Project

PROOF_SCHEMA: Final = "loomfolio.proof/1"
PROOF_SCHEMA_PATH = asset_path("schemas", "proof-1.schema.json")


class ProofLine(Line):
    """One test with its conditions and limits, its last reading, and what that means."""

    test: int = Field(description="number of the test in this version of the plan, from 1")
    stage: str
    title: str
    from_point: str = Field(description="where the first lead of the meter is put")
    from_how: str = Field(description="from which side, and how")
    to_points: tuple[str, ...] = Field(
        description="where the second is put; several are clipped together"
    )
    conditions: tuple[str, ...] = Field(description="what is unplugged, supply, key, meter")
    passes: str = Field(description="what a reading has to be, in words")
    low: float | None = Field(description="least, in `unit`")
    high: float | None = Field(description="greatest, in `unit`")
    unit: str
    why: tuple[str, ...] = Field(description="what the limits rest on")
    qualified_only: bool = Field(description="by people trained for high voltage only")
    value: float | None = Field(description="the last reading, in its own unit")
    value_unit: str
    over_range: bool
    word: str
    outcome: str = Field(description="pass, fail or doubtful; empty where nothing was read yet")
    meaning: str
    instrument: str
    on: date | None
    by: str
    key: str = Field(description="stays the same while the test stands")


PROOF_COLUMNS = tuple(ProofLine.model_fields)


class ProofRecord(BaseModel):
    """The proof of a job."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    format: Literal["loomfolio.proof/1"] = Field(default=PROOF_SCHEMA, alias="schema")
    job: str
    remarks: tuple[str, ...] = Field(description="what could not be planned, and why")
    tests: tuple[ProofLine, ...]


def proof_table(plan: ProofPlan, readings: Sequence[MeterReading]) -> tuple[ProofLine, ...]:
    """Return one line for each test, in the order in which they are done."""
    return tuple(_line(number, test, readings) for number, test in enumerate(plan.tests, 1))


def proof_json(project: Project, plan: ProofPlan) -> bytes:
    """Return the proof as JSON."""
    lines = proof_table(plan, project.meter_readings)
    record = ProofRecord(job=project.job.title, remarks=plan.remarks, tests=lines)
    return record_bytes(record)


def write_proof_csv(project: Project, plan: ProofPlan, path: Path) -> None:
    """Write the proof as CSV; `UsageError` if that cannot be done."""
    lines = proof_table(plan, project.meter_readings)
    write_files({path: csv_bytes(PROOF_COLUMNS, [line.cells() for line in lines])})


def write_proof_xlsx(project: Project, plan: ProofPlan, path: Path) -> None:
    """Write the proof as XLSX; `UsageError` if that cannot be done."""
    table = proof_sheet_table(proof_table(plan, project.meter_readings))
    title = f"Proof, {project.job.title}"
    write_files({path: workbook_bytes([table], title=title, today=UNDATED)})


def proof_sheet_table(lines: Sequence[ProofLine]) -> Table:
    """Return the proof as the sheet of a workbook."""
    return Table("proof", PROOF_COLUMNS, tuple(line.cells() for line in lines))


def proof_text(plan: ProofPlan, readings: Sequence[MeterReading]) -> str:
    """Return the proof as a table for a terminal, with what is still to be read."""
    lines = proof_table(plan, readings)
    rows = [
        (str(line.test), line.stage, line.title, line.passes, line.outcome or "to read")
        for line in lines
    ]
    counts = {
        word: sum(line.outcome == word for line in lines)
        for word in ("pass", "fail", "doubtful", "")
    }
    summary = (
        f"{counted(len(lines), 'test')}: {counts['pass']} passed, {counts['fail']} failed,"
        f" {counts['doubtful']} doubtful, {counts['']} to read; {counted(plan.probe_moves, 'probe move')},"
        f" {counted(len(plan.covers), 'place')} to open"
    )
    table = columns_text(("test", "stage", "what", "passes", "reading"), rows)
    return "\n".join([*table, summary, *plan.remarks])


def proof_schema_text() -> str:
    """Return the JSON Schema (draft 2020-12) of what `proof_json` gives, as published."""
    return schema_text(ProofRecord)


def write_proof_schema(path: Path = PROOF_SCHEMA_PATH) -> None:
    """Write the published schema anew."""
    path.write_text(proof_schema_text(), encoding="utf-8")


def _line(number: int, test: ProofTest, readings: Sequence[MeterReading]) -> ProofLine:
    reading = last_reading(test, readings)
    verdict = None if reading is None else judge(test, reading)
    limit = test.limit
    return ProofLine.model_validate(
        {
            "test": number,
            "stage": test.stage,
            "title": test.title,
            "from_point": test.a.text if test.a else "",
            "from_how": test.a.how if test.a else "",
            "to_points": tuple(f"{probe.text} ({probe.how})" for probe in test.b),
            "conditions": test.conditions.lines,
            "passes": limit_text(limit),
            "low": limit.low.value if limit.low else None,
            "high": limit.high.value if limit.high else None,
            "unit": limit.unit,
            "why": tuple(figure.why() for figure in limit.figures),
            "qualified_only": test.by_qualified_only,
            "value": reading.value if reading else None,
            "value_unit": reading.unit if reading else "",
            "over_range": reading.is_over_range if reading else False,
            "word": reading.text if reading else "",
            "outcome": verdict.outcome if verdict else "",
            "meaning": verdict.sentence if verdict else "",
            "instrument": reading.instrument if reading else "",
            "on": reading.on if reading else None,
            "by": reading.by if reading else "",
            "key": test.key,
        }
    )
