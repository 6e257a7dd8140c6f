"""Gaps and estimate from a shell: the contract, what is in scope, and one sentence for what cannot be compared."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import jsonschema
import openpyxl
import pytest
from pypdf import PdfReader

from loomfolio.basics import asset_path
from loomfolio.cli import main
from loomfolio.project import (
    Fit,
    HalfKey,
    Harness,
    Lead,
    Mate,
    Part,
    PinKey,
    PinPair,
    Project,
    ProjectFolder,
    Specimen,
    edits,
)

A1, E1, K1, X14 = (f"part-{n}" for n in range(1, 5))


def make_document() -> Project:
    """A module that gets two leads over an in-line pair, and a relay that nobody asked for."""
    parts = (
        Part(id=A1, name="A1", kind="module"),
        Part(id=E1, name="E1", kind="lamp"),
        Part(id=K1, name="K1", kind="relay", when="towing"),
        Part(id=X14, name="X14", kind="in-line connector"),
    )
    c1 = HalfKey(part=A1, connector="C1")
    a, b = HalfKey(part=X14, half="A"), HalfKey(part=X14, half="B")
    mate = Mate(id="mate-5", a=a, b=b, pairs=(PinPair(a="1", b="2"),))
    ends = [
        (c1.pin("1"), a.pin("1"), "towing"),
        (b.pin("2"), PinKey(part=E1, pin="1"), "towing"),
        (c1.pin("2"), PinKey(part=E1, pin="2"), ""),
        (c1.pin("9"), PinKey(part=K1, pin="85"), "towing"),
    ]
    leads = tuple(
        Lead(id=f"lead-{n}", ends=(p, q), when=when) for n, (p, q, when) in enumerate(ends, 10)
    )
    project = Project(
        serial=100,
        parts=parts,
        mates=(mate,),
        leads=leads,
        fits=(
            Fit(id="fit-20", name="equipped", options_with=("towing",)),
            Fit(id="fit-21", name="base", options_without=("towing",)),
        ),
        harnesses=(Harness(id="harness-30", name="Rear loom", ends=(b, HalfKey(part=E1))),),
        specimens=(Specimen(id="specimen-40", name="Van 7", kind="this vehicle"),),
    )
    job = project.job.model_copy(update={"target_fit": "equipped", "vehicle_fit": "base"})
    return edits.set_scope(project.model_copy(update={"job": job}), [HalfKey(part=E1)])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    path = tmp_path / "van"
    ProjectFolder.create(path, make_document()).close()
    return path


def change(path: Path, title: str, project: Project) -> None:
    with ProjectFolder.open(path) as opened:
        opened.commit(title, project)


def test_gaps_are_told_by_their_sentences(folder: Path, capsys: pytest.CaptureFixture[str]):
    assert main(["gaps", str(folder)]) == 0
    shown = capsys.readouterr().out
    assert "The lead from A1 C1:1 to X14.A:1 is missing" in shown
    assert "The lead from E1:1 to X14.B:2 is missing" in shown
    assert "2 outside of the job" in shown
    assert "K1" not in shown
    assert main(["gaps", str(folder), "--all"]) == 0
    assert "outside of the job: The relay K1 is missing" in capsys.readouterr().out


def test_gaps_are_written_by_the_contract(folder: Path, tmp_path: Path):
    files = {form: tmp_path / f"gaps.{form}" for form in ("json", "csv", "xlsx")}
    words = [word for form, path in files.items() for word in (f"--{form}", str(path))]
    assert main(["gaps", str(folder), "--all", *words]) == 0
    record = json.loads(files["json"].read_text(encoding="utf-8"))
    schema = asset_path("schemas", "gaps-1.schema.json").read_text(encoding="utf-8")
    jsonschema.validate(record, json.loads(schema))
    assert record["schema"] == "loomfolio.gaps/1"
    assert (record["target_fit"], record["vehicle_fit"]) == ("equipped", "base")
    assert [gap["in_scope"] for gap in record["gaps"]] == [True, True, False, False]
    with files["csv"].open(encoding="utf-8", newline="") as stream:
        assert len(list(csv.DictReader(stream))) == 4
    sheet = openpyxl.load_workbook(files["xlsx"]).active
    assert sheet is not None
    assert sheet.max_row == 5


def test_only_the_job_is_written_where_nobody_asks_for_all(
    folder: Path, capsys: pytest.CaptureFixture[str]
):
    assert main(["gaps", str(folder), "--json", "-"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert [gap["in_scope"] for gap in record["gaps"]] == [True, True]


def test_the_gap_sheet_is_a_pdf(folder: Path, tmp_path: Path):
    path = tmp_path / "gaps.pdf"
    assert main(["gaps", str(folder), "--pdf", str(path)]) == 0
    text = "".join(page.extract_text() for page in PdfReader(path).pages)
    assert "X14" in text


def test_fits_can_be_named_on_the_command_line(folder: Path, capsys: pytest.CaptureFixture[str]):
    assert main(["gaps", str(folder), "--target-fit", "base", "--all"]) == 0
    assert capsys.readouterr().out.startswith("gap ")
    assert main(["gaps", str(folder), "--target-fit", "bas"]) == 2
    assert "did you mean base" in capsys.readouterr().err


def test_a_job_without_a_target_is_told_in_one_sentence(
    folder: Path, capsys: pytest.CaptureFixture[str]
):
    project = make_document()
    job = project.job.model_copy(update={"target_fit": ""})
    change(folder, "Name no target", edits.set_job(project, job))
    for command in ("gaps", "estimate"):
        assert main([command, str(folder)]) == 2
        shown = capsys.readouterr()
        assert shown.out == ""
        assert shown.err.count("\n") == 1
        assert "does not say which fit is the target" in shown.err


def test_a_vehicle_with_documents_of_its_own_is_compared(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    own = Project()
    own, module = edits.add_part(own, name="A1", kind="module")
    own, lamp = edits.add_part(own, name="E1", kind="lamp")
    ends = (HalfKey(part=module, connector="C1").pin("2"), HalfKey(part=lamp).pin("2"))
    own = edits.add_lead(own, ends=ends).project
    ProjectFolder.create(tmp_path / "own", own).close()
    assert main(["gaps", str(folder), "--vehicle", str(tmp_path / "own")]) == 0
    shown = capsys.readouterr().out
    assert "The lead from E1:1 to X14.B:2 is missing" in shown
    assert "A1 C1:2" not in shown


def test_an_estimate_names_the_ways_and_what_is_not_known(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    assert main(["estimate", str(folder)]) == 0
    shown = capsys.readouterr().out
    assert "direct leads (proposed): 0 to 2 leads" in shown
    assert "whole loom: not possible" in shown
    assert "2 of 2 points have not been checked on this vehicle yet" in shown
    path = tmp_path / "estimate.pdf"
    assert main(["estimate", str(folder), "--pdf", str(path)]) == 0
    assert len(PdfReader(path).pages) >= 1


def test_a_donor_loom_counts_in_the_estimate(folder: Path, capsys: pytest.CaptureFixture[str]):
    with ProjectFolder.open(folder) as opened:
        added = edits.add_specimen(
            opened.project, name="Wreck", kind="donor loom", harness="harness-30"
        )
        opened.commit("Add a donor", added.project)
    assert main(["estimate", str(folder)]) == 0
    assert "Wires taken over from the donor loom: 1" in capsys.readouterr().out


def test_what_only_the_vehicles_own_documents_know_is_told_by_its_name(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    """A siren that the target never heard of hangs on the lamp; its ids mean nothing in the target."""
    own = Project()
    own, siren = edits.add_part(own, name="Q7", kind="device")
    own, module = edits.add_part(own, name="A1", kind="module")
    own, lamp = edits.add_part(own, name="E1", kind="lamp")
    plug, socket = HalfKey(part=module, connector="C1"), HalfKey(part=lamp)
    for a, b in ((plug.pin("2"), socket.pin("2")), (socket.pin("1"), PinKey(part=siren, pin="1"))):
        own = edits.add_lead(own, ends=(a, b)).project
    ProjectFolder.create(tmp_path / "own", own).close()
    words = ["gaps", str(folder), "--vehicle", str(tmp_path / "own"), "--all"]
    files = [tmp_path / f"gaps.{form}" for form in ("json", "csv", "xlsx", "pdf")]
    assert (
        main([*words, *(word for path in files for word in (f"--{path.suffix[1:]}", str(path)))])
        == 0
    )
    assert main(words) == 0
    assert main(["estimate", *words[1:-1], "--pdf", str(tmp_path / "estimate.pdf")]) == 0
    record = json.loads(files[0].read_text(encoding="utf-8"))
    (moved,) = [gap for gap in record["gaps"] if "Q7" in json.dumps(gap)]
    assert moved["missing"] == "The lead from E1:1 to Q7:1 has to go to X14.B:2 instead"
    assert moved["pins"] == ["E1:1", "X14.B:2"]


def test_looking_for_gaps_changes_nothing_in_the_folder(folder: Path):
    def state() -> dict[str, bytes]:
        files = (path for path in folder.rglob("*") if path.is_file())
        return {str(path): path.read_bytes() for path in files}

    before = state()
    assert main(["gaps", str(folder)]) == 0
    assert main(["estimate", str(folder)]) == 0
    assert state() == before
