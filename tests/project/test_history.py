"""Undo and redo of any length."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.basics import EditError
from loomfolio.project import History, Project
from support.make_project import Step, make_two_sheets, runs_of_edits


def done(steps: list[Step]) -> History:
    history = History(make_two_sheets().project)
    for step in steps:
        history.do(step.title, step.project)
    return history


@given(runs_of_edits())
def test_undoing_a_run_of_edits_gives_each_earlier_document_and_redoing_each_later(
    steps: list[Step],
):
    history = done(steps)
    documents = [make_two_sheets().project, *(step.project for step in steps)]
    for document in reversed(documents[:-1]):
        assert history.undo() == document == history.current
    assert not history.can_undo
    for document in documents[1:]:
        assert history.redo() == document == history.current
    assert not history.can_redo


@given(runs_of_edits(min_size=1), st.lists(st.booleans(), max_size=30))
def test_any_walk_back_and_forth_is_a_walk_along_the_documents(steps: list[Step], walk: list[bool]):
    history = done(steps)
    documents = [make_two_sheets().project, *(step.project for step in steps)]
    at = len(steps)
    for is_back in walk:
        if is_back and history.can_undo:
            at -= 1
            assert history.undo_title == steps[at].title
            history.undo()
        elif not is_back and history.can_redo:
            assert history.redo_title == steps[at].title
            history.redo()
            at += 1
        assert history.current == documents[at]


def test_a_new_edit_drops_what_was_undone():
    first, second = Project(serial=1), Project(serial=2)
    history = History(Project())
    history.do("First", first)
    history.undo()
    history.do("Second", second)
    assert not history.can_redo
    assert history.redo_title == ""
    assert history.undo_title == "Second"
    assert history.undo() == Project()


def test_with_no_step_there_is_nothing_to_undo_or_redo():
    history = History(Project())
    assert (history.undo_title, history.redo_title) == ("", "")
    with pytest.raises(EditError, match="nothing to undo"):
        history.undo()
    with pytest.raises(EditError, match="nothing to redo"):
        history.redo()
    assert history.current == Project()


def test_undo_gives_the_very_documents_back_so_that_nothing_is_worked_out_anew():
    start, after = Project(), Project(serial=1)
    history = History(start)
    history.do("Edit", after)
    assert history.undo() is start
    assert history.redo() is after
