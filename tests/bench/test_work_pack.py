"""The pack of a planned job as it lies on the bench: read back from PDF, XLSX, CSV, JSON and SVG."""

from __future__ import annotations

import csv
import json
import xml.etree.ElementTree as ET
from datetime import date

import openpyxl
import pytest
from pypdf import PdfReader

from loomfolio.basics import NameNotFoundError, demo_projects_path
from loomfolio.bench import BenchJob, cavity_svg, cavity_views, write_work_pack
from loomfolio.bench.plan_words import PlanWords
from loomfolio.bench.work_files import cavity_files
from loomfolio.bench.work_tables import (
    PLAN_JOINT_COLUMNS,
    PLAN_LEAD_COLUMNS,
    WORK_SCHEMA_PATH,
    plan_joint_lines,
    plan_lead_lines,
    work_schema_text,
)
from loomfolio.project import Face, HalfKey, ProjectFolder, Signature, edits, find_half
from loomfolio.reading import readings_of
from loomfolio.retrofit import job_gaps
from support.make_plan import make_plan
from support.pdf_text import layout_faults, pages_of, plain

DAY = date(2026, 8, 14)
SHEETS = ("bench_pack.pdf", "splice_sheet.pdf", "proof.pdf", "wire_tags.pdf", "connector_map.pdf")


@pytest.fixture(scope="module")
def bench():
    path = demo_projects_path() / "parcel_van_towing"
    with ProjectFolder.open(path, read_only=True) as folder:
        readings = readings_of(folder, folder.project)
        job = job_gaps(folder.project, readings)
        return BenchJob(folder.project, job, make_plan(job), readings)


@pytest.fixture(scope="module")
def pack(bench, tmp_path_factory):
    out = tmp_path_factory.mktemp("pack")
    write_work_pack(bench, out, today=DAY)
    return out


def text_of(path):
    return "".join(page.text for page in pages_of(path))


# ------------------------------------------------------------------------------------- what is in it


def test_every_released_lead_stands_in_the_cut_list_with_both_its_ends(bench, pack):
    text = text_of(pack / "splice_sheet.pdf")
    cut = text[text.index("Cutlist") : text.index("Heldback:")]
    words = bench.words()
    for lead in bench.plan.leads:
        number = words.lead_numbers[lead.key]
        ends = [plain(words.end(end)) for end in lead.ends]
        if lead.released:
            assert number in cut
            assert all(end in cut for end in ends)
        else:
            assert f"{number}{ends[0]}" not in cut


def test_what_is_held_back_is_counted_on_the_cover_and_says_why(bench, pack):
    cover = pages_of(pack / "bench_pack.pdf")[0].text
    assert "Heldback:1lead." in cover
    assert "12:11released,1heldback" in cover
    assert "Themateisnotconfirmed" in text_of(pack / "bench_pack.pdf")


def test_every_joint_stands_with_its_stubs_told_apart(bench, pack):
    text = text_of(pack / "splice_sheet.pdf")
    for number, joint in enumerate(bench.plan.joints, 1):
        assert f"J{number}{plain(joint.kind)}" in text
        for node in joint.lead_ends:
            assert f"VEHICLEto{plain(bench.words().node(node))}" in text
    for fact in ("sleeveheatshrink3:1", "strip7.5mm", "pulltestonasample58*N", "51mm"):
        assert fact in text
    assert "donotmake" in text


def test_every_cavity_that_is_changed_stands_on_the_pack(bench, pack):
    text = text_of(pack / "bench_pack.pdf")
    views = cavity_views(bench.project, bench.job, bench.plan)
    assert len(views) > 3
    for view in views:
        assert plain(view.title) in text
        for cell in view.changed:
            assert f"{cell.pin}{plain(cell.change)}" in text


def test_each_face_names_its_side_and_the_other_is_its_mirror(bench):
    for view in cavity_views(bench.project, bench.job, bench.plan):
        assert [face.side for face in view.faces] in (["wire side", "mating side"], [])
        if view.faces:
            wire, mating = view.faces
            assert mating.rows == tuple(row[::-1] for row in wire.rows)
        else:
            assert "numbers" in view.note


def test_from_a_face_without_a_side_nothing_is_drawn(bench):
    half = find_half(bench.project, "A27 C1")
    part = bench.project.part(half.part)
    connectors = tuple(
        one.model_copy(
            update={
                "halves": tuple(
                    own.model_copy(update={"face": Face(rows=(("1", "2"),))}) for own in one.halves
                )
            }
        )
        if one.name == "C1"
        else one
        for one in part.connectors
    )
    project = edits.change_part(bench.project, part.model_copy(update={"connectors": connectors}))
    view = next(v for v in cavity_views(project, bench.job, bench.plan) if v.title == "A27 C1")
    assert view.faces == ()
    assert "shows no side" in view.note
    assert HalfKey(part=half.part, connector="C1") == half


def test_hold_points_have_a_line_to_sign_and_show_who_signed(bench, pack):
    text = text_of(pack / "bench_pack.pdf")
    assert "2STOP:Provedead" in text
    assert "Nobodygoesonbeforethisissigned" in text
    signed = bench.project.model_copy(
        update={"signatures": (Signature(id="signature-900", hold="hold dead", by="Ada", on=DAY),)}
    )
    words = PlanWords(signed.model_copy(update={"serial": 900}), bench.job, bench.plan)
    from loomfolio.bench import printed_steps

    (hold,) = [step.hold for step in printed_steps(words) if step.hold is not None]
    assert hold.signed_by == "Ada, 2026-08-14"


def test_a_lead_that_was_ticked_shows_as_done(bench):
    lead = bench.plan.leads[0]
    project, _ = edits.record_doing(bench.project, subject=lead.key, by="Ada")
    lines = plan_lead_lines(PlanWords(project, bench.job, bench.plan))
    assert [line.done for line in lines] == [True] + [False] * (len(lines) - 1)


def test_each_new_lead_has_a_tag_for_both_ends(bench, pack):
    text = text_of(pack / "wire_tags.pdf")
    words = bench.words()
    for lead in bench.plan.leads:
        for end in lead.ends:
            assert f"{words.lead_numbers[lead.key]}{plain(words.end(end))}" in text


# ------------------------------------------------------------------------------------- how it looks


def test_a_job_of_a_dozen_leads_takes_six_sheets_and_the_splice_sheet_two(pack):
    assert len(PdfReader(pack / "bench_pack.pdf").pages) <= 6
    assert len(PdfReader(pack / "splice_sheet.pdf").pages) <= 2


@pytest.mark.parametrize("name", SHEETS)
def test_nothing_overlaps_or_leaves_the_page(pack, name):
    assert layout_faults(pack / name) == []


def test_letter_paper_holds_it_all_too(bench, tmp_path):
    write_work_pack(bench, tmp_path, paper="letter", today=DAY)
    for name in SHEETS:
        assert layout_faults(tmp_path / name) == []
        assert pages_of(tmp_path / name)[0].width_mm == pytest.approx(215.9, abs=0.1)


def test_each_page_names_job_version_and_day(bench, pack):
    for page in pages_of(pack / "bench_pack.pdf"):
        assert plain(bench.project.job.title) in page.text
        assert "version" in page.text
        assert "2026-08-14" in page.text
        assert "Stopifwhatyouseediffers." in page.text


# ------------------------------------------------------------------------------------------ forms


def test_workbook_is_the_plan(bench, pack):
    book = openpyxl.load_workbook(pack / "splice_sheet.xlsx")
    assert book.sheetnames == ["leads", "joints", "parts", "steps"]
    rows = list(book["leads"].iter_rows(values_only=True))
    assert rows[0] == PLAN_LEAD_COLUMNS
    lines = plan_lead_lines(bench.words())
    assert [row[0] for row in rows[1:]] == [line.lead for line in lines]
    at = PLAN_LEAD_COLUMNS.index
    for row, lead in zip(rows[1:], bench.plan.leads, strict=True):
        assert row[at("length_m")] == lead.length_m.value
        assert row[at("area_mm2")] == lead.area_mm2
        assert row[at("released")] == ("yes" if lead.released else "no")
    joints = list(book["joints"].iter_rows(values_only=True))
    assert joints[0] == PLAN_JOINT_COLUMNS
    assert len(joints) == 1 + len(plan_joint_lines(bench.words()))


def test_csv_and_json_say_what_the_workbook_says(bench, pack):
    with (pack / "leads.csv").open(encoding="utf-8", newline="") as file:
        in_csv = list(csv.DictReader(file))
    in_json = json.loads((pack / "work.json").read_text(encoding="utf-8"))
    assert in_json["schema"] == "loomfolio.work/1"
    assert [row["key"] for row in in_csv] == [row["key"] for row in in_json["leads"]]
    assert [row["key"] for row in in_csv] == [lead.key for lead in bench.plan.leads]


def test_published_schema_is_that_of_the_code():
    assert WORK_SCHEMA_PATH.read_text(encoding="utf-8") == work_schema_text()


def test_cavity_views_are_pictures_with_every_cavity(bench):
    views = cavity_views(bench.project, bench.job, bench.plan)
    for view in views:
        root = ET.fromstring(cavity_svg(view))
        words = [one.text for one in root.iter("{http://www.w3.org/2000/svg}text")]
        assert words[0] == view.title
        for face in view.faces:
            assert face.side in words
            for pin in filter(None, sum(face.rows, ())):
                assert words.count(pin) >= len(view.faces)
    assert {name.removesuffix(".svg") for name in cavity_files(bench)} == {
        view.title.replace(" ", "_") for view in views
    }


def test_a_zone_that_is_not_there_is_named(bench, tmp_path):
    with pytest.raises(NameNotFoundError, match="attic"):
        write_work_pack(bench, tmp_path / "out", zone="attic", today=DAY)
    assert not (tmp_path / "out").exists()
