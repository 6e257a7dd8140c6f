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
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType
from typing import Self

from loomfolio.basics import DocumentError, EditError, ProjectBusyError
from loomfolio.project.changes import Changes, compare
from loomfolio.project.disk import Disk
from loomfolio.project.document_file import document_bytes
from loomfolio.project.folder_files import (
    PHOTOS_NAME,
    SHEETS_NAME,
    cannot_write,
    copy_in,
    free_name,
    new_folder,
    remove_strangers,
    take_files_along,
)
from loomfolio.project.folder_reading import (
    BEFORE_NAME,
    JOURNAL_BEFORE_NAME,
    JOURNAL_NAME,
    PROJECT_NAME,
    FolderContents,
    Stamp,
    read_folder,
)
from loomfolio.project.integrity import change_faults, faults, files_of, is_inside_folder
from loomfolio.project.journal import line_bytes
from loomfolio.project.lock import FolderLock
from loomfolio.project.models import Project, Sheet
from loomfolio.project.record_lists import reads_back

CACHE_NAME = "cache"


class ProjectFolder:
    """An open project folder. `project` is the document as it stands on disk, edits included."""

    def __init__(
        self, path: Path, contents: FolderContents, *, lock: FolderLock | None, disk: Disk
    ) -> None:
        """Take over what was read; use `open` or `create`. Without a lock it is read-only."""
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
        stamp, contents = Stamp.of(folder), read_folder(folder)
        lock, reason = (None, "It was opened only to be read.") if read_only else _locked(folder)
        with contextlib.ExitStack() as unless_opened:
            if lock is not None:
                unless_opened.callback(lock.release)
                if Stamp.of(folder) != stamp:
                    # Whoever held the lock wrote between our reading and our taking it.
                    contents = read_folder(folder)
            self = cls(folder, contents, lock=lock, disk=disk or Disk())
            self._read_only_reason = reason
            self._notes = tuple(self._mend(contents))
            unless_opened.pop_all()
        return self

    @classmethod
    def create(
        cls,
        path: Path,
        project: Project,
        *,
        files_of: Path | None = None,
        disk: Disk | None = None,
    ) -> Self:
        """Make a new project folder at a path where nothing, or an empty folder, lies, and open it.

        `files_of` is another project folder, whose sheets and photos are copied along. The new one
        appears under its name when it is whole.
        """
        for fault in faults(project):
            raise EditError(f"This project cannot be written: {fault}.")
        disk = disk or Disk()
        try:
            with new_folder(path) as making:
                take_files_along(files_of, making)
                disk.write(making / PROJECT_NAME, document_bytes(project, saved_edit=0))
                disk.sync_folder(making)
            disk.sync_folder(path.parent)
        except OSError as error:
            raise cannot_write(path, error) from error
        return cls.open(path, disk=disk)

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
        """The folder of what was worked out. It may not exist yet; anyone may delete it."""
        return self._path / CACHE_NAME

    def sheet_path(self, sheet: Sheet) -> Path:
        """Return the path of the file that a sheet shows a page of; it is not looked for."""
        if not is_inside_folder(sheet.file):
            raise DocumentError(
                self._path,
                f"the file {sheet.file!r} of a sheet does not lie in the project",
                "bring the page in again",
            )
        return self._path / sheet.file

    # -------------------------------------------------------------------------------------- writing

    def copy_in(self, source: Path) -> str:
        """Copy a file of pages into the folder and return its path there, such as `sheets/p1.png`.

        The same content is kept once, whatever the files are called.
        """
        self._require_writable()
        return copy_in(source, self._path, SHEETS_NAME, disk=self._disk)

    def copy_in_photo(self, source: Path) -> str:
        """Copy a photo into the folder and return its path there, such as `photos/plug.jpg`."""
        self._require_writable()
        return copy_in(source, self._path, PHOTOS_NAME, disk=self._disk)

    def forget_photos(self) -> None:
        """Remove the photos that no record speaks of, as those of another vehicle."""
        self._require_writable()
        project = self._project
        kept = {
            file
            for records in (project.specimens, project.baselines, project.doings)
            for record in records
            for file in files_of(record)
        }
        remove_strangers(self._path / PHOTOS_NAME, kept)

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
        for fault in _commit_faults(project, changes):
            raise EditError(f"This edit cannot be kept: {fault}.")
        line = line_bytes(self._edit + 1, title, changes)
        try:
            self._append(line)
        except OSError as error:
            raise cannot_write(self._path, error) from error
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
        """Write project.json anew, keep the generation before it, and empty the journal."""
        self._require_writable()
        if self._is_saved:
            return
        try:
            self._write_generation()
        except OSError as error:
            raise cannot_write(self._path, error) from error

    def _write_generation(self) -> None:
        present, before = self._path / PROJECT_NAME, self._path / BEFORE_NAME
        data = document_bytes(self._project, saved_edit=self._edit)
        if self._is_sound and present.exists():
            self._disk.swap_in(before, present.read_bytes())
            self._disk.swap_in(present, data)
        else:
            # The generation before is the only one; it goes last.
            self._disk.swap_in(present, data)
            self._disk.swap_in(before, data)
        self._is_sound = True
        if self._journal_length:
            self._disk.replace(self._path / JOURNAL_NAME, self._path / JOURNAL_BEFORE_NAME)
            self._disk.sync_folder(self._path)
        self._journal_length, self._is_saved = 0, True

    def _require_writable(self) -> None:
        if self._lock is None:
            raise ProjectBusyError(
                self._path,
                f"the project is open read-only ({self._read_only_reason.rstrip('.')})",
                "save it under another name to edit it",
            )

    # -------------------------------------------------------------------------------------- mending

    def _mend(self, contents: FolderContents) -> Iterator[str]:
        """Set aside what cannot be used, write what was rescued, and say so in one sentence each."""
        if contents.unusable:
            what = (
                f"The journal is damaged behind edit {self._edit}; the edits up to there are here"
            )
            yield f"{what}, {self._set_journal_aside(contents.unusable)}."
        if not contents.is_sound:
            where = self._set_present_aside()
            if self._lock is not None:
                self.checkpoint()
            yield (
                f"{PROJECT_NAME} was {where}; the project was opened from the generation before it"
                " and the journal."
            )

    def _set_journal_aside(self, unusable: bytes) -> str:
        if self._lock is None:
            return "the rest is left out"
        aside = free_name(self._path, "journal.damaged", ".jsonl")
        try:
            self._disk.swap_in(aside, unusable)
            self._disk.append(self._path / JOURNAL_NAME, self._journal_length, b"")
        except OSError as error:
            raise cannot_write(self._path, error) from error
        return f"the rest was set aside in {aside.name}"

    def _set_present_aside(self) -> str:
        present = self._path / PROJECT_NAME
        if not present.exists():
            return "missing"
        if self._lock is None:
            return "damaged"
        aside = free_name(self._path, "project.damaged", ".json")
        try:
            self._disk.replace(present, aside)
        except OSError as error:
            raise cannot_write(self._path, error) from error
        return f"damaged and was set aside in {aside.name}"

    # -------------------------------------------------------------------------------------- closing

    def close(self) -> None:
        """Write project.json where it lacks edits, and let another program have the folder."""
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


def _commit_faults(project: Project, changes: Changes) -> Iterator[str]:
    """Yield what is not sound, and what would not come back the same from its line in the journal.

    The latter is the case only for a record that was changed past its checks.
    """
    yield from change_faults(project, changes)
    for change in changes.lists:
        records = [placed.record for placed in change.added]
        for record in (*records, *(pair.after for pair in change.changed)):
            if not reads_back(change.name, record):
                yield f"{record.id} is not what its fields allow"
