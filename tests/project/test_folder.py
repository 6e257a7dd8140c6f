"""A project folder: what is written where, what opens, and what is refused in one sentence."""

from __future__ import annotations

import json
import os
import socket
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from loomfolio.basics import DocumentError, EditError, FileUnreadableError, ProjectBusyError
from loomfolio.project import Project, ProjectFolder, edits
from loomfolio.project.disk import Disk
from support.breaking_disk import FullDisk
from support.make_project import make_two_sheets, projects

MADE = make_two_sheets()


def renamed(project: Project, name: str) -> Project:
    return edits.rename_part(project, project.parts[0].id, name)


@pytest.fixture
def path(fresh_path: Callable[[], Path]) -> Path:
    """A folder that holds the document of `make_two_sheets`."""
    path = fresh_path()
    ProjectFolder.create(path, MADE.project).close()
    return path


def names_in(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


# ---------------------------------------------------------------------------------- save and load


@given(project=projects())
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
def test_what_is_saved_is_what_is_loaded(project: Project, fresh_path: Callable[[], Path]):
    path = fresh_path()
    ProjectFolder.create(path, project).close()
    with ProjectFolder.open(path) as folder:
        assert folder.project == project
        assert folder.notes == ()
        assert not folder.is_read_only


def test_a_new_folder_holds_the_document_and_places_for_files(path: Path):
    assert names_in(path) == {"project.json", "sheets", "photos", ".lock"}


def test_opening_and_closing_without_an_edit_writes_nothing(path: Path):
    before = (path / "project.json").read_bytes()
    ProjectFolder.open(path).close()
    assert (path / "project.json").read_bytes() == before
    assert names_in(path) == {"project.json", "sheets", "photos", ".lock"}


def test_an_edit_is_on_disk_when_commit_returns(path: Path):
    with ProjectFolder.open(path) as folder:
        folder.commit("Rename", renamed(folder.project, "K7"))
        assert not folder.is_saved
        assert ProjectFolder.open(path, read_only=True).project == folder.project
        assert (path / "journal.jsonl").read_bytes().count(b"\n") == 1


def test_committing_the_same_document_writes_nothing(path: Path):
    with ProjectFolder.open(path) as folder:
        folder.commit("Nothing", folder.project)
        assert folder.is_saved
    assert not (path / "journal.jsonl").exists()


def test_a_checkpoint_keeps_the_generation_before_and_empties_the_journal(path: Path):
    first = (path / "project.json").read_bytes()
    with ProjectFolder.open(path) as folder:
        folder.commit("Rename", renamed(folder.project, "K7"))
        folder.checkpoint()
        assert folder.is_saved
        assert (path / "project.json.before").read_bytes() == first
        assert not (path / "journal.jsonl").exists()
        assert json.loads((path / "project.json").read_bytes())["saved_edit"] == 1
        assert not [name for name in names_in(path) if name.endswith(".new")]


def test_a_checkpoint_with_nothing_to_save_leaves_both_generations(path: Path):
    with ProjectFolder.open(path) as folder:
        folder.commit("Rename", renamed(folder.project, "K7"))
        folder.checkpoint()
        before = (path / "project.json.before").read_bytes()
        folder.checkpoint()
    assert (path / "project.json.before").read_bytes() == before


def test_closing_saves_and_edits_are_counted_on(path: Path):
    for number in range(3):
        with ProjectFolder.open(path) as folder:
            folder.commit("Rename", renamed(folder.project, f"K{number + 7}"))
    assert json.loads((path / "project.json").read_bytes())["saved_edit"] == 3


def test_closing_twice_is_harmless_and_a_closed_folder_takes_no_edit(path: Path):
    folder = ProjectFolder.open(path)
    folder.close()
    folder.close()
    with pytest.raises(ProjectBusyError, match=r"read-only \(It was closed\)"):
        folder.commit("Rename", renamed(folder.project, "K7"))


def test_a_project_json_that_was_deleted_meanwhile_is_written_again(path: Path):
    with ProjectFolder.open(path) as folder:
        folder.commit("Rename", renamed(folder.project, "K7"))
        (path / "project.json").unlink()
    with ProjectFolder.open(path) as folder:
        assert folder.project == renamed(MADE.project, "K7")
        assert folder.notes == ()


def test_the_path_of_project_json_opens_its_folder(path: Path):
    with ProjectFolder.open(path / "project.json") as folder:
        assert folder.path == path


# -------------------------------------------------------------------------------------- what is held


def test_files_copied_in_are_named_by_content_and_kept_once(path: Path, tmp_path: Path):
    page, same = tmp_path / "Sheet 3 – Türen.PNG", tmp_path / "copy.png"
    page.write_bytes(b"picture")
    same.write_bytes(b"picture")
    with ProjectFolder.open(path) as folder:
        file = folder.copy_in(page)
        # sha256sum of `picture` begins with this
        assert file == "sheets/sheet-3-t-ren-2cea274d0bedc39e.png"
        assert folder.copy_in(same) == file
        assert (path / file).read_bytes() == b"picture"
        assert names_in(path / "sheets") == {Path(file).name}


def test_a_file_whose_name_says_nothing_is_named_by_content_alone(path: Path, tmp_path: Path):
    page = tmp_path / "図.pdf"
    page.write_bytes(b"picture")
    with ProjectFolder.open(path) as folder:
        assert folder.copy_in(page) == "sheets/2cea274d0bedc39e.pdf"


def test_a_file_that_cannot_be_read_is_not_copied_in(path: Path, tmp_path: Path):
    with ProjectFolder.open(path) as folder:
        with pytest.raises(FileUnreadableError, match=r"scan.png: the file cannot be read"):
            folder.copy_in(tmp_path / "scan.png")
        assert names_in(path / "sheets") == set()


def test_copying_in_makes_the_folder_of_sheets_where_it_is_missing(path: Path, tmp_path: Path):
    (tmp_path / "scan.png").write_bytes(b"picture")
    (path / "sheets").rmdir()
    with ProjectFolder.open(path) as folder:
        assert (path / folder.copy_in(tmp_path / "scan.png")).exists()


def test_copying_in_onto_a_full_disk_is_one_sentence(path: Path, tmp_path: Path):
    (tmp_path / "scan.png").write_bytes(b"picture")
    disk = FullDisk()
    with ProjectFolder.open(path, disk=disk) as folder:
        disk.is_full = True
        with pytest.raises(DocumentError, match="No space left on device"):
            folder.copy_in(tmp_path / "scan.png")
        disk.is_full = False
        assert folder.copy_in(tmp_path / "scan.png").startswith("sheets/scan-")


def test_where_a_sheet_and_the_cache_lie(path: Path):
    with ProjectFolder.open(path) as folder:
        sheet = folder.project.sheets[0]
        assert folder.sheet_path(sheet) == path / "sheets" / "towing.png"
        assert folder.cache_path == path / "cache"
        assert not folder.cache_path.exists()


@pytest.mark.parametrize("file", ["../secret.png", "/etc/passwd", "C:\\a.png", "", "."])
def test_a_sheet_whose_file_leads_out_of_the_folder_has_no_path(path: Path, file: str):
    outside = MADE.project.sheets[0].model_copy(update={"file": file})
    with (
        ProjectFolder.open(path) as folder,
        pytest.raises(DocumentError, match="does not lie in the project"),
    ):
        folder.sheet_path(outside)


# ------------------------------------------------------------------------------- edits not kept


def test_a_document_that_is_not_sound_is_not_committed(path: Path):
    with ProjectFolder.open(path) as folder:
        dangling = folder.project.model_copy(update={"sheets": folder.project.sheets[1:]})
        with pytest.raises(EditError, match=r"cannot be kept: .* speaks of the sheet sheet-1"):
            folder.commit("Forget a sheet", dangling)
        assert folder.project == MADE.project
        assert not (path / "journal.jsonl").exists()


def test_a_record_changed_past_its_checks_is_not_committed(path: Path):
    with ProjectFolder.open(path) as folder:
        part = folder.project.parts[0].model_copy(update={"kind": "teapot"})
        brewing = folder.project.model_copy(update={"parts": (part, *folder.project.parts[1:])})
        with pytest.raises(EditError, match="part-4 is not what its fields allow"):
            folder.commit("Brew", brewing)
        assert folder.project == MADE.project


def test_a_project_that_is_not_sound_is_not_made(fresh_path: Callable[[], Path]):
    path = fresh_path()
    doubled = MADE.project.model_copy(update={"parts": MADE.project.parts * 2})
    with pytest.raises(EditError, match="cannot be written: the id part-4 is used twice"):
        ProjectFolder.create(path, doubled)
    assert not path.exists()


def test_an_edit_refused_by_the_disk_does_not_come_back(path: Path):
    disk = FullDisk()
    with ProjectFolder.open(path, disk=disk) as folder:
        for number in range(3):
            disk.is_full = True
            with pytest.raises(DocumentError, match="make room or check who may write there"):
                folder.commit("Rename", renamed(folder.project, "never"))
            assert ProjectFolder.open(path, read_only=True).project == folder.project
            disk.is_full = False
            folder.commit("Rename", renamed(folder.project, f"K{number + 7}"))
        assert ProjectFolder.open(path, read_only=True).project.parts[0].name == "K9"


class _NoRoomToCutDisk(Disk):
    """Refuses every append, also the one that would cut off the half-written line."""

    def append(self, path: Path, at: int, data: bytes) -> None:
        raise OSError(5, "Input/output error")


def test_a_disk_that_refuses_everything_is_one_sentence(path: Path):
    folder = ProjectFolder.open(path, disk=_NoRoomToCutDisk())
    with pytest.raises(DocumentError, match=r"cannot be written \(Input/output error\)"):
        folder.commit("Rename", renamed(folder.project, "K7"))
    folder.close()


def test_a_save_refused_by_the_disk_keeps_the_journal_and_frees_the_lock(path: Path):
    disk = FullDisk()
    folder = ProjectFolder.open(path, disk=disk)
    folder.commit("Rename", renamed(folder.project, "K7"))
    disk.is_full = True
    with pytest.raises(DocumentError):
        folder.checkpoint()
    with pytest.raises(DocumentError):
        folder.close()
    with ProjectFolder.open(path) as again:
        assert not again.is_read_only
        assert again.project == renamed(MADE.project, "K7")


def test_a_journal_that_another_program_cut_takes_no_edit_until_the_next_save(path: Path):
    with ProjectFolder.open(path) as folder:
        folder.commit("Rename", renamed(folder.project, "K7"))
        (path / "journal.jsonl").write_bytes(b"")
        with pytest.raises(DocumentError, match="another program has cut the file"):
            folder.commit("Rename", renamed(folder.project, "K8"))
        folder.checkpoint()
        folder.commit("Rename", renamed(folder.project, "K9"))
    with ProjectFolder.open(path) as again:
        assert again.project == renamed(MADE.project, "K9")


# ------------------------------------------------------------------------------------- making one


def test_a_folder_is_made_in_an_empty_one_and_with_the_folders_above(tmp_path: Path):
    (tmp_path / "empty").mkdir()
    ProjectFolder.create(tmp_path / "empty", Project()).close()
    ProjectFolder.create(tmp_path / "jobs" / "2026" / "van", Project()).close()
    assert ProjectFolder.open(tmp_path / "jobs" / "2026" / "van", read_only=True).path.is_dir()


def test_a_folder_is_not_made_where_something_lies(tmp_path: Path):
    (tmp_path / "letter.txt").write_text("hello")
    for taken in (tmp_path, tmp_path / "letter.txt"):
        with pytest.raises(DocumentError, match="something lies there already; choose a new name"):
            ProjectFolder.create(taken, Project())
    assert names_in(tmp_path) == {"letter.txt"}


def test_a_folder_that_cannot_be_made_leaves_nothing(tmp_path: Path):
    disk = FullDisk()
    disk.is_full = True
    with pytest.raises(DocumentError, match="cannot be written"):
        ProjectFolder.create(tmp_path / "van", Project(), disk=disk)
    assert names_in(tmp_path) == set()


def test_a_folder_below_a_file_cannot_be_made(tmp_path: Path):
    (tmp_path / "letter.txt").write_text("hello")
    with pytest.raises(DocumentError, match="cannot be written"):
        ProjectFolder.create(tmp_path / "letter.txt" / "van", Project())


# ------------------------------------------------------------------------------ one writer at a time


def test_a_second_program_opens_read_only_and_says_so(path: Path):
    with ProjectFolder.open(path) as first:
        first.commit("Rename", renamed(first.project, "K7"))
        second = ProjectFolder.open(path)
        assert second.is_read_only
        assert second.read_only_reason == (
            f"Another program (process {os.getpid()} on {socket.gethostname()}) has this project"
            " open; close it there to edit it here."
        )
        assert second.project == first.project
        for write in (
            second.checkpoint,
            lambda: second.commit("Rename", renamed(second.project, "K8")),
            lambda: second.copy_in(path / "project.json"),
        ):
            with pytest.raises(ProjectBusyError, match="save it under another name to edit it"):
                write()
        second.close()
    with ProjectFolder.open(path) as third:
        assert not third.is_read_only
        assert third.read_only_reason == ""


def test_opening_only_to_read_touches_nothing(path: Path):
    (path / ".lock").unlink()
    folder = ProjectFolder.open(path, read_only=True)
    assert folder.read_only_reason == "It was opened only to be read."
    folder.close()
    assert names_in(path) == {"project.json", "sheets", "photos"}


def test_a_folder_in_which_no_lock_can_be_made_opens_read_only(path: Path):
    (path / ".lock").unlink()
    (path / ".lock").mkdir()
    folder = ProjectFolder.open(path)
    assert folder.is_read_only
    assert folder.read_only_reason.startswith("The folder cannot be written (")
    assert folder.project == MADE.project


def test_what_was_written_before_the_lock_was_free_is_not_missed(path: Path, monkeypatch):
    """Another program commits after our reading and ends before our taking of the lock."""
    from loomfolio.project import folder as module

    real = module.FolderLock

    def after_another_program(folder: Path):
        monkeypatch.setattr(module, "FolderLock", real)
        with ProjectFolder.open(folder) as other:
            other.commit("Rename", renamed(other.project, "K7"))
        return real(folder)

    monkeypatch.setattr(module, "FolderLock", after_another_program)
    with ProjectFolder.open(path) as folder:
        assert folder.project == renamed(MADE.project, "K7")


def test_a_folder_that_breaks_while_it_is_opened_frees_the_lock(path: Path, monkeypatch):
    from loomfolio.project import folder as module

    (path / "journal.jsonl").write_bytes(b"nonsense\n")
    disk = FullDisk()
    disk.is_full = True
    with pytest.raises(DocumentError, match="cannot be written"):
        module.ProjectFolder.open(path, disk=disk)
    with ProjectFolder.open(path) as folder:
        assert not folder.is_read_only


# -------------------------------------------------------------------------------------------- damage


def saved_twice(path: Path) -> Project:
    """Save two generations and leave an edit in the journal, as a killed program does."""
    folder = ProjectFolder.open(path)
    for name in ("K7", "K8"):
        folder.commit("Rename", renamed(folder.project, name))
        folder.checkpoint()
    folder.commit("Rename", renamed(folder.project, "K9"))
    folder._lock.release()
    return folder.project


@pytest.mark.parametrize(
    "torn",
    [
        pytest.param(b"", id="empty"),
        pytest.param(b'{"schema": "loomfolio.project/1", "pa', id="torn"),
        pytest.param(b"\0" * 4096, id="zeros"),
        pytest.param(b"[1, 2]", id="no object"),
        pytest.param(b'{"serial": NaN}', id="no JSON number"),
        pytest.param(b"[" * 100_000, id="endless nesting"),
    ],
)
def test_a_damaged_document_is_opened_from_the_generation_before(path: Path, torn: bytes):
    project = saved_twice(path)
    (path / "project.json").write_bytes(torn)
    with ProjectFolder.open(path) as folder:
        assert folder.project == project
        assert folder.notes == (
            (
                "project.json was damaged and was set aside in project.damaged-1.json; the project was"
                " opened from the generation before it and the journal."
            ),
        )
    assert (path / "project.damaged-1.json").read_bytes() == torn
    with ProjectFolder.open(path) as again:
        assert again.project == project
        assert again.notes == ()


def test_a_missing_document_is_opened_from_the_generation_before(path: Path):
    project = saved_twice(path)
    (path / "project.json").unlink()
    with ProjectFolder.open(path) as folder:
        assert folder.project == project
        assert folder.notes[0].startswith("project.json was missing; the project was opened from")


def test_a_damaged_document_opened_read_only_is_left_as_it_is(path: Path):
    project = saved_twice(path)
    (path / "project.json").write_bytes(b"torn")
    before = names_in(path)
    folder = ProjectFolder.open(path, read_only=True)
    assert folder.project == project
    assert folder.notes == (
        (
            "project.json was damaged; the project was opened from the generation before it and the"
            " journal."
        ),
    )
    assert names_in(path) == before


def test_damage_in_the_earlier_journal_keeps_what_leads_up_to_it(path: Path):
    """Both project.json and the journal of the generation before are damaged: no worse can be."""
    saved_twice(path)
    (path / "project.json").write_bytes(b"")
    earlier = (path / "journal.before.jsonl").read_bytes()
    later = (path / "journal.jsonl").read_bytes()
    (path / "journal.before.jsonl").write_bytes(earlier.replace(b"K8", b"KX"))
    with ProjectFolder.open(path) as folder:
        assert folder.project == renamed(MADE.project, "K7")
        assert "damaged behind edit 1" in folder.notes[0]
        aside = (path / "journal.damaged-1.jsonl").read_bytes()
        assert aside == earlier.replace(b"K8", b"KX") + later
        folder.commit("Rename", renamed(folder.project, "K10"))
    with ProjectFolder.open(path) as again:
        assert again.project == renamed(MADE.project, "K10")
        assert again.notes == ()


def test_a_damaged_journal_opened_read_only_is_left_as_it_is(path: Path):
    saved_twice(path)
    (path / "journal.jsonl").write_bytes(b"nonsense\n")
    folder = ProjectFolder.open(path, read_only=True)
    assert folder.project == renamed(MADE.project, "K8")
    assert folder.notes == (
        (
            "The journal is damaged behind edit 2; the edits up to there are here, the rest is left"
            " out."
        ),
    )
    assert (path / "journal.jsonl").read_bytes() == b"nonsense\n"


def test_setting_aside_twice_keeps_both(path: Path):
    for number in (1, 2):
        (path / "journal.jsonl").write_bytes(f"nonsense {number}\n".encode())
        ProjectFolder.open(path).close()
    for number in (1, 2):
        aside = path / f"journal.damaged-{number}.jsonl"
        assert aside.read_text() == f"nonsense {number}\n"


def test_setting_the_document_aside_on_a_failing_disk_is_one_sentence(path: Path):
    class NoSwaps(Disk):
        def replace(self, source: Path, target: Path) -> None:
            raise OSError(30, "Read-only file system")

    saved_twice(path)
    (path / "project.json").write_bytes(b"torn")
    with pytest.raises(DocumentError, match=r"cannot be written \(Read-only file system\)"):
        ProjectFolder.open(path, disk=NoSwaps())
    assert (path / "project.json").read_bytes() == b"torn"
