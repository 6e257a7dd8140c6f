"""Lists in: files of several makes, columns mapped once, and rows that cannot be understood."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from loomfolio.basics import EditError, FileUnreadableError, LimitExceededError
from loomfolio.nets import connector_map, derive
from loomfolio.project import HalfKey, ListColumn, Project, edits, find_pin, pin_text
from loomfolio.retrofit import bring_in_list, list_files, proposed_layout, read_list, sheet_names

PINS = "Component;Connector;Pin;Signal;Wire colour;mm²;To\r\n"


def written(tmp_path: Path, text: str | bytes, name: str = "pins.csv") -> Path:
    path = tmp_path / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def workbook(tmp_path: Path, rows: list[list[object]], title: str = "Pins") -> Path:
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = title
    for row in rows:
        sheet.append(row)
    book.create_sheet("More").append(["nothing"])
    path = tmp_path / "pins.xlsx"
    book.save(path)
    return path


# -------------------------------------------------------------------------------------------- files


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("Pin,Signal\n1,BRAKE\n", id="comma"),
        pytest.param("Pin;Signal\r\n1;BRAKE\r\n", id="semicolon"),
        pytest.param("Pin\tSignal\n1\tBRAKE\n", id="tab"),
        pytest.param("\ufeff\n\nPin|Signal\n1|BRAKE\n", id="byte order mark, blank lines, bars"),
    ],
)
def test_a_csv_list_is_read_whatever_parts_its_cells(tmp_path: Path, text: str):
    found = read_list(written(tmp_path, text))
    assert found.headings == ("Pin", "Signal")
    assert found.rows == (("1", "BRAKE"),)


def test_a_list_in_an_old_code_page_is_read(tmp_path: Path):
    found = read_list(written(tmp_path, "Farbe,Pin\ngrün,1\n".encode("cp1252")))
    assert found.rows == (("grün", "1"),)


def test_a_workbook_reads_numbers_as_a_person_sees_them(tmp_path: Path):
    path = workbook(tmp_path, [["Pin", "mm²"], [12, 0.75], [7.0, None]])
    found = read_list(path)
    assert found.rows == (("12", "0.75"), ("7", ""))
    assert sheet_names(path) == ("Pins", "More")
    assert read_list(path, sheet="More").headings == ("nothing",)


def test_rows_are_as_long_as_the_headings_and_keep_their_numbers(tmp_path: Path):
    found = read_list(written(tmp_path, "\nPin,Signal,Note\n1\n2,BRAKE,x,more\n"))
    assert found.rows == (("1", "", ""), ("2", "BRAKE", "x"))
    assert found.first_row == 3


def test_headings_that_stand_twice_or_are_blank_are_told_apart(tmp_path: Path):
    found = read_list(written(tmp_path, "Pin,Pin,\n1,2,3\n,,4\n"))
    assert found.headings == ("Pin (1)", "Pin (2)")


@pytest.mark.parametrize(
    ("name", "data", "what"),
    [
        pytest.param("a.csv", b"", "the list is empty", id="empty"),
        pytest.param("a.csv", b"\x00\x01binary", "it is no text", id="binary"),
        pytest.param("a.xlsx", b"Pin,Signal\n", "it is no XLSX workbook", id="text named xlsx"),
        pytest.param("a.xlsx", b"PK\x03\x04broken", "damaged or protected", id="broken workbook"),
        pytest.param("a.csv", b'"' + b"x" * 200_000, "cannot be told apart", id="endless cell"),
    ],
)
def test_a_file_that_is_no_list_is_told_in_one_sentence(
    tmp_path: Path, name: str, data: bytes, what: str
):
    with pytest.raises(FileUnreadableError, match=what):
        read_list(written(tmp_path, data, name))


def test_a_missing_file_and_a_missing_sheet_are_told(tmp_path: Path):
    with pytest.raises(FileUnreadableError, match="check the path"):
        read_list(tmp_path / "none.csv")
    with pytest.raises(FileUnreadableError, match="check the path"):
        sheet_names(tmp_path / "none.xlsx")
    with pytest.raises(FileUnreadableError, match="choose one of Pins, More"):
        read_list(workbook(tmp_path, [["Pin"], [1]]), sheet="Pin list")


def test_a_list_beyond_the_limits_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    path = written(tmp_path, "Pin\n" + "1\n" * 50)
    monkeypatch.setattr(list_files, "MAX_ROWS", 20)
    with pytest.raises(LimitExceededError, match="more than 20 rows"):
        read_list(path)
    monkeypatch.setattr(list_files, "MAX_ROWS", 100)
    monkeypatch.setattr(list_files, "MAX_FILE_BYTES", 10)
    with pytest.raises(LimitExceededError, match="MB"):
        read_list(path)
    wide = written(tmp_path, ",".join("abcdef") + "\n", "wide.csv")
    monkeypatch.setattr(list_files, "MAX_FILE_BYTES", 1000)
    monkeypatch.setattr(list_files, "MAX_COLUMNS", 3)
    with pytest.raises(LimitExceededError, match="6 columns"):
        read_list(wide)
    monkeypatch.setattr(list_files, "MAX_FILE_BYTES", 10**6)
    monkeypatch.setattr(list_files, "MAX_UNPACKED_BYTES", 10)
    with pytest.raises(LimitExceededError, match="unpacked"):
        read_list(workbook(tmp_path, [["Pin"], [1]]))


# ------------------------------------------------------------------------------------------ columns


def test_usual_headings_are_understood_in_any_letters(tmp_path: Path):
    found = read_list(written(tmp_path, PINS + "A1;C1;1;;;;\r\n"))
    assert {column.means: column.heading for column in proposed_layout(found)} == {
        "part": "Component",
        "connector": "Connector",
        "pin": "Pin",
        "name": "Signal",
        "colour": "Wire colour",
        "area_mm2": "mm²",
        "other pin text": "To",
    }


def test_headings_mapped_once_are_remembered(tmp_path: Path):
    found = read_list(written(tmp_path, "Gerät,Nr,Ziel\nA1,1,E1:2\n"))
    assert proposed_layout(found) == ()
    columns = (
        ListColumn(heading="Gerät", means="part"),
        ListColumn(heading="Nr", means="pin"),
        ListColumn(heading="Ziel", means="other pin text"),
    )
    result = bring_in_list(Project(), found, columns)
    assert proposed_layout(found, result.project.layouts) == columns


# ------------------------------------------------------------------------------------ into the document


def test_a_list_becomes_parts_cavities_names_and_leads_known_by_it(tmp_path: Path):
    text = PINS + "A1;C1;1;BRAKE;RD/WH;0,75;E1:2\r\nA1;C1;2;TAIL;;;X14.B:3\r\n"
    found = read_list(written(tmp_path, text))
    result = bring_in_list(Project(), found, proposed_layout(found), source="maker's list")
    p = result.project
    assert (result.parts, result.leads, result.names, result.faults) == (3, 2, 2, ())
    assert [part.name for part in p.parts] == ["A1", "E1", "X14"]
    netlist = derive(p, {})
    rows = [
        (pin_text(p, row.a), pin_text(p, row.b), row.net_name)
        for row in connector_map(netlist)
        if row.b is not None
    ]
    assert rows == [("A1 C1:1", "E1:2", "BRAKE"), ("A1 C1:2", "X14.B:3", "TAIL")]
    lead = p.leads[0]
    assert (lead.known.how, lead.known.source) == ("list", "maker's list")
    assert (lead.colour.text, lead.area_mm2) == ("RD/WH", 0.75)


def test_a_list_meets_what_the_document_knows_already():
    p, module = edits.add_part(Project(), name="a1", kind="module")
    half = HalfKey(part=module, connector="C1")
    p, lamp = edits.add_part(p, name="E1", kind="lamp")
    p = edits.add_lead(p, ends=(half.pin("1"), HalfKey(part=lamp).pin("2"))).project
    listed = list_files.ListFile("l", ("From", "To"), (("A1 C1:1", "E1:2"), ("A1 C1:3", "E1:4")))
    result = bring_in_list(p, listed, proposed_layout(listed))
    assert (result.parts, result.leads, result.cavities) == (0, 1, 2)
    assert len(result.project.leads) == 2
    assert find_pin(result.project, "A1 C1:3").part == module
    again = bring_in_list(result.project, listed, proposed_layout(listed))
    assert again.project == result.project


def test_a_row_that_cannot_be_understood_is_told_and_changes_nothing():
    rows = (
        ("A1", "", "BRAKE", "", "", ""),
        ("", "3", "BRAKE", "", "", ""),
        ("A1", "1", "BRAKE", "", "", ""),
        ("A1", "1", "HORN", "", "", ""),
        ("A1", "2", "", "nonsense here too : :", "", ""),
        ("A1", "2", "", "A1:2", "", ""),
        ("A1", "3", "", "B1:1", "thick", ""),
        ("A1", "4", "", "B1:1", "-1", ""),
        ("A1", "5", "", "", "", "towing &"),
        ("", "", "", "", "", ""),
    )
    listed = list_files.ListFile("l", ("Part", "Pin", "Signal", "To", "Area", "When"), rows)
    result = bring_in_list(Project(), listed, proposed_layout(listed))
    assert [(fault.row, fault.sentence.split(";")[0]) for fault in result.faults] == [
        (2, "The row names no cavity"),
        (3, "The row names no pin"),
        (5, "The pin is called BRAKE already, the list says HORN"),
        (6, "'nonsense here too : :' is no pin: write part, connector and pin"),
        (7, "Both ends of the lead are the same pin"),
        (8, "'thick' is no area"),
        (9, "-1 cannot be the area of a lead"),
        (10, result.faults[-1].sentence.split(";")[0]),
    ]
    assert "towing &" in result.faults[-1].sentence
    assert result.leads == 0


def test_conditions_of_a_list_hold_for_its_leads():
    listed = list_files.ListFile("l", ("From", "To", "Option"), (("A1:1", "E1:2", "towing"),))
    (lead,) = bring_in_list(Project(), listed, proposed_layout(listed)).project.leads
    assert lead.when == "towing"


@pytest.mark.parametrize(
    ("columns", "sentence"),
    [
        pytest.param((), "No column tells the pin", id="nothing mapped"),
        pytest.param(
            (ListColumn(heading="Part", means="part"),), "No column tells the pin", id="part alone"
        ),
        pytest.param(
            (ListColumn(heading="Gone", means="pin text"),), "no column 'Gone'", id="other list"
        ),
    ],
)
def test_columns_that_do_not_tell_a_pin_are_refused(columns, sentence):
    listed = list_files.ListFile("l", ("Part", "Pin"), (("A1", "1"),))
    with pytest.raises(EditError, match=sentence):
        bring_in_list(Project(), listed, columns)
