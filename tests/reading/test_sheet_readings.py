"""Readings of a project's sheets: made once, kept by content, made again when anything they rest on changes."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from loomfolio.basics import MmBox, WorkCancelledError
from loomfolio.project import Project, ProjectFolder, edits
from loomfolio.reading import bodies_of, cached_reading, read_sheet, readings_of
from loomfolio.sheets import bring_in


@pytest.fixture
def folder(tmp_path: Path) -> ProjectFolder:
    """A project with one sheet: a frame-less page with one line."""
    image = Image.new("L", (800, 600), 255)
    ImageDraw.Draw(image).line([(100, 300), (700, 300)], fill=0, width=3)
    image.save(tmp_path / "line.png", dpi=(200, 200))
    opened = ProjectFolder.create(tmp_path / "job", Project())
    project, _ = bring_in(opened, opened.project, tmp_path / "line.png")
    opened.commit("Bring in a sheet", project)
    return opened


def test_a_reading_is_kept_and_taken_from_the_cache(folder: ProjectFolder) -> None:
    with folder:
        (sheet,) = folder.project.sheets
        assert cached_reading(folder, sheet, ()) is None
        made = read_sheet(folder, sheet, ())
        assert len(made.conductors) == 1
        assert cached_reading(folder, sheet, ()) == made


def test_a_damaged_cache_file_counts_as_missing(folder: ProjectFolder) -> None:
    with folder:
        (sheet,) = folder.project.sheets
        made = read_sheet(folder, sheet, ())
        (kept,) = (folder.cache_path / "readings").iterdir()
        for spoilt in (b"", b"{", b"\xff\xfe", kept.read_bytes()[:-40]):
            kept.write_bytes(spoilt)
            assert cached_reading(folder, sheet, ()) is None
        assert read_sheet(folder, sheet, ()) == made


def test_a_marked_body_makes_another_reading(folder: ProjectFolder) -> None:
    with folder:
        project, part = edits.add_part(folder.project, name="E7")
        (sheet,) = project.sheets
        boxed = edits.put_body(
            project, sheet=sheet.id, box=MmBox(30.0, 30.0, 50.0, 50.0), part=part
        ).project
        assert bodies_of(project, sheet) == ()
        (box,) = bodies_of(boxed, sheet)
        assert box.x0 == pytest.approx(30.0 * 200 / 25.4)
        read_sheet(folder, sheet, ())
        assert cached_reading(folder, sheet, (box,)) is None
        assert len(read_sheet(folder, sheet, (box,)).conductors) == 2


def test_work_that_is_called_off_keeps_nothing(folder: ProjectFolder) -> None:
    with folder:
        (sheet,) = folder.project.sheets
        with pytest.raises(WorkCancelledError):
            read_sheet(folder, sheet, (), cancelled=lambda: True)
        assert cached_reading(folder, sheet, ()) is None


def test_only_circuit_sheets_that_are_to_be_read_are_read(folder: ProjectFolder) -> None:
    with folder:
        (sheet,) = folder.project.sheets
        assert set(readings_of(folder, folder.project)) == {sheet.id}
        off = edits.change_sheet(folder.project, sheet.model_copy(update={"is_read": False}))
        assert readings_of(folder, off) == {}
        faces = sheet.model_copy(update={"kind": "connector faces"})
        assert readings_of(folder, edits.change_sheet(folder.project, faces)) == {}
