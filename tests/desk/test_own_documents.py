"""The documents of this very vehicle as a second project: opened, held against, remembered, never written."""

import pytest

from loomfolio.desk.own_documents import AGAIN, ANOTHER, WITHOUT, read_own_documents
from loomfolio.project import Job, Project, ProjectFolder, edits
from loomfolio.reading import readings_of
from loomfolio.sheets import bring_in
from support.make_desk import (
    F5,
    FRONT,
    LAMP,
    TCU,
    X90,
    Answers,
    draw_page,
    fitted_job,
    open_session,
    readings,
    small_job,
)


def settle(qtbot, window):
    qtbot.waitUntil(lambda: not window.work.standing, timeout=60_000)


def own_project(socket="X90"):
    """What this vehicle's own sheets show: the same two pages, but no lead to cavity 2 of the socket."""
    parts = (TCU, X90.model_copy(update={"name": socket}), F5, LAMP)
    return small_job(parts=parts, job=Job(title="Van 7"))


@pytest.fixture(autouse=True)
def _drawn(monkeypatch):
    """The pages of the other project are read as they were drawn."""
    monkeypatch.setattr(
        "loomfolio.desk.own_documents.readings_of", lambda folder, project: readings()
    )


@pytest.fixture
def own(tmp_path):
    """The folder of the second project."""
    open_session(tmp_path / "own", own_project()).close()
    return tmp_path / "own"


def gap_words(window):
    return [gap.sentence for gap in window.workbench.state.gaps]


def test_the_gaps_are_those_against_the_other_project(qtbot, open_window, own):
    answers = Answers(folder=own)
    window = open_window(fitted_job(), answers)
    assert any("socket X90 is missing" in words for words in gap_words(window))
    window.book.by_id["own_documents"].trigger()
    settle(qtbot, window)
    assert not any("socket X90 is missing" in words for words in gap_words(window))
    assert "all that own says" in window.frame.notices.note.sentence
    answers.answers["one_of"] = WITHOUT
    window.book.by_id["own_documents"].trigger()
    assert any("socket X90 is missing" in words for words in gap_words(window))


def test_a_connector_of_another_name_is_asked_by_its_name_there(qtbot, open_window, tmp_path):
    open_session(tmp_path / "own", own_project(socket="J7")).close()
    answers = Answers(folder=tmp_path / "own", one_of=["the same"])
    window = open_window(fitted_job(), answers)
    window.book.by_id["own_documents"].trigger()
    settle(qtbot, window)
    found = window.workbench.state.job_gaps
    if found.matching.questions:
        window.book.by_id["settle_connectors"].trigger()
        assert "the same connector as J7 of this vehicle?" in answers.asked[-1]
    assert not any("socket X90 is missing" in words for words in gap_words(window))


def test_it_is_found_again_and_the_other_folder_is_never_written(qtbot, open_window, own):
    before = {p: p.read_bytes() for p in own.rglob("project.json")}
    window = open_window(fitted_job(), Answers(folder=own))
    window.own.ask()
    settle(qtbot, window)
    assert window.own.path == own
    window.steps.do(_titled)
    job = window.workbench.path
    window.files.new()
    settle(qtbot, window)
    assert window.workbench.own_documents is None
    window.files.open_project(job)
    settle(qtbot, window)
    assert window.workbench.own_documents.path == own
    assert {p: p.read_bytes() for p in own.rglob("project.json")} == before


def _titled(project):
    from loomfolio.desk.gestures import Step

    return Step("Title", edits.set_job(project, project.job.model_copy(update={"title": "Hook"})))


def test_the_open_project_itself_is_refused(open_window):
    answers = Answers()
    window = open_window(fitted_job(), answers)
    answers.answers["folder"] = window.workbench.path
    window.own.ask()
    assert "the project that you have open" in window.frame.notices.stop.sentence
    assert window.own.path is None


def test_a_folder_that_is_no_project_is_told_and_not_remembered(qtbot, open_window, tmp_path):
    (tmp_path / "nothing").mkdir()
    window = open_window(fitted_job(), Answers(folder=tmp_path / "nothing"))
    window.own.ask()
    settle(qtbot, window)
    assert window.own.path is None
    assert window.workbench.own_documents is None
    assert window.frame.notices.stop.sentence


def test_it_can_be_read_again_or_changed_for_another(qtbot, open_window, own, tmp_path):
    answers = Answers(folder=own)
    window = open_window(fitted_job(), answers)
    window.own.ask()
    settle(qtbot, window)
    first = window.workbench.own_documents
    answers.answers["one_of"] = AGAIN
    window.own.ask()
    settle(qtbot, window)
    assert window.workbench.own_documents is not first
    open_session(tmp_path / "other", own_project()).close()
    answers.answers |= {"one_of": ANOTHER, "folder": tmp_path / "other"}
    window.own.ask()
    settle(qtbot, window)
    assert window.own.path == tmp_path / "other"


def test_its_sheets_are_read_with_it(tmp_path, monkeypatch):
    monkeypatch.setattr("loomfolio.desk.own_documents.readings_of", readings_of)
    with ProjectFolder.create(tmp_path / "own", Project()) as folder:
        project, (sheet,) = bring_in(folder, Project(), draw_page(FRONT, tmp_path / "front.png"))
        folder.commit("Add sheet", project)
    found = read_own_documents(tmp_path / "own")
    assert found.project == project
    assert len(found.readings[sheet].conductors) > 2
