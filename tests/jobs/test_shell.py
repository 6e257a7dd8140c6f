"""Whole jobs from a shell: what goes in, what comes out, and one plain sentence for what cannot be used."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import openpyxl
import pytest
from PIL import Image, ImageDraw
from pypdf import PdfReader

from loomfolio.basics import MmBox, MmPoint, PxBox
from loomfolio.cli import main
from loomfolio.project import BodyPin, ProjectFolder, edits
from loomfolio.reading import Reading

DPI = 200


@pytest.fixture
def page(tmp_path: Path) -> Path:
    """A scan of two modules with three leads between them, one of which crosses the others."""
    image = Image.new("L", (1654, 1169), 255)
    pen = ImageDraw.Draw(image)
    for box in ((200, 200, 400, 700), (1200, 200, 1400, 700)):
        pen.rectangle(box, outline=0, width=3)
    pen.line([(400, 300), (1200, 300)], fill=0, width=3)
    pen.line([(400, 400), (700, 400), (700, 600), (1200, 600)], fill=0, width=3)
    pen.line([(400, 500), (1200, 500)], fill=0, width=3)
    path = tmp_path / "rear lamps.png"
    image.save(path, dpi=(DPI, DPI))
    return path


def _mm(x_px: float, y_px: float) -> MmPoint:
    return MmPoint(x_px * 25.4 / DPI, y_px * 25.4 / DPI)


@pytest.fixture
def project(tmp_path: Path, page: Path) -> Path:
    """A project of that page, both modules boxed and numbered."""
    path = tmp_path / "van"
    assert main(["new", str(path), str(page)]) == 0
    with ProjectFolder.open(path) as folder:
        document = folder.project
        sheet = document.sheets[0].id
        for name, x0, x1, edge, heights in (
            ("E7", 200, 400, 400, (300, 400, 500)),
            ("A1", 1200, 1400, 1200, (300, 600, 500)),
        ):
            document, part = edits.add_part(document, name=name, kind="module")
            corners = MmBox.around(_mm(x0, 200), _mm(x1, 700))
            pins = tuple(
                BodyPin(at=_mm(edge, y), pin=str(n)) for n, y in enumerate(heights, start=1)
            )
            document = edits.put_body(
                document, sheet=sheet, box=corners, part=part, connector="C1", pins=pins
            ).project
        folder.commit("Box the modules", document)
    return path


def test_a_page_is_read_into_the_contract(
    page: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["conductors", str(page), "--json", "-"]) == 0
    shown = json.loads(capsys.readouterr().out)
    assert shown["schema"] == "loomfolio.conductors/1"
    boxes = tmp_path / "boxes.json"
    boxes.write_text("[[200, 200, 400, 700], [1400, 700, 1200, 200]]", encoding="utf-8")
    out = tmp_path / "reading.json"
    assert main(["conductors", str(page), "--bodies", str(boxes), "--json", str(out)]) == 0
    reading = Reading.model_validate_json(out.read_text(encoding="utf-8"))
    assert reading.page.dpi == pytest.approx(DPI, abs=0.5)
    assert len(reading.conductors) == 3
    assert len(reading.crossings) == 1
    assert {tuple(body.box) for body in reading.bodies} >= {tuple(PxBox(200, 200, 400, 700))}


def test_the_map_of_a_project_is_every_lead(
    project: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["map", str(project)]) == 0
    shown = capsys.readouterr().out
    assert "E7 C1:2" in shown
    assert "A1 C1:2" in shown
    files = [tmp_path / f"map.{form}" for form in ("csv", "xlsx", "json")]
    words = [word for path in files for word in (f"--{path.suffix[1:]}", str(path))]
    assert main(["map", str(project), *words]) == 0
    with files[0].open(encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert len(rows) == 3
    sheet = openpyxl.load_workbook(files[1]).active
    assert sheet is not None
    assert len(json.loads(files[2].read_text(encoding="utf-8"))["leads"]) == 3


def test_a_pin_is_followed(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["follow", str(project), "E7 C1:1"]) == 0
    assert "A1 C1:1" in capsys.readouterr().out
    assert main(["follow", str(project), "e7:2", "--to", "A1:2", "--json", "-"]) == 0
    ways = json.loads(capsys.readouterr().out)["ways"]
    assert [way["ends_at"] for way in ways] == ["A1 C1:2"]
    assert main(["follow", str(project), "E7:1", "--to", "E7:2"]) == 0
    assert "No way" in capsys.readouterr().out


def test_check_tells_by_its_status_that_something_stands_open(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with ProjectFolder.open(project) as folder:
        document, part = edits.add_part(folder.project, name="X9", kind="device")
        lonely = edits.put_body(
            document,
            sheet=document.sheets[0].id,
            box=MmBox.around(_mm(600, 900), _mm(700, 1000)),
            part=part,
            pins=(BodyPin(at=_mm(600, 950), pin="1"),),
        ).project
        folder.commit("Box a part with nothing on it", lonely)
    assert main(["check", str(project)]) == 1
    assert "X9:1 meets no conductor" in capsys.readouterr().out
    assert main(["check", str(project), "--json", "-"]) == 1
    assert json.loads(capsys.readouterr().out)["schema"] == "loomfolio.check/1"


def test_from_a_scan_to_a_splice_sheet(project: Path, tmp_path: Path) -> None:
    out = tmp_path / "bench"
    assert main(["sheet", str(project), "-o", str(out)]) == 0
    names = {path.name for path in out.iterdir()}
    assert {"connector_map.pdf", "connector_map.xlsx", "connector_map.csv"} <= names
    assert {"splice_sheet.pdf", "splice_sheet.xlsx", "splice_sheet.csv"} <= names
    text = "".join(page.extract_text() for page in PdfReader(out / "connector_map.pdf").pages)
    assert "E7" in text
    assert "A1" in text


def test_a_project_goes_into_one_file_and_comes_out_the_same(project: Path, tmp_path: Path) -> None:
    packed = tmp_path / "van.zip"
    assert main(["pack", str(project), str(packed)]) == 0
    assert main(["unpack", str(packed), str(tmp_path / "again")]) == 0
    with ProjectFolder.open(project) as first, ProjectFolder.open(tmp_path / "again") as second:
        assert first.project == second.project


def test_reading_a_project_changes_nothing_in_it(project: Path) -> None:
    def state() -> dict[str, bytes]:
        files = (path for path in project.rglob("*") if path.is_file())
        return {
            str(path.relative_to(project)): path.read_bytes()
            for path in files
            if "cache" not in path.parts
        }

    before = state()
    main(["map", str(project)])
    main(["check", str(project)])
    assert state() == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        pytest.param(["conductors", "{tmp}/none.png", "--json", "-"], "none.png", id="no file"),
        pytest.param(["conductors", "{tmp}/text.png", "--json", "-"], "text.png", id="no picture"),
        pytest.param(["conductors", "{page}", "--json", "-", "--page", "4"], "page", id="no page"),
        pytest.param(["conductors", "{page}", "--json", "-", "--dpi", "0"], "dpi", id="dpi"),
        pytest.param(
            ["conductors", "{page}", "--json", "-", "--bodies", "{tmp}/text.png"],
            "text.png",
            id="bad boxes",
        ),
        pytest.param(
            ["conductors", "{page}", "--json", "{tmp}/no/such/out.json"], "out.json", id="no place"
        ),
        pytest.param(["conductors", "{page}"], "--json", id="no output"),
        pytest.param(["map", "{tmp}/nowhere"], "nowhere", id="no project"),
        pytest.param(["map", "{project}", "--fit", "towng"], "towng", id="no fit"),
        pytest.param(["follow", "{project}", "E8 C1:1"], "E7 C1:1", id="no pin, nearest named"),
        pytest.param(["sheet", "{project}", "-o", "{tmp}/text.png"], "text.png", id="out is file"),
        pytest.param(["new", "{project}", "{page}"], "van", id="project is there"),
        pytest.param(["new", "{tmp}/new", "{tmp}/text.png"], "text.png", id="new of no picture"),
        pytest.param(["unpack", "{tmp}/text.png", "{tmp}/x"], "text.png", id="no zip"),
        pytest.param(["frobnicate"], "frobnicate", id="no command"),
    ],
)
def test_what_cannot_be_used_is_told_in_one_sentence(
    words: list[str],
    said: str,
    page: Path,
    project: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    (tmp_path / "text.png").write_text("no picture at all", encoding="utf-8")
    capsys.readouterr()
    filled = [word.format(tmp=tmp_path, page=page, project=project) for word in words]
    assert main(filled) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert said in told.err
    assert told.err.count("\n") == 1
    assert "Traceback" not in told.err


@pytest.mark.parametrize("length", [0, 20, 700, 3000])
def test_a_failed_import_leaves_no_half_project(page: Path, tmp_path: Path, length: int) -> None:
    cut = tmp_path / "cut.png"
    cut.write_bytes(page.read_bytes()[:length])
    assert main(["new", str(tmp_path / "new"), str(page), str(cut)]) == 2
    assert not (tmp_path / "new").exists()
    (tmp_path / "empty").mkdir()
    assert main(["new", str(tmp_path / "empty"), str(page), str(cut)]) == 2
    assert list((tmp_path / "empty").iterdir()) == []
