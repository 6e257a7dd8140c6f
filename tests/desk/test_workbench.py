"""The workbench: edits are on disk before anything shows them, and everything follows from them."""

import pytest

from loomfolio.basics import EditError
from loomfolio.desk.gestures import Step, confirm_piece, step_of
from loomfolio.desk.table.intents import NameNet
from loomfolio.desk.workbench import Workbench
from loomfolio.project import Fit, Known, Project, ProjectFolder
from loomfolio.reading import Reading
from support.make_desk import FRONT, REAR, open_session, pin, readings, small_job


def rename(project):
    return step_of(project, NameNet("sheet-1", FRONT.at("b"), "STOP", mark="mark-7"))


def test_an_edit_is_announced_with_the_states_before_and_after(workbench):
    seen = []
    workbench.subscribe(lambda before, after: seen.append((before.number, after.number)))
    workbench.do(rename(workbench.project))
    assert seen == [(0, 1)]
    assert workbench.state.net_of(pin("TCU", "2", "C1")).name == "STOP"


def test_an_edit_is_in_the_folder_before_it_is_shown(workbench):
    on_disk = []

    def look(before, after):
        with ProjectFolder.open(workbench.path, read_only=True) as folder:
            on_disk.append(folder.project == after.project)

    workbench.subscribe(look)
    workbench.do(rename(workbench.project))
    assert on_disk == [True]


def test_an_edit_that_changes_nothing_is_no_step(workbench):
    seen = []
    workbench.subscribe(lambda *states: seen.append(states))
    workbench.do(Step("Nothing", workbench.project))
    assert seen == []
    assert not workbench.session.can_undo


def test_undo_and_redo_lead_back_and_forth(workbench):
    before = workbench.project
    workbench.do(rename(before))
    after = workbench.project
    workbench.undo()
    assert workbench.project == before
    workbench.redo()
    assert workbench.project == after


def test_undoing_nothing_says_so(workbench):
    with pytest.raises(EditError):
        workbench.undo()


def test_a_reading_of_a_sheet_that_is_gone_is_dropped(workbench):
    seen = []
    workbench.subscribe(lambda *states: seen.append(states))
    workbench.take_readings({"sheet-99": Reading.blank(10, 10, 100)})
    assert seen == []


def test_a_reading_changes_what_is_seen_and_not_the_document(workbench):
    blank = Reading.blank(FRONT.sheet.width_px, FRONT.sheet.height_px, FRONT.sheet.x_dpi)
    document = workbench.project
    workbench.take_readings({"sheet-1": blank})
    assert workbench.project is document
    assert workbench.state.netlist.conductors_on("sheet-1") == ()
    assert workbench.state.netlist.conductors_on("sheet-2") != ()


def test_a_followed_pin_starts_at_its_first_open_piece(workbench):
    following = workbench.follow(pin("TCU", "2", "C1"))
    assert following.step.what == "lead"
    assert following.open_piece is not None


def test_the_strip_follows_an_edit(workbench):
    workbench.follow(pin("TCU", "2", "C1"))
    count = workbench.following.open_count
    piece = workbench.following.open_piece
    workbench.do(confirm_piece(workbench.project, piece, Known()))
    assert workbench.following.open_count == count - 1
    assert workbench.following.pin == pin("TCU", "2", "C1")


def test_following_ends_when_its_pin_is_gone(workbench):
    workbench.follow(pin("E3", "1"))
    project = workbench.project
    marks = tuple(m for m in project.marks if m.id not in {"mark-6", "mark-10"})
    workbench.do(Step("Take the lamp off", project.model_copy(update={"marks": marks})))
    assert workbench.following is None


def test_another_project_takes_the_place_of_the_first(workbench, tmp_path):
    first = workbench.path
    workbench.follow(pin("E3", "1"))
    workbench.change_session(open_session(tmp_path / "other", Project()))
    assert workbench.project == Project()
    assert workbench.following is None
    assert not ProjectFolder.open(first).is_read_only  # the first is free again


def test_a_fit_leaves_out_what_it_has_not(session):
    project = session.project
    marks = tuple(
        mark.model_copy(update={"when": "towing"}) if mark.id == "mark-2" else mark
        for mark in project.marks
    )
    base = Fit(id="fit-20", name="base", options_without=("towing",))
    session.do("Fits", project.model_copy(update={"marks": marks, "fits": (base,)}))
    workbench = Workbench(session, readings())
    assert workbench.state.places_of_pin(pin("X90", "1"))
    workbench.look_at_fit(base)
    assert not workbench.state.places_of_pin(pin("X90", "1"))
    workbench.look_at_fit(None)
    assert workbench.state.places_of_pin(pin("X90", "1"))


def test_the_scope_counts_first_and_without_one_all_does(workbench):
    state = workbench.state
    assert state.is_net_in_scope(0)
    assert all(finding.in_scope for finding in state.open_findings)


def test_open_findings_lie_in_the_order_of_the_table(workbench):
    found = [f for f in workbench.state.open_findings if f.place is not None]
    assert [f.place.sheet for f in found] == sorted(f.place.sheet for f in found)
    assert {f.place.sheet for f in found} == {FRONT.sheet.id, REAR.sheet.id}


def test_a_pin_has_one_word_for_it(workbench):
    assert workbench.state.pin_word(pin("X90", "1")).endswith("X90:1")
    assert workbench.state.pin_word(pin("X90", "77")).endswith("77")  # known nowhere, still a word
    assert small_job() == workbench.project
