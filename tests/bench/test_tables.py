"""Columns that stay, and files that give back what was written."""

from __future__ import annotations

import csv
import io
import json

import jsonschema
import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.basics import UsageError
from loomfolio.bench import (
    CUT_COLUMNS,
    MAP_COLUMNS,
    SPLICE_COLUMNS,
    bench_leads,
    joints_of,
    map_schema_text,
    map_table,
    map_text,
    splice_table,
    write_map_csv,
    write_map_json,
    write_map_xlsx,
)
from loomfolio.bench.map_files import SCHEMA_PATH, csv_bytes
from loomfolio.project import Known
from support.make_bench import OPEN_JOIN, MapMaker, make_van_map


@pytest.fixture
def van():
    return make_van_map()


def lines_of(maker):
    return map_table(maker.project, bench_leads(maker.project, maker.rows))


def test_columns_are_a_contract():
    """Scripts of other people read them: a new one goes to the end, none is renamed."""
    assert ",".join(MAP_COLUMNS) == (
        "lead,net,a,a_part,a_connector,a_half,a_pin,b,b_part,b_connector,b_half,b_pin,"
        "colour,colour_base,colour_stripe,area_mm2,length_m,branch,released,open,known_by,source,sheets"
    )
    assert ",".join(SPLICE_COLUMNS) == (
        "joint,joint_kind,net,leads,pin,pin_part,pin_connector,pin_half,pin_pin,"
        "colour,colour_base,colour_stripe,area_mm2,seen,released,joint_released,sheets"
    )
    assert ",".join(CUT_COLUMNS) == (
        "leads,a,b,net,colour,colour_base,colour_stripe,area_mm2,length_m"
    )


def test_line_of_a_lead_says_all_of_it(van):
    line = lines_of(van)[1]
    assert (line.a, line.b) == ("S12:2", "X14.B:3")
    assert (line.b_part, line.b_connector, line.b_half, line.b_pin) == ("X14", "", "B", "3")
    assert (line.colour, line.colour_base, line.colour_stripe) == ("GY/RD", "GY", "RD")
    assert (line.area_mm2, line.released, line.open) == (0.75, True, ())
    assert (line.known_by, line.source) == ("seen", "this van")
    assert lines_of(van)[2].sheets == ("Power supply", "Lighting")


def test_ids_of_sheets_and_specimens_never_reach_the_reader():
    maker = MapMaker()
    maker.lead("E7 C1:1", "E8:1", known=Known(how="printed", source="sheet-1, sheet-2"))
    assert lines_of(maker)[0].source == "Power supply, Lighting"


def test_lead_to_nowhere_has_empty_cells_for_its_other_end(van):
    line = lines_of(van)[17]
    assert (line.b, line.b_part, line.b_pin, line.released) == ("", "", "", False)
    assert line.open == ("Its other end is not known",)


def test_splice_table_has_a_line_for_each_lead_that_comes_to_a_joint(van):
    project = van.project
    leads = bench_leads(project, van.rows)
    lines = splice_table(project, joints_of(project, leads))
    assert [(line.joint, line.leads, line.pin) for line in lines] == [
        ("S12", (1,), "BCM C2:7"),
        ("S12", (2,), "X14.B:3"),
        ("S12", (3,), "X80:6"),
        ("S12", (4,), "TCU C1:12"),
        ("Branch F31:2", (11, 12, 13), "F31:2"),
        ("Branch F31:2", (11,), "K7:30"),
        ("Branch F31:2", (12,), "X80:9"),
        ("Branch F31:2", (13,), "TCU C2:12"),
    ]
    assert [line.released for line in lines[:4]] == [True, True, True, False]
    assert {line.joint_released for line in lines[:4]} == {False}


# -------------------------------------------------------------------------------------------- CSV


def test_csv_is_plain_utf8_with_a_header(van, tmp_path):
    path = tmp_path / "map.csv"
    write_map_csv(van.project, van.rows, path)
    data = path.read_bytes()
    assert data.startswith(b"lead,net,a,")
    assert data.count(b"\r\n") == len(van.rows) + 1
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert rows[3]["open"] == OPEN_JOIN
    assert rows[3]["released"] == "no"
    assert rows[2]["sheets"] == "Power supply; Lighting"
    assert rows[18]["area_mm2"] == ""


words = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)


@given(st.lists(st.tuples(words, words, words), max_size=5))
def test_any_text_comes_back_from_csv(rows):
    data = csv_bytes(("a", "b", "c"), rows).decode("utf-8")
    assert list(csv.reader(io.StringIO(data, newline="")))[1:] == [list(row) for row in rows]


def test_map_without_rows_has_its_header(tmp_path):
    write_map_csv(MapMaker().project, (), tmp_path / "map.csv")
    assert (tmp_path / "map.csv").read_text(encoding="utf-8") == ",".join(MAP_COLUMNS) + "\n"


# ------------------------------------------------------------------------------------------- XLSX


def read_sheet(path, name):
    book = openpyxl.load_workbook(path)
    sheet = book[name]
    return sheet, [
        ["" if v is None else v for v in row] for row in sheet.iter_rows(values_only=True)
    ]


def test_workbook_gives_back_the_lines_as_text_and_numbers(van, tmp_path):
    path = tmp_path / "map.xlsx"
    write_map_xlsx(van.project, van.rows, path)
    _, rows = read_sheet(path, "connector map")
    assert rows[0] == list(MAP_COLUMNS)
    assert rows[1:] == [list(line.cells()) for line in lines_of(van)]
    assert isinstance(rows[1][MAP_COLUMNS.index("area_mm2")], float)


def test_workbook_is_a_real_table_with_filters_and_a_header_that_stays(van, tmp_path):
    path = tmp_path / "map.xlsx"
    write_map_xlsx(van.project, van.rows, path)
    sheet, rows = read_sheet(path, "connector map")
    (table,) = sheet.tables.values()
    assert table.ref == f"A1:W{len(rows)}"
    assert table.autoFilter.ref == table.ref
    assert sheet.freeze_panes == "A2"
    assert sheet.column_dimensions["A"].width < sheet.column_dimensions["T"].width


def test_name_that_looks_like_a_formula_or_a_link_stays_text(tmp_path):
    maker = MapMaker()
    maker.lead("E7 C1:1", "E8:1", net="=1+1")
    maker.lead("E7 C1:2", "E8:2", net="https://example.org")
    write_map_xlsx(maker.project, maker.rows, tmp_path / "map.xlsx")
    sheet, rows = read_sheet(tmp_path / "map.xlsx", "connector map")
    assert [row[1] for row in rows[1:]] == ["=1+1", "https://example.org"]
    assert sheet["B2"].data_type == "s"
    assert sheet["B3"].hyperlink is None


def test_very_long_text_is_cut_where_the_format_ends(tmp_path):
    maker = MapMaker()
    maker.lead("E7 C1:1", "E8:1", opens=[f"place {n} " + "x" * 300 for n in range(200)])
    write_map_xlsx(maker.project, maker.rows, tmp_path / "map.xlsx")
    _, rows = read_sheet(tmp_path / "map.xlsx", "connector map")
    cell = rows[1][MAP_COLUMNS.index("open")]
    assert len(cell) == 32_767
    assert cell.endswith("…")


def test_workbook_without_rows_still_has_its_table(tmp_path):
    write_map_xlsx(MapMaker().project, (), tmp_path / "map.xlsx")
    sheet, rows = read_sheet(tmp_path / "map.xlsx", "connector map")
    assert rows[0] == list(MAP_COLUMNS)
    assert len(sheet.tables) == 1


def test_same_map_gives_the_same_workbook(van, tmp_path):
    for name in ("one.xlsx", "two.xlsx"):
        write_map_xlsx(van.project, van.rows, tmp_path / name)
    assert (tmp_path / "one.xlsx").read_bytes() == (tmp_path / "two.xlsx").read_bytes()


# ------------------------------------------------------------------------------------- JSON, text


def test_json_fulfils_the_published_schema(van, tmp_path):
    path = tmp_path / "map.json"
    write_map_json(van.project, van.rows, path)
    record = json.loads(path.read_text(encoding="utf-8"))
    schema = json.loads(SCHEMA_PATH.read_text(encoding="utf-8"))
    jsonschema.validate(record, schema)
    assert record["schema"] == "loomfolio.map/1"
    assert tuple(record["leads"][0]) == MAP_COLUMNS
    assert record["leads"][2]["sheets"] == ["Power supply", "Lighting"]
    assert record["leads"][18]["area_mm2"] is None
    del record["leads"][0]["released"]
    with pytest.raises(jsonschema.ValidationError, match="'released' is a required property"):
        jsonschema.validate(record, schema)


def test_published_schema_is_the_one_of_the_records():
    assert SCHEMA_PATH.read_text(encoding="utf-8") == map_schema_text(), (
        "write it anew as the docstring of map_files.py says"
    )


def test_text_for_a_terminal_counts_what_is_not_released(van):
    text = map_text(van.project, van.rows).splitlines()
    assert text[0].split() == ["lead", "a", "b", "net", "colour", "area_mm2", "released"]
    assert text[1].split() == ["1", "BCM", "C2:7", "S12:1", "STOP", "LAMPS", "GY/RD", "0.75", "yes"]
    assert text[-1] == "19 leads, 4 of them not released"
    assert map_text(MapMaker().project, ()).endswith("0 leads, 0 of them not released")


# ------------------------------------------------------------------------------------ bad places


@pytest.mark.parametrize("write", [write_map_csv, write_map_xlsx, write_map_json])
def test_place_that_cannot_be_written_is_named(van, tmp_path, write):
    with pytest.raises(UsageError, match=r"map\.out cannot be written .*; choose another place\."):
        write(van.project, van.rows, tmp_path / "missing" / "map.out")
    (tmp_path / "map.out").mkdir()
    with pytest.raises(UsageError, match="a folder has this name"):
        write(van.project, van.rows, tmp_path / "map.out")
    assert [path.name for path in tmp_path.iterdir()] == ["map.out"]
