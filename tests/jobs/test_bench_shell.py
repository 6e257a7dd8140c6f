"""From the shell to the bench and to the proof: pack, proof, hand-over, next vehicle, on the parcel van."""

from __future__ import annotations

import csv
import json
import shutil
import zipfile
from pathlib import Path

import pytest
from pypdf import PdfReader

from loomfolio.basics import demo_projects_path
from loomfolio.bench.step_sheet import short_title
from loomfolio.cli import main
from loomfolio.project import ProjectFolder, Vehicle, edits, unpack
from loomfolio.reading import readings_of
from loomfolio.retrofit import job_gaps, take_best
from support.pdf_text import layout_faults, pages_of, plain

OWNED = Vehicle(make="Brenvik", model="Pakka e3", year=2023, plate="BR-AB 123", owner="Ada Lund")


@pytest.fixture(scope="module")
def planned(tmp_path_factory) -> Path:
    """The parcel van with the best offer taken for each gap; it belongs to somebody."""
    source = demo_projects_path() / "parcel_van_towing"
    path = tmp_path_factory.mktemp("planned") / "van"
    with ProjectFolder.open(source, read_only=True) as folder:
        project = folder.project
        job = job_gaps(project, readings_of(folder, project))
        project = take_best(project, job)
        project = edits.set_job(project, project.job.model_copy(update={"vehicle": OWNED}))
        project, _ = edits.add_reading(
            project, test="sleep current", value=9.0, unit="mA", by="Ada Lund"
        )
        ProjectFolder.create(path, project, files_of=source).close()
    return path


@pytest.fixture(scope="module")
def pack(planned, tmp_path_factory) -> Path:
    out = tmp_path_factory.mktemp("pack")
    assert main(["sheet", str(planned), "-o", str(out)]) == 0
    return out


def test_the_pack_has_one_file_for_the_phone_and_lists_for_programs(pack):
    assert {path.name for path in pack.iterdir()} == {
        *("bench_pack.pdf", "splice_sheet.pdf", "splice_sheet.xlsx", "proof.pdf", "wire_tags.pdf"),
        *("connector_map.pdf", "connector_map.xlsx", "connector_map.csv"),
        *("leads.csv", "joints.csv", "parts.csv", "steps.csv", "work.json"),
        *("proof.xlsx", "proof.csv", "proof.json"),
        *("map_picture.pdf", "map_picture.svg", "annotated_sheets.pdf", "cavities"),
    }


@pytest.mark.parametrize(
    "name",
    ["bench_pack.pdf", "splice_sheet.pdf", "proof.pdf", "wire_tags.pdf", "connector_map.pdf"],
)
def test_nothing_overlaps_or_leaves_the_page(pack, name):
    assert layout_faults(pack / name) == []


def test_the_pack_of_thirteen_leads_takes_six_sheets_the_splice_sheet_two(pack):
    with (pack / "leads.csv").open(encoding="utf-8", newline="") as file:
        assert len(list(csv.DictReader(file))) == 13
    assert len(PdfReader(pack / "bench_pack.pdf").pages) <= 6
    assert len(PdfReader(pack / "splice_sheet.pdf").pages) <= 2


def test_every_lead_joint_and_cavity_of_the_plan_stands_on_it(pack):
    text = "".join(page.text for page in pages_of(pack / "bench_pack.pdf"))
    work = json.loads((pack / "work.json").read_text(encoding="utf-8"))
    for lead in work["leads"]:
        assert lead["lead"] in text
        for end in ("a", "b"):
            assert plain(lead[end]) in text
    for joint in work["joints"]:
        assert f"{joint['joint']}{plain(joint['joint_kind'])}" in text
    for step in work["steps"]:
        assert plain(short_title(step["title"])) in text


def test_annotated_sheets_are_all_sheets_with_their_titles(pack, planned):
    with ProjectFolder.open(planned, read_only=True) as folder:
        titles = [sheet.title for sheet in folder.project.sheets]
    reader = PdfReader(pack / "annotated_sheets.pdf")
    assert [item.title for item in reader.outline] == titles
    assert all(len(page.images) == 1 for page in reader.pages)


def test_one_zone_has_its_own_pack(planned, tmp_path):
    with ProjectFolder.open(planned, read_only=True) as folder:
        zones = [zone.name for zone in folder.project.zones]
    assert main(["sheet", str(planned), "-o", str(tmp_path), "--zone", zones[0]]) == 0
    text = "".join(page.text for page in pages_of(tmp_path / "bench_pack.pdf"))
    assert f"Zone{plain(zones[0])}" in text


def test_a_zone_that_is_not_there_is_one_sentence(planned, tmp_path, capsys):
    assert main(["sheet", str(planned), "-o", str(tmp_path), "--zone", "attic"]) == 2
    assert "attic" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_proof_tells_tests_and_readings(planned, capsys):
    assert main(["proof", str(planned)]) == 0
    said = capsys.readouterr().out
    assert "1 passed, 0 failed" in said
    assert main(["proof", str(planned), "--json", "-"]) == 0
    tests = json.loads(capsys.readouterr().out)["tests"]
    (sleep,) = [test for test in tests if test["key"] == "sleep current"]
    assert (sleep["outcome"], sleep["by"]) == ("pass", "Ada Lund")


def test_the_hand_over_to_be_shared_names_neither_owner_nor_plate(planned, tmp_path):
    assert main(["handover", str(planned), "-o", str(tmp_path), "--redact"]) == 0
    text = "".join(page.text for page in pages_of(tmp_path / "hand_over.pdf")).casefold()
    assert "adalund" not in text
    assert "br-ab123" not in text
    assert "(leftout)" in text
    with zipfile.ZipFile(tmp_path / "project.zip") as archive:
        document = archive.read("project.json").decode().casefold()
    assert "ada lund" not in document
    assert "br-ab 123" not in document


def test_the_hand_over_for_the_owner_names_the_plate_and_its_project_opens(planned, tmp_path):
    assert main(["handover", str(planned), "-o", str(tmp_path)]) == 0
    assert "BR-AB123" in pages_of(tmp_path / "hand_over.pdf")[0].text
    unpack(tmp_path / "project.zip", tmp_path / "again")
    with (
        ProjectFolder.open(planned, read_only=True) as one,
        ProjectFolder.open(tmp_path / "again", read_only=True) as other,
    ):
        assert one.project == other.project


def test_without_a_plan_there_is_nothing_to_hand_over(tmp_path, capsys):
    source = demo_projects_path() / "parcel_van_towing"
    shutil.copytree(source, tmp_path / "bare")
    with ProjectFolder.open(tmp_path / "bare") as folder:
        bare = folder.project.model_copy(update={"operations": ()})
        if folder.project.operations:
            folder.commit("Choose nothing", bare)
    assert main(["handover", str(tmp_path / "bare"), "-o", str(tmp_path / "out")]) == 2
    assert "No work is planned yet" in capsys.readouterr().err


def test_the_next_vehicle_keeps_the_plan_and_forgets_the_rest(planned, tmp_path):
    (planned / "photos").mkdir(exist_ok=True)
    (planned / "photos" / "old.jpg").write_bytes(b"of the old vehicle")
    assert main(["next", str(planned), str(tmp_path / "next")]) == 0
    assert list((tmp_path / "next" / "photos").iterdir()) == []
    with (
        ProjectFolder.open(planned, read_only=True) as old,
        ProjectFolder.open(tmp_path / "next", read_only=True) as new,
    ):
        assert new.project.operations == old.project.operations
        assert new.project.meter_readings == ()
        assert new.project.survey == ()
        assert new.project.job.vehicle.owner == ""
        assert {f.name for f in (new.path / "sheets").iterdir()} == {
            f.name for f in (old.path / "sheets").iterdir()
        }
