"""The gap list in files: numbered like the sheet, columns that stay, read back whole."""

from __future__ import annotations

import csv
import json

import jsonschema
import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.basics import UsageError
from loomfolio.bench import (
    GAP_COLUMNS,
    bench_gaps,
    gap_table,
    gaps_json,
    gaps_schema_text,
    gaps_text,
    write_gaps_csv,
    write_gaps_json,
    write_gaps_xlsx,
)
from loomfolio.bench.gap_files import GAPS_SCHEMA_PATH
from support.make_gaps import GapMaker, make_van_gaps


@pytest.fixture
def van():
    return make_van_gaps()


def lines_of(maker):
    return gap_table(maker.project, bench_gaps(maker.project, maker.gaps))


def as_in_csv(value):
    if value is None:
        return ""
    return str(float(value)) if isinstance(value, float) else str(value)


def test_columns_are_a_contract():
    """Scripts of other people read them: a new one goes to the end, none is renamed."""
    assert ",".join(GAP_COLUMNS) == (
        "gap,kind,missing,part,connector,half,cavity,pins,sheet,x_mm,y_mm,sureness,decides,evidence,"
        "in_scope,open,closed_by,reason,key"
    )


def test_gaps_are_numbered_part_by_part_then_closed_then_beyond_the_job(van):
    assert [(line.gap, line.part, line.open, line.in_scope) for line in lines_of(van)] == [
        (1, "BCM", True, True),
        (2, "K7", True, True),
        (3, "TCU", True, True),
        (4, "TCU", True, True),
        (5, "TCU", True, True),
        (6, "TCU", True, True),
        (7, "BCM", False, True),
        (8, "G4", True, False),
    ]


def test_gaps_of_one_part_stay_in_the_order_in_which_they_were_found(van):
    kinds = [line.kind for line in lines_of(van) if line.part == "TCU"]
    assert kinds == ["lead missing", "lead missing", "terminal missing", "connector missing"]


def test_line_of_a_lead_says_all_of_it(van):
    line = lines_of(van)[2]
    assert line.missing == "The lead from TCU C1:1 to X80:1 is missing"
    assert (line.connector, line.half, line.cavity) == ("C1", "", "1")
    assert line.pins == ("TCU C1:1", "X80:1")
    assert (line.sheet, line.x_mm, line.y_mm) == ("Lighting", 56.0, 42.0)
    assert (line.sureness, line.decides, line.open) == ("sure", (), True)
    assert line.evidence[1] == "Survey of this van, 2026-08-01: TCU C1:1 is empty"


def test_gap_in_a_whole_connector_has_no_single_cavity(van):
    line = lines_of(van)[5]
    assert (line.part, line.connector, line.cavity, len(line.pins)) == ("TCU", "C2", "", 7)


def test_gap_in_a_whole_part_has_neither_connector_nor_pins(van):
    line = lines_of(van)[1]
    assert (line.part, line.connector, line.cavity, line.pins) == ("K7", "", "", ())


def test_closed_gap_says_by_what(van):
    line = lines_of(van)[6]
    assert (line.open, line.closed_by, line.reason) == (False, "reason", "Rung out: the same lead")


@given(st.permutations(range(8)))
def test_numbers_follow_parts_and_not_the_order_in_which_kinds_come(order):
    van = make_van_gaps()
    gaps = [van.gaps[number] for number in order]
    parts = [line.part for line in gap_table(van.project, bench_gaps(van.project, gaps))]
    assert parts == ["BCM", "K7", "TCU", "TCU", "TCU", "TCU", "BCM", "G4"]


# -------------------------------------------------------------------------------------- read back


def test_csv_and_workbook_hold_the_same(van, tmp_path):
    write_gaps_csv(van.project, van.gaps, tmp_path / "gaps.csv")
    write_gaps_xlsx(van.project, van.gaps, tmp_path / "gaps.xlsx")
    with (tmp_path / "gaps.csv").open(encoding="utf-8", newline="") as file:
        in_csv = list(csv.reader(file))
    sheet = openpyxl.load_workbook(tmp_path / "gaps.xlsx")["gaps"]
    in_book = [[as_in_csv(cell) for cell in row] for row in sheet.iter_rows(values_only=True)]
    numbers = [GAP_COLUMNS.index("x_mm"), GAP_COLUMNS.index("y_mm")]
    for row in in_book[1:]:
        for column in numbers:
            row[column] = row[column] and str(float(row[column]))
    assert in_book == in_csv
    assert in_csv[0] == list(GAP_COLUMNS)
    assert in_csv[3][GAP_COLUMNS.index("pins")] == "TCU C1:1; X80:1"


def test_json_keeps_its_schema(van, tmp_path):
    path = tmp_path / "gaps.json"
    write_gaps_json(van.project, van.gaps, path, contradictions=("X80:1 is filled",))
    record = json.loads(path.read_text(encoding="utf-8"))
    schema = json.loads(GAPS_SCHEMA_PATH.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(record)
    assert record["schema"] == "loomfolio.gaps/1"
    assert (record["target_fit"], record["vehicle_fit"]) == ("with towing", "base")
    assert record["contradictions"] == ["X80:1 is filled"]
    assert len(record["gaps"]) == 8


def test_schema_is_published_as_the_code_makes_it():
    assert GAPS_SCHEMA_PATH.read_text(encoding="utf-8") == gaps_schema_text()


def test_schema_refuses_a_column_that_nobody_knows(van):
    record = json.loads(gaps_json(van.project, van.gaps))
    record["gaps"][0]["surely"] = True
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(record, json.loads(gaps_schema_text()))


def test_job_without_gaps_has_a_file_all_the_same(tmp_path):
    maker = GapMaker()
    write_gaps_csv(maker.project, (), tmp_path / "gaps.csv")
    assert (tmp_path / "gaps.csv").read_text(encoding="utf-8").split() == [",".join(GAP_COLUMNS)]


def test_place_that_cannot_be_written_is_told(van, tmp_path):
    with pytest.raises(UsageError, match="cannot be written"):
        write_gaps_csv(van.project, van.gaps, tmp_path / "no" / "gaps.csv")


# ---------------------------------------------------------------------------------- on a terminal


def test_text_shows_what_is_open_and_counts_the_rest(van):
    lines = gaps_text(van.project, van.gaps).splitlines()
    assert lines[0].split() == ["gap", "sureness", "kind", "missing"]
    assert len(lines) == 8
    assert lines[3].startswith("3    sure")
    assert lines[-1] == "6 open gaps, 2 of them to be looked at; 1 closed; 1 outside of the job"


def test_text_without_gaps_counts_none():
    assert gaps_text(GapMaker().project, ()).splitlines()[1] == (
        "0 open gaps, 0 of them to be looked at; 0 closed"
    )
