"""Sheets are read in the background, again when what they are read from changes, and not otherwise."""

import pytest

from loomfolio.desk.gestures import Step, step_of
from loomfolio.desk.readers import Readers, wanted_readings
from loomfolio.desk.table.intents import NameNet, NumberPins
from loomfolio.desk.work import Work
from loomfolio.desk.workbench import Workbench
from loomfolio.project import BodyMark, Project, edits
from loomfolio.reading import Text
from support.make_desk import FRONT, open_session, readings, small_job


@pytest.fixture
def read(monkeypatch):
    """The sheets that were read, in order; what the folder keeps is empty."""
    sheets = []

    def read_sheet(folder, sheet, bodies, *, cancelled, progress):
        sheets.append(sheet.id)
        progress(0.5)
        return readings()[sheet.id]

    monkeypatch.setattr("loomfolio.desk.readers.read_sheet", read_sheet)
    monkeypatch.setattr("loomfolio.desk.readers.kept_readings", lambda folder, project: {})
    return sheets


@pytest.fixture
def work(qtbot):
    made = Work()
    yield made
    made.close()


@pytest.fixture
def bench(session):
    return Workbench(session, {})


@pytest.fixture
def readers(qtbot, bench, work, read):
    made = Readers(bench, work)
    made.look()
    settle(qtbot, work)
    return made


def settle(qtbot, work):
    qtbot.waitUntil(lambda: not work.standing, timeout=10_000)


def test_every_circuit_sheet_is_read_once(bench, readers, read):
    assert read == ["sheet-1", "sheet-2"]
    assert bench.state.netlist.conductors_on("sheet-1")


def test_an_edit_that_changes_nothing_of_it_reads_nothing_again(qtbot, bench, readers, work, read):
    bench.do(step_of(bench.project, NameNet("sheet-1", FRONT.at("a"), "+30")))
    bench.do(step_of(bench.project, NumberPins("mark-6", ())))
    settle(qtbot, work)
    assert read == ["sheet-1", "sheet-2"]


def test_a_new_box_reads_its_sheet_again(qtbot, bench, readers, work, read):
    body = next(m for m in bench.project.marks if isinstance(m, BodyMark))
    moved = edits.move_marks(bench.project, [body.id], right_mm=3.0)
    bench.do(Step("Move box", moved))
    settle(qtbot, work)
    assert read == ["sheet-1", "sheet-2", "sheet-1"]


def test_a_sheet_that_is_no_circuit_is_not_read(qtbot, bench, readers, work, read):
    assert set(wanted_readings(bench.project)) == {"sheet-1", "sheet-2"}
    faces = bench.project.sheet("sheet-1").model_copy(update={"kind": "connector faces"})
    off = bench.project.sheet("sheet-2").model_copy(update={"is_read": False})
    project = edits.change_sheet(edits.change_sheet(bench.project, faces), off)
    assert wanted_readings(project) == {}


def test_what_the_folder_keeps_is_not_read_again(qtbot, session, work, read, monkeypatch):
    monkeypatch.setattr(
        "loomfolio.desk.readers.kept_readings",
        lambda folder, project: {"sheet-1": readings()["sheet-1"]},
    )
    bench = Workbench(session, {})
    Readers(bench, work).look()
    settle(qtbot, work)
    assert read == ["sheet-2"]
    assert bench.state.netlist.conductors_on("sheet-1")


def test_progress_names_the_sheets_that_are_read(qtbot, bench, work, read):
    readers = Readers(bench, work)
    readers.look()
    qtbot.waitUntil(lambda: bool(readers.progress()) or len(read) == 2)
    settle(qtbot, work)
    assert readers.progress() == {}


def test_what_was_called_off_waits_until_it_is_asked_for(qtbot, bench, work, read):
    readers = Readers(bench, work)
    readers.look()
    qtbot.waitUntil(lambda: all(s.key != "kept" for s in work.standing))
    readers.call_off()
    settle(qtbot, work)
    left = 2 - len(bench.state.readings)
    readers.look()
    settle(qtbot, work)
    assert 2 - len(bench.state.readings) == left
    readers.read_again()
    settle(qtbot, work)
    assert len(bench.state.readings) == 2


def test_another_project_is_read_from_the_start(qtbot, bench, readers, work, read, tmp_path):
    bench.change_session(open_session(tmp_path / "other", small_job()))
    settle(qtbot, work)
    assert read == ["sheet-1", "sheet-2"] * 2


def test_an_empty_project_wants_nothing():
    assert wanted_readings(Project()) == {}


def test_words_are_read_after_the_lines_and_only_where_they_are_wanted(
    qtbot, bench, work, read, monkeypatch
):
    asked = []
    word = Text(text="E7", box=(10, 10, 40, 30), confidence=0.99)
    monkeypatch.setattr(
        "loomfolio.desk.readers.read_sheet_words", lambda folder, sheet, reading, **_: (word,)
    )
    readers = Readers(bench, work, lambda: bool(asked))
    readers.look()
    settle(qtbot, work)
    assert all(not reading.texts for reading in bench.state.readings.values())

    asked.append("on")
    readers.read_words()
    settle(qtbot, work)

    assert [one.text for one in bench.state.words["sheet-1"]] == ["E7"]
    assert bench.state.netlist.conductors_on("sheet-1")


def test_a_body_makes_the_lines_be_read_again_but_not_the_words(
    qtbot, bench, work, read, monkeypatch
):
    words = []
    monkeypatch.setattr(
        "loomfolio.desk.readers.read_sheet_words",
        lambda folder, sheet, reading, **_: words.append(sheet.id) or (),
    )
    readers = Readers(bench, work)
    readers.look()
    settle(qtbot, work)
    bench.do(Step("Remove a body", edits.remove_marks(bench.project, ["mark-1"])))
    settle(qtbot, work)

    assert read.count("sheet-1") == 2
    assert words.count("sheet-1") == 1
