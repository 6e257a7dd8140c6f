"""The connector-to-connector map as CSV, XLSX, JSON, and as text for a terminal.

The JSON is the contract `loomfolio.map/1`; its schema is published as `assets/schemas/map-1.schema.json`.
After a change of the columns it is written anew by

    PYTHONPATH=app python -c "from loomfolio.bench import write_map_schema; write_map_schema()"

CSV is UTF-8 without a byte order mark, comma, CRLF (RFC 4180), a point in numbers: for scripts. For a
spreadsheet there is XLSX.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final, Literal

from pydantic import BaseModel, ConfigDict, Field

from loomfolio.basics import asset_path
from loomfolio.bench.json_records import record_bytes, schema_text
from loomfolio.bench.leads import bench_leads
from loomfolio.bench.output_files import write_files
from loomfolio.bench.spreadsheets import UNDATED, Table, workbook_bytes
from loomfolio.bench.tables import MAP_COLUMNS, MapLine, map_table
from loomfolio.bench.text_tables import columns_text, csv_bytes
from loomfolio.nets import MapRow
from loomfolio.project import Project

MAP_SCHEMA: Final = "loomfolio.map/1"
SCHEMA_PATH = asset_path("schemas", "map-1.schema.json")
_TEXT_COLUMNS = ("lead", "a", "b", "net", "colour", "area_mm2", "released")


class MapRecord(BaseModel):
    """The connector-to-connector map of a job."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    format: Literal["loomfolio.map/1"] = Field(default=MAP_SCHEMA, alias="schema")
    job: str
    leads: tuple[MapLine, ...]


def write_map_csv(project: Project, rows: Sequence[MapRow], path: Path) -> None:
    """Write the map as CSV; `UsageError` if that cannot be done."""
    write_files({path: csv_bytes(MAP_COLUMNS, [line.cells() for line in _lines(project, rows)])})


def write_map_xlsx(project: Project, rows: Sequence[MapRow], path: Path) -> None:
    """Write the map as XLSX; `UsageError` if that cannot be done."""
    table = map_sheet_table(_lines(project, rows))
    title = f"Connector map, {project.job.title}"
    write_files({path: workbook_bytes([table], title=title, today=UNDATED)})


def write_map_json(project: Project, rows: Sequence[MapRow], path: Path) -> None:
    """Write the map as JSON; `UsageError` if that cannot be done."""
    record = MapRecord(job=project.job.title, leads=_lines(project, rows))
    write_files({path: record_bytes(record)})


def map_text(project: Project, rows: Sequence[MapRow]) -> str:
    """Return the map as a table for a terminal, with the count of what is not released."""
    lines = _lines(project, rows)
    texts = columns_text(_TEXT_COLUMNS, [_text_cells(line) for line in lines])
    held_back = sum(not line.released for line in lines)
    return "\n".join([*texts, f"{len(lines)} leads, {held_back} of them not released"])


def map_schema_text() -> str:
    """Return the JSON Schema (draft 2020-12) of what `write_map_json` writes, as published."""
    return schema_text(MapRecord)


def write_map_schema(path: Path = SCHEMA_PATH) -> None:
    """Write the published schema anew."""
    path.write_text(map_schema_text(), encoding="utf-8")


def map_sheet_table(lines: Sequence[MapLine]) -> Table:
    """Return the map as the sheet of a workbook."""
    return Table("connector map", MAP_COLUMNS, tuple(line.cells() for line in lines))


def _lines(project: Project, rows: Sequence[MapRow]) -> tuple[MapLine, ...]:
    return map_table(project, bench_leads(project, rows))


def _text_cells(line: MapLine) -> tuple[str, ...]:
    cells = dict(zip(MAP_COLUMNS, line.cells(), strict=True))
    return tuple(" ".join(str(cells[name]).split()) for name in _TEXT_COLUMNS)
