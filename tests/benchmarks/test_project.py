"""How long it takes to open a project, to edit it, to save it, and to read its pins back.

The sizes are 2, 25 and 200 sheets; 25 sheets with 2,000 marks are the largest usual job. The baseline of
opening is Python's own JSON reader on the same file. Compare ratios of one run, never absolute times.
"""

from __future__ import annotations

import itertools
import json
import tracemalloc
from collections.abc import Iterator
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from loomfolio.basics import MmPoint
from loomfolio.project import (
    PinNames,
    Project,
    ProjectFolder,
    Session,
    all_pins,
    compare,
    edits,
)
from loomfolio.project.journal import line_bytes
from support.make_project import make_large

SIZES = [
    pytest.param((2, 160), id="2-sheets"),
    pytest.param((25, 2_000), id="25-sheets", marks=pytest.mark.larger),
    pytest.param((200, 16_000), id="200-sheets", marks=pytest.mark.larger),
]


@pytest.fixture(params=SIZES, scope="module")
def project(request: pytest.FixtureRequest) -> Project:
    """A document of so many sheets and marks."""
    sheets, marks = request.param
    return make_large(sheets=sheets, marks=marks)


@pytest.fixture
def path(project: Project, tmp_path: Path) -> Path:
    """The same document as a folder."""
    ProjectFolder.create(tmp_path / "van", project).close()
    return tmp_path / "van"


@pytest.fixture
def session(path: Path) -> Iterator[Session]:
    """The same document open for editing."""
    with Session.open(path) as opened:
        yield opened


def renamed(project: Project, number: int) -> Project:
    return edits.rename_part(project, project.parts[0].id, f"Z{number}")


def test_reading_the_json_alone(benchmark: BenchmarkFixture, path: Path) -> None:
    """The baseline: no models, no checks."""
    data = benchmark(lambda: json.loads((path / "project.json").read_bytes()))
    assert data["schema"] == "loomfolio.project/1"


def test_opening(benchmark: BenchmarkFixture, path: Path, project: Project) -> None:
    opened = benchmark(lambda: ProjectFolder.open(path, read_only=True).project)
    assert opened == project
    tracemalloc.start()
    ProjectFolder.open(path, read_only=True)
    benchmark.extra_info["peak_mb"] = round(tracemalloc.get_traced_memory()[1] / 2**20, 1)
    tracemalloc.stop()


def test_opening_with_500_edits_in_the_journal(
    benchmark: BenchmarkFixture, path: Path, project: Project
) -> None:
    with (path / "journal.jsonl").open("wb") as journal:
        for number in range(1, 501):
            after = renamed(project, number)
            journal.write(line_bytes(number, "Rename", compare(project, after)))
            project = after
    opened = benchmark(lambda: ProjectFolder.open(path, read_only=True).project)
    assert opened.parts[0].name == "Z500"


def test_one_edit_committed(benchmark: BenchmarkFixture, session: Session) -> None:
    """Edit, comparison, checks, line of the journal and the flush to disk."""
    sheet = session.project.sheets[0].id
    places = (MmPoint(1.0, 2.0 * number) for number in itertools.count())

    def edit() -> None:
        session.do("Join", edits.put_join(session.project, sheet=sheet, at=next(places)).project)

    benchmark(edit)
    assert session.can_undo


def test_one_edit_without_the_disk(benchmark: BenchmarkFixture, project: Project) -> None:
    """Edit, comparison and line of the journal."""

    def edit() -> bytes:
        after = edits.put_name(
            project, sheet=project.sheets[0].id, at=MmPoint(1, 1), name="TAIL LH"
        ).project
        return line_bytes(1, "Name", compare(project, after))

    assert b"TAIL LH" in benchmark(edit)


def test_saving(benchmark: BenchmarkFixture, session: Session) -> None:
    numbers = itertools.count()

    def save() -> None:
        session.do("Rename", renamed(session.project, next(numbers)))
        session.save()

    benchmark(save)
    assert session.is_saved


def test_writing_all_pins_short(benchmark: BenchmarkFixture, project: Project) -> None:
    def texts() -> list[str]:
        names = PinNames(project)
        return [names.short_pin_text(key) for key in names.pins]

    assert len(benchmark(texts)) == len(all_pins(project))
