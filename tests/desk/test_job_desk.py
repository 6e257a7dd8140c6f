"""The job menu: each dialog makes one step, or none where the person leaves."""

import pytest

from loomfolio.desk.dialogs.job import JobDialog
from loomfolio.desk.dialogs.mates import MatesDialog
from loomfolio.desk.dialogs.part import PartDialog
from loomfolio.desk.dialogs.scope import ScopeDialog
from loomfolio.desk.dialogs.sheet import SheetDialog
from loomfolio.desk.job_desk import JobDesk
from loomfolio.desk.steps import Steps
from loomfolio.desk.ways import Ways
from loomfolio.desk.workbench import Workbench
from loomfolio.project import HalfKey, Project, edits
from support.make_desk import F5, Answers, open_session, pin, readings, small_job


@pytest.fixture
def answers():
    return Answers()


@pytest.fixture
def shown():
    """The dialogs that were shown; each is gone on with at once."""
    return []


def make_desk(workbench, told, answers, shown, *, goes_on=True):
    steps = Steps(workbench, told.append, lambda _: None)
    ways = Ways(workbench, steps, lambda _: None, lambda _: None, told.append)
    desk = JobDesk(workbench, steps, ways, answers, told.append, None)

    def run(dialog):
        shown.append(type(dialog))
        if goes_on:
            dialog.go.click()
        return goes_on

    desk.run = run
    return desk


@pytest.fixture
def desk(qtbot, workbench, told, answers, shown):
    return make_desk(workbench, told, answers, shown)


def test_each_entry_shows_its_dialog(desk, shown, answers):
    answers.answers["one_of"] = "F5"
    desk.job()
    desk.scope()
    desk.mates()
    desk.part()
    desk.sheet("sheet-1")
    assert shown == [JobDialog, ScopeDialog, MatesDialog, PartDialog, SheetDialog]


def test_leaving_a_dialog_changes_nothing(qtbot, workbench, told, answers, shown):
    desk = make_desk(workbench, told, answers, shown, goes_on=False)
    desk.job()
    desk.scope()
    desk.sheet("sheet-1")
    desk.confirm_as()
    assert not workbench.session.can_undo


def test_going_on_without_a_change_is_no_step(desk, workbench):
    desk.job()
    desk.sheet("sheet-1")
    assert not workbench.session.can_undo


def test_a_part_is_opened_by_its_id_without_asking(desk, shown, answers):
    desk.part(F5.id)
    assert shown == [PartDialog]
    assert answers.asked == []


def test_who_names_no_part_gets_no_dialog(desk, shown):
    desk.part()
    assert shown == []


@pytest.fixture
def empty(qtbot, tmp_path, told, answers, shown):
    session = open_session(tmp_path / "empty", Project())
    yield make_desk(Workbench(session, {}), told, answers, shown)
    session.close()


def test_without_parts_it_is_said_what_to_do(empty, told, shown):
    empty.part()
    empty.mates()
    assert shown == []
    assert told[0].startswith("No part yet; drag a box")
    assert told[1].startswith("It takes two connectors")


def test_following_asks_for_both_ends(desk, workbench, answers):
    answers.answers["text"] = ["TCU C1:2", ""]
    desk.follow_to()
    assert workbench.following.pin == pin("TCU", "2", "C1")
    assert workbench.following.to is None


@pytest.mark.parametrize("typed", [[None], [""], ["TCU C1:2", None]])
def test_who_types_no_pin_follows_nothing(desk, workbench, answers, typed):
    answers.answers["text"] = typed
    desk.follow_to()
    assert workbench.following is None


def test_a_wrong_pin_is_said_with_the_nearest(desk, told, answers):
    answers.answers["text"] = ["X90:22", ""]
    desk.follow_to()
    assert "did you mean" in told[0]


def test_a_fit_that_was_not_chosen_changes_nothing(desk, workbench):
    number = workbench.state.number
    desk.choose_fit()
    assert workbench.state.number == number


def test_a_sheet_is_removed_with_its_marks(desk, workbench):
    desk.remove_sheet("sheet-1")
    assert {mark.sheet for mark in workbench.project.marks} == {"sheet-2"}


def test_the_scope_in_words(desk, workbench):
    assert desk.scope_words() == "everything"
    scoped = edits.set_scope(workbench.project, [HalfKey(part="part-1", connector="C1")])
    workbench.session.do("Scope", scoped)
    workbench._work_out()
    assert desk.scope_words() == "TCU C1"
    assert readings().keys() == {sheet.id for sheet in small_job().sheets}
