"""A sitting at one project: edits, undo and redo with the folder and those who listen."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from loomfolio.basics import DocumentError, EditError, ProjectBusyError
from loomfolio.project import Project, ProjectFolder, Session, edits
from support.breaking_disk import FullDisk
from support.make_project import Step, make_two_sheets, runs_of_edits


def renamed(project: Project, name: str) -> Project:
    return edits.rename_part(project, project.parts[0].id, name)


@pytest.fixture
def session(fresh_path: Callable[[], Path]):
    with Session.create(fresh_path(), make_two_sheets().project) as opened:
        yield opened


@given(steps=runs_of_edits(max_size=6))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=20)
def test_edits_undone_and_redone_stand_on_disk_at_each_moment(
    steps: list[Step], fresh_path: Callable[[], Path]
):
    documents = [make_two_sheets().project, *(step.project for step in steps)]
    with Session.create(fresh_path(), documents[0]) as session:

        def on_disk() -> Project:
            return ProjectFolder.open(session.path, read_only=True).project

        for step in steps:
            session.do(step.title, step.project)
            assert on_disk() == session.project == step.project
        for document in reversed(documents[:-1]):
            session.undo()
            assert on_disk() == session.project == document
        for document in documents[1:]:
            session.redo()
            assert on_disk() == session.project == document


def test_listeners_hear_the_document_before_and_after_and_the_title(session: Session):
    heard: list[tuple[Project, Project, str]] = []
    session.subscribe(lambda *news: heard.append(news))
    start, after = session.project, renamed(session.project, "K7")
    session.do("Rename", after)
    session.undo()
    session.redo()
    assert heard == [
        (start, after, "Rename"),
        (after, start, "Undo: Rename"),
        (start, after, "Redo: Rename"),
    ]


def test_who_unsubscribed_hears_nothing_more_even_when_it_happens_twice(session: Session):
    heard: list[str] = []
    unsubscribe = session.subscribe(lambda _before, _after, title: heard.append(title))
    session.do("First", renamed(session.project, "K7"))
    unsubscribe()
    unsubscribe()
    session.do("Second", renamed(session.project, "K8"))
    assert heard == ["First"]


def test_a_listener_may_unsubscribe_while_it_is_told(session: Session):
    heard: list[str] = []

    def once(_before: Project, _after: Project, title: str) -> None:
        heard.append(title)
        unsubscribe()

    unsubscribe = session.subscribe(once)
    session.subscribe(lambda _before, _after, title: heard.append(title.upper()))
    session.do("First", renamed(session.project, "K7"))
    assert heard == ["First", "FIRST"]


def test_an_edit_that_changes_nothing_is_no_step(session: Session):
    session.do("Nothing", Project.model_validate(session.project.model_dump()))
    assert not session.can_undo
    assert session.is_saved


def test_titles_for_the_menu_and_what_can_be_done(session: Session):
    assert (session.can_undo, session.can_redo) == (False, False)
    session.do("Rename", renamed(session.project, "K7"))
    assert (session.can_undo, session.undo_title) == (True, "Rename")
    session.undo()
    assert (session.can_redo, session.redo_title) == (True, "Rename")
    assert session.undo_title == ""


def test_undo_of_nothing_is_refused_and_leaves_no_line(session: Session):
    with pytest.raises(EditError, match="nothing to undo"):
        session.undo()
    with pytest.raises(EditError, match="nothing to redo"):
        session.redo()
    assert session.is_saved


def test_an_edit_that_the_disk_refuses_did_not_happen(fresh_path: Callable[[], Path]):
    disk = FullDisk()
    path = fresh_path()
    ProjectFolder.create(path, make_two_sheets().project).close()
    session = Session(ProjectFolder.open(path, disk=disk))
    heard: list[str] = []
    session.subscribe(lambda _before, _after, title: heard.append(title))
    session.do("Rename", renamed(session.project, "K7"))
    before = session.project
    disk.is_full = True
    with pytest.raises(DocumentError, match=r"cannot be written \(No space left on device\)"):
        session.do("Rename again", renamed(before, "K8"))
    with pytest.raises(DocumentError):
        session.undo()
    assert session.project == before
    assert heard == ["Rename"]
    assert session.undo_title == "Rename"
    assert ProjectFolder.open(path, read_only=True).project == before
    disk.is_full = False
    session.undo()
    session.close()
    assert ProjectFolder.open(path, read_only=True).project == make_two_sheets().project


def test_a_second_program_sees_the_project_and_cannot_edit_it(session: Session):
    session.do("Rename", renamed(session.project, "K7"))
    second = Session.open(session.path)
    assert second.project == session.project
    assert second.is_read_only
    assert "has this project open; close it there to edit it here." in second.read_only_reason
    with pytest.raises(ProjectBusyError, match="save it under another name to edit it"):
        second.do("Rename", renamed(second.project, "K8"))
    with pytest.raises(ProjectBusyError):
        second.save()
    assert not second.can_undo
    second.close()


def test_a_read_only_project_saved_under_another_name_can_be_edited(
    session: Session, fresh_path: Callable[[], Path]
):
    second = Session.open(session.path)
    other = fresh_path()
    second.save_as(other)
    assert not second.is_read_only
    second.do("Rename", renamed(second.project, "K8"))
    second.close()
    assert ProjectFolder.open(other, read_only=True).project == renamed(session.project, "K8")


def test_save_as_goes_on_in_the_new_folder_with_files_and_undo(
    session: Session, fresh_path: Callable[[], Path], tmp_path: Path
):
    page = tmp_path / "Page 3.PNG"
    page.write_bytes(b"picture")
    file = session.folder.copy_in(page)
    session.do("Rename", renamed(session.project, "K7"))
    old, new = session.path, fresh_path()
    session.save_as(new)
    assert session.path == new
    assert (new / file).read_bytes() == b"picture"
    session.undo()
    session.redo()
    session.do("Rename again", renamed(session.project, "K8"))
    assert ProjectFolder.open(old, read_only=True).project.parts[0].name == "K7"
    with Session.open(old) as left:
        assert not left.is_read_only


def test_save_as_where_something_lies_changes_nothing(session: Session, tmp_path: Path):
    (tmp_path / "taken").mkdir()
    (tmp_path / "taken" / "letter.txt").write_text("hello")
    path = session.path
    with pytest.raises(DocumentError, match="something lies there already; choose a new name"):
        session.save_as(tmp_path / "taken")
    assert session.path == path
    session.do("Rename", renamed(session.project, "K7"))
    assert [p.name for p in (tmp_path / "taken").iterdir()] == ["letter.txt"]


def test_saving_empties_the_journal_and_notes_are_those_of_the_folder(session: Session):
    session.do("Rename", renamed(session.project, "K7"))
    assert not session.is_saved
    session.save()
    assert session.is_saved
    assert session.notes == session.folder.notes == ()
    assert not (session.path / "journal.jsonl").exists()
