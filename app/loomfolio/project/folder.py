"""A project as a folder on disk, and what keeps it whole.

::

    project.json            the document (see `document_file.py`)
    project.json.before     the generation before it
    journal.jsonl           the edits since project.json, one line each (see `journal.py`)
    journal.before.jsonl    the edits between the two generations
    sheets/  photos/        the files that the document speaks of
    cache/                  what was worked out; may be deleted at any time
    .lock                   held by the program that writes

`commit` returns when the line of the edit is on disk. `checkpoint` writes the document anew and empties
the journal, in steps between which the process may die: at each, the folder opens with every edit
that was committed. Both generations and both journals hold everything even if project.json is lost.
"""

from __future__ import annotations

import contextlib
from pathlib import Path
from types import TracebackType
from typing import Self

from loomfolio.basics import DocumentError, EditError, ProjectBusyError
from loomfolio.project.changes import Changes, compare
from loomfolio.project.disk import Disk
from loomfolio.project.document_file import document_bytes
from loomfolio.project.folder_files import copy_in, free_name
from loomfolio.project.folder_reading import (
    BEFORE_NAME,
    JOURNAL_BEFORE_NAME,
    JOURNAL_NAME,
    PROJECT_NAME,
    FolderContents,
    read_folder,
)
from loomfolio.project.integrity import change_faults, faults, is_inside_folder
from loomfolio.project.journal import line_bytes
from loomfolio.project.lock import FolderLock
from loomfolio.project.models import Project, Sheet
from loomfolio.project.record_lists import reads_back

SHEETS_NAME, PHOTOS_NAME, CACHE_NAME = "sheets", "photos", "cache"


class ProjectFolder:
    """An open project folder. `project` is the document as it stands on disk, edits included."""

    def __init__(
        self, path: Path, contents: FolderContents, *, lock: FolderLock | None, disk: Disk
    ) -> None:
        """Take over what was read; use `open` or `create`. Without a lock the folder is read-only."""
        self._path, self._lock, self._disk = path, lock, disk
        self._project, self._edit = contents.project, contents.edit
        self._journal_length = contents.journal_length
        self._is_sound, self._is_saved = contents.is_sound, contents.is_saved
        self._read_only_reason = ""
        self._notes: tuple[str, ...] = ()

    # ------------------------------------------------------------------------------ open and create

    @classmethod
    def open(cls, path: Path, *, read_only: bool = False, disk: Disk | None = None) -> Self:
        """Open a project folder (or the project.json in it) with every edit that was committed.

        Where another program holds it, or it cannot be written, or `read_only` is asked for, it opens
        read-only and `read_only_reason` says why. What was damaged is set aside in a file beside,
        never deleted, and `notes` says so.

        Raises
        ------
        DocumentError
            One sentence; nothing on disk was changed.
        """
        folder = path.parent if path.name == PROJECT_NAME and path.is_file() else path
        read_folder(folder)
        lock, reason = (None, "It was opened to be read only.") if read_only else _locked(folder)
        try:
            contents = read_folder(folder)
            self = cls(folder, contents, lock=lock, disk=disk or Disk())
            self._read_only_reason = reason
            self._notes = tuple(self._mend(contents))
        except BaseException:
            if lock is not None:
                lock.release()
            raise
        return self

    @classmethod
    def create(cls, path: Path, project: Project, *, disk: Disk | None = None) -> Self:
        """Make a new project folder at a path where nothing, or an empty folder, lies."""
        for fault in faults(project):
            raise EditError(f"This project cannot be written: {fault}.")
        _check_free(path)
        try:
            (path / SHEETS_NAME).mkdir(parents=True)
            (path / PHOTOS_NAME).mkdir()
            lock = FolderLock(path)
        except OSError as error:
            raise _cannot_write(path, error) from error
        contents = FolderContents(project, 0, 0, b"", is_sound=True, is_saved=True)
        self = cls(path, contents, lock=lock, disk=disk or Disk())
        try:
            self._disk.swap_in(path / PROJECT_NAME, document_bytes(project, saved_edit=0))
        except OSError as error:
            self.close()
            raise _cannot_write(path, error) from error
        return self

    # --------------------------------------------------------------------------------- what is there

    @property
    def project(self) -> Project:
        """The document with every edit that was committed."""
        return self._project

    @property
    def path(self) -> Path:
        """The folder."""
        return self._path

    @property
    def is_read_only(self) -> bool:
        """True where edits are refused."""
        return self._lock is None

    @property
    def read_only_reason(self) -> str:
        """Why edits are refused, in one sentence; empty where they are not."""
        return self._read_only_reason

    @property
    def notes(self) -> tuple[str, ...]:
        """What the person should know about how the folder was opened, one sentence each."""
        return self._notes

    @property
    def is_saved(self) -> bool:
        """True where project.json holds every edit, so that the journal is empty."""
        return self._is_saved

    @property
    def cache_path(self) -> Path:
        """The folder of what was worked out. It may not exist yet, and may be deleted at any time."""
        return self._path / CACHE_NAME

    def sheet_path(self, sheet: Sheet) -> Path:
        """Return the path of the file that a sheet shows a page of; whether it exists is not said."""
        if not is_inside_folder(sheet.file):
            raise DocumentError(
                self._path / sheet.file,
                f"the file of {sheet.title!r} does not lie in the project",
                "bring the page in again",
            )
        return self._path / sheet.file

    def copy_in(self, source: Path) -> str:
        """Copy a file of pages into the folder and return its path there; the same content is kept once."""
        self._require_writable()
        return copy_in(source, self._path, SHEETS_NAME, disk=self._disk)

    # -------------------------------------------------------------------------------------- writing

    def commit(self, title: str, project: Project) -> None:
        """Make `project` the document; its line in the journal is on disk when this returns.

        Raises
        ------
        EditError
            The document is not sound; nothing was changed.
        DocumentError
            The folder is read-only or the disk refused; nothing was changed.
        """
        self._require_writable()
        changes = compare(self._project, project)
        if changes.is_empty:
            return
        _require_sound(project, changes)
        line = line_bytes(self._edit + 1, title, changes)
        try:
            self._append(line)
        except OSError as error:
            raise _cannot_write(self._path, error) from error
        self._project, self._edit, self._is_saved = project, self._edit + 1, False

    def _append(self, line: bytes) -> None:
        journal = self._path / JOURNAL_NAME
        try:
            self._disk.append(journal, self._journal_length, line)
            if self._journal_length == 0:
                self._disk.sync_folder(self._path)
        except OSError:
            # An edit that was refused must not come back at the next opening.
            with contextlib.suppress(OSError):
                self._disk.append(journal, self._journal_length, b"")
            raise
        self._journal_length += len(line)

    def checkpoint(self) -> None:
        """Write project.json anew, keep the one before, and empty the journal."""
        self._require_writable()
        if self._is_saved:
            return
        try:
            self._write_generation()
        except OSError as error:
            raise _cannot_write(self._path, error) from error

    def _write_generation(self) -> None:
        present, before = self._path / PROJECT_NAME, self._path / BEFORE_NAME
        data = document_bytes(self._project, saved_edit=self._edit)
        if self._is_sound:
            self._disk.swap_in(before, present.read_bytes())
            self._disk.swap_in(present, data)
        else:
            if present.exists():
                self._disk.replace(present, free_name(self._path, "project.damaged", ".json"))
            self._disk.swap_in(present, data)
            self._disk.swap_in(before, data)
        self._is_sound = True
        if self._journal_length:
            self._disk.replace(self._path / JOURNAL_NAME, self._path / JOURNAL_BEFORE_NAME)
            self._disk.sync_folder(self._path)
        self._journal_length, self._is_saved = 0, True

    def _mend(self, contents: FolderContents) -> list[str]:
        """Set aside what cannot be used and write what was rescued; say what was done."""
        notes: list[str] = []
        if contents.unusable:
            notes.append(self._set_aside(contents.unusable))
        if not contents.is_sound:
            if self._lock is not None:
                self.checkpoint()
            notes.append(
                "project.json was damaged or missing; the project was opened from the generation"
                " before it and the journal."
            )
        return notes

    def _set_aside(self, unusable: bytes) -> str:
        what = f"The journal is damaged behind edit {self._edit}; the edits up to there are here"
        if self._lock is None:
            return f"{what}, the rest is left out."
        aside = free_name(self._path, "journal.damaged", ".jsonl")
        try:
            self._disk.swap_in(aside, unusable)
            self._disk.append(self._path / JOURNAL_NAME, self._journal_length, b"")
        except OSError as error:
            raise _cannot_write(self._path, error) from error
        return f"{what}, the rest was set aside in {aside.name}."

    def _require_writable(self) -> None:
        if self._lock is None:
            raise ProjectBusyError(
                self._path,
                f"the project is open read-only ({self._read_only_reason.rstrip('.')})",
                "save it elsewhere to edit it",
            )

    # -------------------------------------------------------------------------------------- closing

    def close(self) -> None:
        """Write project.json where edits are not in it yet, and let another program have the folder."""
        if self._lock is None:
            return
        try:
            self.checkpoint()
        finally:
            self._lock.release()
            self._lock, self._read_only_reason = None, "It was closed."

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()


def _locked(folder: Path) -> tuple[FolderLock | None, str]:
    try:
        return FolderLock(folder), ""
    except ProjectBusyError as error:
        return None, f"{error.what[:1].upper()}{error.what[1:]}; {error.remedy}."
    except OSError as error:
        return None, f"The folder cannot be written ({error.strerror})."


def _check_free(path: Path) -> None:
    if path.is_dir() and not any(path.iterdir()):
        return
    if path.exists():
        raise DocumentError(path, "something lies there already", "choose a new name")


def _require_sound(project: Project, changes: Changes) -> None:
    for fault in change_faults(project, changes):
        raise EditError(f"This edit cannot be kept: {fault}.")
    for change in changes.lists:
        records = [placed.record for placed in change.added]
        for record in (*records, *(pair.after for pair in change.changed)):
            if not reads_back(change.name, record):
                raise EditError(f"This edit cannot be kept: {record.id} would not read back.")


def _cannot_write(path: Path, error: OSError) -> DocumentError:
    reason = error.strerror or str(error)
    return DocumentError(
        path, f"the folder cannot be written ({reason})", "make room or check who may write there"
    )
