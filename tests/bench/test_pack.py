"""The bench pack as it lies on the bench: read back from PDF, XLSX and CSV."""

from __future__ import annotations

import csv
import re
from datetime import date
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from loomfolio.basics import UsageError
from loomfolio.bench import bench_leads, output_files, write_bench_pack
from loomfolio.nets import connector_map, derive
from loomfolio.project import HalfKey, Job, Known, Lead, Part, PinKey, Project, Specimen, pin_text
from support.make_bench import JOB, OPEN_JOIN, MapMaker, make_van_map
from support.pdf_text import layout_faults, pages_of, plain

DAY = date(2026, 8, 14)
NAMES = [
    "connector_map.pdf",
    "connector_map.xlsx",
    "connector_map.csv",
    "splice_sheet.pdf",
    "splice_sheet.xlsx",
    "splice_sheet.csv",
]
PAPER_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
VAN = Specimen(id="specimen-1", name="this van", kind="this vehicle")


def pack(maker, folder, *, paper="a4", **changes):
    project = maker.project.model_copy(update={"specimens": (VAN,), **changes})
    write_bench_pack(project, derive(project, {}), maker.rows, folder, paper=paper, today=DAY)
    return folder


@pytest.fixture(scope="module")
def van_pack(tmp_path_factory):
    return pack(make_van_map(), tmp_path_factory.mktemp("van"))


def has_line(pages, *words):
    """Is there a line of text that holds these words, whatever stands between?"""
    return any(
        all(word in line.split("|") for word in words) for page in pages for line in page.lines
    )


# ------------------------------------------------------------------------------------- the files


def test_six_files_are_written_and_nothing_else(tmp_path):
    project = make_van_map().project
    written = write_bench_pack(project, derive(project, {}), (), tmp_path / "a" / "b", today=DAY)
    assert [path.name for path in written] == NAMES
    assert sorted(path.name for path in (tmp_path / "a" / "b").iterdir()) == sorted(NAMES)


def test_same_job_and_day_give_the_same_bytes(van_pack, tmp_path):
    again = pack(make_van_map(), tmp_path)
    assert all((van_pack / name).read_bytes() == (again / name).read_bytes() for name in NAMES)


@pytest.mark.parametrize("paper", PAPER_MM)
@pytest.mark.parametrize("name", ["connector_map.pdf", "splice_sheet.pdf"])
def test_pdf_has_the_paper_that_was_asked_for(tmp_path, paper, name):
    for page in pages_of(pack(make_van_map(), tmp_path, paper=paper) / name):
        assert (page.width_mm, page.height_mm) == pytest.approx(PAPER_MM[paper], abs=0.1)


def test_pdf_names_itself_and_counts_its_sheets(van_pack):
    for name, title in (
        ("connector_map.pdf", "Connector map"),
        ("splice_sheet.pdf", "Splice sheet"),
    ):
        reader = PdfReader(van_pack / name)
        assert reader.metadata.title == f"{title}, {JOB.title}"
        count = len(reader.pages)
        for number, page in enumerate(pages_of(van_pack / name), 1):
            assert has_line([page], title, JOB.title, f"sheet {number} of {count}")
            assert "Parcelle E3 2021 DE" in page.lines[1]
            assert page.lines[1].endswith("2026-08-14")
            assert "Stopifwhatyouseediffers." in page.text
            assert "4of19leadsarenotreleased" in page.text
            assert "Caution:Highvoltagerunsalongtheleftsill" in page.text


def test_job_of_some_fifteen_leads_takes_two_splice_sheets_and_six_in_all(van_pack):
    splice, whole_map = (
        len(PdfReader(van_pack / name).pages) for name in ("splice_sheet.pdf", "connector_map.pdf")
    )
    assert splice <= 2
    assert splice + whole_map <= 6


# ------------------------------------------------------------------------------------- what is on it


def test_every_lead_stands_on_the_map_at_both_of_its_ends(van_pack):
    maker = make_van_map()
    pages = pages_of(van_pack / "connector_map.pdf")
    for lead in bench_leads(maker.project, maker.rows):
        if lead.row.is_branch:
            continue
        for pin in lead.pins:
            other = lead.other(pin)
            far = ["end not known"] if other is None else far_words(maker.project, other)
            assert has_line(pages, pin.pin, *far, str(lead.number))


def far_words(project, pin):
    place, number = pin_text(project, pin).rsplit(":", 1)
    return [place, number]


def test_branch_says_over_which_joint_it_runs(van_pack):
    text = "".join(page.text for page in pages_of(van_pack / "connector_map.pdf"))
    assert text.count("overBranchF31:2") == 6


def test_connectors_stand_in_the_order_in_which_one_counts(van_pack):
    known = ["BCM C2", "F31", "G4", "K7", "TCU C1", "TCU C2", "X14.B", "X80", "S12"]
    lines = [line for page in pages_of(van_pack / "connector_map.pdf") for line in page.lines]
    heads = [line.split("|")[0] for line in lines if "colour|mm²|net" in line]
    assert list(dict.fromkeys(heads)) == known


def test_cut_list_holds_what_is_released_and_new_and_nothing_else(van_pack):
    text = "".join(page.text for page in pages_of(van_pack / "splice_sheet.pdf"))
    cut = text[text.index("Cutlist") : text.index("Notreleased:4leads")]
    assert "TCUC11X801YE1.5" in cut
    assert "F312BranchF31:2RD" in cut
    for held_back in ("TCUC112", "TCUC14", "TCUC28", "TCUC29", "BCMC27"):
        assert held_back not in cut


def test_what_is_not_released_is_listed_with_what_is_open(van_pack):
    text = "".join(page.text for page in pages_of(van_pack / "splice_sheet.pdf"))
    held_back = text[text.index("Notreleased:4leads") :]
    on_paper = OPEN_JOIN.replace("sheet Lighting", "sheet 2")  # by its number in the key
    assert held_back.count(plain(on_paper)) == 3
    assert held_back.count("Itsotherendisnotknown") == 1
    assert "ThemateX14.AtoX14.Bisnotconfirmedfor3to3" in held_back


def test_joint_that_is_held_back_says_so_and_has_no_box_to_tick(van_pack):
    first = pages_of(van_pack / "splice_sheet.pdf")[0]
    assert "Donotmakethisjoint:lead4notreleased,seebelow." in first.text
    assert sum("made" in line.split("|") for line in first.lines) == 1


def test_joint_shows_what_is_in_the_vehicle_on_the_left_and_the_rest_on_the_right(van_pack):
    first = pages_of(van_pack / "splice_sheet.pdf")[0]
    middle = (20 + 195) / 2
    places = {run.text: run.box for run in reversed(first.runs)}  # the joints stand first
    assert places["BCM C2"].x1 < middle
    assert places["X14.B"].x1 < middle
    assert places["TCU C1"].x0 > middle


def test_all_cautions_stand_on_the_first_sheet(van_pack):
    text = pages_of(van_pack / "splice_sheet.pdf")[0].text
    for words in (JOB.cautions[0], "No joint, tap, fuse or repair in orange cable", "First power"):
        assert plain(words) in text


def as_in_csv(value):
    if value is None:
        return ""
    return str(float(value)) if isinstance(value, int | float) else value


def test_splice_workbook_holds_the_joints_and_the_cut_list(van_pack):
    book = openpyxl.load_workbook(van_pack / "splice_sheet.xlsx")
    joints, cut = book["joints"], book["cut list"]
    with (van_pack / "splice_sheet.csv").open(encoding="utf-8", newline="") as file:
        in_csv = list(csv.reader(file))
    in_book = [[as_in_csv(value) for value in row] for row in joints.iter_rows(values_only=True)]
    assert in_book == in_csv
    ends = [row[:3] for row in cut.iter_rows(min_row=2, values_only=True)]
    assert ("11; 12; 13", "F31:2", "Branch F31:2") in ends
    assert len(ends) == 14


def test_only_what_the_job_is_about_is_on_paper_the_files_hold_the_rest(tmp_path):
    """Here the person has typed every lead, nothing is drawn."""
    parts = [Part(id=f"part-{number}", name=f"E{number}") for number in (1, 2, 3, 4)]
    ends = [
        (PinKey(part=f"part-{n}", pin="1"), PinKey(part=f"part-{n + 1}", pin="2")) for n in (1, 3)
    ]
    leads = [
        Lead(
            id=f"lead-{number}",
            ends=pair,
            length_m=1.5,
            known=Known(how="stated"),
        )
        for number, pair in enumerate(ends, 1)
    ]
    job = Job(title="One lead", scope=(HalfKey(part="part-1"),))
    project = Project(job=job, parts=tuple(parts), leads=tuple(leads))
    netlist = derive(project, {})
    write_bench_pack(project, netlist, connector_map(netlist), tmp_path, today=DAY)
    map_pages, splice_pages = (pages_of(tmp_path / name) for name in (NAMES[0], NAMES[3]))
    assert has_line(map_pages, "1", "E2", "2")
    assert not has_line(map_pages, "E4")
    assert "1moreleadofthedocuments" in map_pages[-1].text
    assert "E3:1,E3" in (tmp_path / "connector_map.csv").read_text(encoding="utf-8")
    assert has_line(splice_pages, "E1", "1", "E2", "2", "1.5")
    assert not has_line(splice_pages, "E3")


# ----------------------------------------------------------------------------- nothing leaves the page


def make_crowded_map():
    """A joint of 40 leads, long names everywhere, and a lead that rests on 30 open places."""
    maker = MapMaker([f"Workshop manual, volume {n}, electrical, page {n}" for n in range(1, 26)])
    maker.kind("SPLICE-OF-THE-REAR-LOOM", "splice")
    for number in range(1, 41):
        maker.lead(
            f"REAR-BODY-CONTROL-MODULE CONNECTOR_{number % 3}:{number}",
            f"SPLICE-OF-THE-REAR-LOOM:{number}",
            "LTGRN/DKBLU",
            0.35,
            net="A_SIGNAL_WITH_A_VERY_LONG_NAME_THAT_HAS_NO_BLANK",
            known=Known(how="seen", source="this van") if number % 4 == 0 else Known(how="printed"),
            opens=[f"On sheet 7 lines cross at {n}, 80 mm" for n in range(30)]
            if number == 9
            else (),
            sheets=[f"sheet-{n}" for n in range(1, 26)],
        )
    maker.lead("X" * 60 + ":1", "Y" * 60 + ":TERMINAL-87a-OF-THE-RELAY", "as printed: see note 4")
    return maker


@pytest.mark.parametrize("paper", PAPER_MM)
def test_nothing_overlaps_or_leaves_the_page(tmp_path, paper):
    for maker in (make_van_map(), make_crowded_map(), MapMaker()):
        folder = pack(maker, tmp_path, paper=paper)
        assert layout_faults(folder / "connector_map.pdf") == []
        assert layout_faults(folder / "splice_sheet.pdf") == []


def test_joint_of_forty_leads_is_printed_whole_in_parts_that_are_named(tmp_path):
    folder = pack(make_crowded_map(), tmp_path)
    text = "".join(page.text for page in pages_of(folder / "splice_sheet.pdf"))
    joint = text[text.index("Joints") : text.index("Cutlist")]
    parts = re.findall(r"part(\d)of(\d)", joint)
    assert [int(number) for number, _ in parts] == list(range(1, len(parts) + 1))
    assert {int(of) for _, of in parts} == {len(parts)}
    assert joint.count("LTGRN/DKBLU0.35") == 40


names = st.text(
    st.characters(codec="cp1252", categories=["L", "N", "P", "S"]), min_size=1, max_size=40
)


@settings(max_examples=12)
@given(st.lists(st.tuples(names, names, names), min_size=1, max_size=4), names)
def test_no_name_can_break_the_sheet_or_be_taken_for_markup(tmp_path_factory, leads, title):
    folder = tmp_path_factory.mktemp("names")
    maker = MapMaker(sheets=[title], job=Job(title=title, cautions=(title,)))
    for number, (a, b, net) in enumerate(leads):
        near, far = (name.replace(".", "").replace(":", "") for name in (a, b))
        maker.lead(f"{number}{near}:1", f"{number}{far}x:2", net[:12], net=net)
    pack(maker, folder)
    for name in ("connector_map.pdf", "splice_sheet.pdf"):
        assert layout_faults(folder / name) == []


# ------------------------------------------------------------------------------------- bad places


def test_folder_that_is_a_file_is_named(tmp_path):
    (tmp_path / "out").write_text("x", encoding="utf-8")
    with pytest.raises(UsageError, match="out is a file, not a folder; choose another place"):
        pack(make_van_map(), tmp_path / "out")
    with pytest.raises(UsageError, match="cannot be made"):
        pack(make_van_map(), tmp_path / "out" / "below")


def test_one_file_that_cannot_be_replaced_leaves_all_as_they_were(tmp_path):
    for name in NAMES[:3]:
        (tmp_path / name).write_text("earlier", encoding="utf-8")
    (tmp_path / NAMES[4]).mkdir()
    with pytest.raises(UsageError, match=r"splice_sheet\.xlsx cannot be written"):
        pack(make_van_map(), tmp_path)
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([*NAMES[:3], NAMES[4]])
    assert {(tmp_path / name).read_text(encoding="utf-8") for name in NAMES[:3]} == {"earlier"}


def test_full_disk_leaves_no_half_file(tmp_path, monkeypatch):
    def full_after_two(path: Path, data: bytes) -> None:
        path.write_bytes(data[:10])
        if len(list(tmp_path.iterdir())) > 2:
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(output_files, "_write", full_after_two)
    with pytest.raises(UsageError, match=r"cannot be written \(No space left on device\)"):
        pack(make_van_map(), tmp_path)
    assert list(tmp_path.iterdir()) == []
