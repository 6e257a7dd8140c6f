"""One place where edits are tried: they succeed with a title, or are refused in one sentence."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from loomfolio.basics import EditError
from loomfolio.desk.gestures import Step
from loomfolio.desk.steps import Steps
from loomfolio.desk.table.intents import Answer, DrawLine, MoveSheet, NameNet, Remove
from loomfolio.desk.workbench import Workbench
from loomfolio.project import ProjectFolder
from support.make_desk import FRONT, REAR, open_session, pin, readings


@pytest.fixture
def refused():
    return []


@pytest.fixture
def done():
    return []


@pytest.fixture
def steps(workbench, refused, done):
    return Steps(workbench, refused.append, done.append)


def test_what_is_done_is_told_by_its_title(steps, done):
    assert steps.intend(NameNet("sheet-1", FRONT.at("a"), "+30"))
    assert done == ["Name net +30"]


def test_what_cannot_be_done_is_told_and_nothing_changed(steps, workbench, refused, done):
    before = workbench.project
    assert not steps.intend(NameNet("sheet-9", FRONT.at("a"), "+30"))
    assert workbench.project == before
    assert len(refused) == 1
    assert done == []


def test_undo_and_redo_say_what_they_took_back(steps, done):
    steps.intend(NameNet("sheet-1", FRONT.at("a"), "+30"))
    steps.undo()
    steps.redo()
    assert done[1:] == ["Undone: Name net +30", "Done again: Name net +30"]


def test_undoing_nothing_is_refused(steps, refused):
    steps.undo()
    steps.redo()
    assert len(refused) == 2


def test_a_fault_of_ours_is_not_swallowed(steps):
    def broken(project):
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        steps.do(broken)


def test_nothing_is_written_to_what_is_only_read(tmp_path, refused, done):
    holder = open_session(tmp_path / "held")
    from loomfolio.project import Session

    with Session.open(tmp_path / "held") as reader:
        steps = Steps(Workbench(reader, readings()), refused.append, done.append)
        assert not steps.intend(NameNet("sheet-1", FRONT.at("a"), "+30"))
    holder.close()
    assert refused == [reader.read_only_reason]


def test_a_net_is_named_in_the_ledger(steps, workbench):
    net = workbench.state.net_of(pin("X90", "1")).number
    steps.name_net(net, "+30")
    assert workbench.state.net_of(pin("X90", "1")).name == "+30"


@pytest.mark.parametrize("title", ["Nose", "Ein Blatt, öä", "x" * 200])
def test_a_sheet_takes_another_title(steps, workbench, title):
    steps.title_sheet("sheet-1", title)
    assert workbench.project.sheet("sheet-1").title == title


@pytest.mark.parametrize("title", ["", "x" * 201], ids=["empty", "too long"])
def test_a_title_that_cannot_be_is_refused(steps, workbench, refused, title):
    steps.title_sheet("sheet-1", title)
    assert workbench.project.sheet("sheet-1").title == "Front"
    assert len(refused) == 1


def test_a_sheet_takes_another_kind(steps, workbench, done):
    steps.set_sheet_kind("sheet-1", "fuse box")
    assert workbench.project.sheet("sheet-1").kind == "fuse box"
    assert done == ["Take Front for a sheet of kind fuse box"]


def test_a_kind_that_there_is_not_is_refused(steps, workbench, refused):
    steps.set_sheet_kind("sheet-1", "poem")
    assert workbench.project.sheet("sheet-1").kind == "circuit"
    assert len(refused) == 1


def test_an_attempt_tells_whether_it_worked(steps, refused):
    def refuse():
        raise EditError("No.")

    assert steps.attempt(lambda: None)
    assert not steps.attempt(refuse)
    assert refused == ["No."]


# ------------------------------------------------------------------------- any run of gestures

letters = st.sampled_from("abcdefgh")
gestures = st.one_of(
    st.builds(
        lambda at, name: NameNet("sheet-1", FRONT.at(at), name),
        letters,
        st.sampled_from(["+30", "31"]),
    ),
    st.builds(
        lambda at, word: Answer("sheet-1", FRONT.at(at), word),
        letters,
        st.sampled_from(["joined", "apart"]),
    ),
    st.builds(lambda a, b: DrawLine("sheet-1", (FRONT.at(a), FRONT.at(b))), letters, letters),
    st.builds(lambda at: MoveSheet("sheet-2", REAR.at(at)), st.sampled_from("ijklmn")),
    st.builds(lambda mark: Remove((mark,)), st.sampled_from(["mark-7", "mark-8", "mark-3"])),
)


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(run=st.lists(gestures, max_size=6))
def test_any_run_of_gestures_is_undone_and_done_again(tmp_path_factory, run):
    folder = tmp_path_factory.mktemp("run") / "job"
    with open_session(folder) as session:
        workbench = Workbench(session, readings())
        steps = Steps(workbench, lambda _: None, lambda _: None)
        documents = [workbench.project]
        for gesture in run:
            steps.intend(gesture)
            if workbench.project != documents[-1]:
                documents.append(workbench.project)
        for document in reversed(documents[:-1]):
            steps.undo()
            assert workbench.project == document
        for document in documents[1:]:
            steps.redo()
            assert workbench.project == document
        with ProjectFolder.open(folder, read_only=True) as on_disk:
            assert on_disk.project == documents[-1]


def test_one_gesture_is_one_step(steps, workbench):
    before = workbench.project
    steps.intend(Remove(("mark-7", "mark-8")))
    steps.undo()
    assert workbench.project == before
    assert not workbench.session.can_undo
    steps.do(lambda project: Step("Nothing", project))
    assert not workbench.session.can_undo
