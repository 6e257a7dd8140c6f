"""Opening a project folder: which generation, which lines of the journal, and what cannot be used.

Nothing here writes. `project.json` and the journal since it are the usual case. Where project.json is
missing or torn, the generation before it and both journals hold the same document. Lines count as
long as they are whole, follow one another by number, and lead to a sound document; what lies behind is
handed back to be set aside.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from loomfolio.basics import DocumentError, LimitExceededError
from loomfolio.project.document_file import (
    PRESENT_VERSION,
    NotJsonError,
    migrated,
    parsed,
    project_from,
    saved_edit_of,
    version_of,
)
from loomfolio.project.journal import (
    ChangesMisfitError,
    JournalLine,
    patched,
    read_journal,
)
from loomfolio.project.models import Project
from loomfolio.project.record_lists import JsonObject

PROJECT_NAME, BEFORE_NAME = "project.json", "project.json.before"
JOURNAL_NAME, JOURNAL_BEFORE_NAME = "journal.jsonl", "journal.before.jsonl"

LARGEST_FILE_BYTES = 256 * 2**20
"""A hundred times the largest job that we know of; beyond it the file is foreign or hostile."""

_TRIES = 20


class FolderContents(NamedTuple):
    """What a folder holds. `edit` is the number of the last edit in `project`.

    `journal_length` is how many bytes of journal.jsonl are whole lines in use, `unusable` what lies behind
    them and is no torn end. `is_sound` says that project.json itself could be read, `is_saved` that
    it holds all of `project`.
    """

    project: Project
    edit: int
    journal_length: int
    unusable: bytes
    is_sound: bool
    is_saved: bool


class _Files(NamedTuple):
    """The bytes of the four files; those that are missing are empty."""

    present: bytes
    before: bytes
    journal: bytes
    journal_before: bytes


class _Base(NamedTuple):
    """A generation of the document, still JSON of its own version."""

    path: Path
    data: JsonObject
    version: int
    saved_edit: int


class _Replayed(NamedTuple):
    """A generation with the first `used` lines applied, those included already counted too."""

    data: JsonObject
    edit: int
    used: int


class Stamp(NamedTuple):
    """What lay under the four names at one moment: which file, when written, how long."""

    present: tuple[int, int, int] | None
    before: tuple[int, int, int] | None
    journal_before: tuple[int, int, int] | None
    journal: tuple[int, int, int] | None

    @staticmethod
    def of(folder: Path) -> Stamp:
        """Return the stamp of a folder now."""
        names = (PROJECT_NAME, BEFORE_NAME, JOURNAL_BEFORE_NAME, JOURNAL_NAME)
        return Stamp(*(_state(folder / name) for name in names))

    def is_same_generation(self, other: Stamp) -> bool:
        """Say whether no checkpoint lies between; the journal may have grown."""
        return self._replace(journal=None) == other._replace(journal=None)


def _state(path: Path) -> tuple[int, int, int] | None:
    try:
        state = path.stat()
    except OSError:
        return None
    return state.st_ino, state.st_mtime_ns, state.st_size


def read_folder(folder: Path) -> FolderContents:
    """Return what a project folder holds; `DocumentError` in one sentence where it holds none."""
    files = _read_files(folder)
    try:
        base, is_sound = _base(folder / PROJECT_NAME, files.present), True
    except NotJsonError as error:
        base, is_sound = _base_before(folder, files, error), False
    journal = read_journal(files.journal)
    earlier = read_journal(files.journal_before if not is_sound else b"")
    project, replayed = _longest_sound(base, [*earlier.lines, *journal.lines])
    used_earlier = min(replayed.used, len(earlier.lines))
    used = replayed.used - used_earlier
    length = journal.lines[used - 1].end if used else 0
    unusable = _unless_torn(files.journal[length:])
    if used == 0 and not is_sound:
        start = earlier.lines[used_earlier - 1].end if used_earlier else 0
        unusable = _unless_torn(files.journal_before[start:]) + unusable
    return FolderContents(
        project=project,
        edit=replayed.edit,
        journal_length=length,
        unusable=unusable,
        is_sound=is_sound,
        is_saved=is_sound and replayed.edit == base.saved_edit,
    )


def _unless_torn(rest: bytes) -> bytes:
    """Without its end-of-line a rest is the start of an edit that was never shown."""
    return rest if b"\n" in rest else b""


# ---------------------------------------------------------------------------------------- generations


def _base(path: Path, data: bytes) -> _Base:
    document = parsed(data)
    version = version_of(path, document)
    return _Base(path, document, version, saved_edit_of(path, document))


def _base_before(folder: Path, files: _Files, error: NotJsonError) -> _Base:
    try:
        return _base(folder / BEFORE_NAME, files.before)
    except NotJsonError:
        if files.present:
            raise DocumentError(
                folder / PROJECT_NAME,
                f"the file is no JSON ({error})",
                "mend it in a text editor or take an earlier copy",
            ) from error
        raise DocumentError(
            folder,
            f"the folder holds no {PROJECT_NAME}",
            "choose a project folder, or make a new project",
        ) from error


# --------------------------------------------------------------------------------------------- lines


def _longest_sound(base: _Base, lines: Sequence[JournalLine]) -> tuple[Project, _Replayed]:
    """Return the document after as many lines as lead to a sound one.

    Every line was sound when it was written, so this is all of them, at one go. Only where that fails
    are shorter runs tried, by halving; and only where no line at all is used does the file itself fail.
    """
    replayed = _replay(base, lines)
    try:
        return _project(base, replayed), replayed
    except DocumentError:
        best = _replay(base, lines[:0])
        project = _project(base, best)
    low, high = 0, replayed.used
    while high - low > 1:
        middle = (low + high) // 2
        tried = _replay(base, lines[:middle])
        try:
            project, best, low = _project(base, tried), tried, middle
        except DocumentError:
            high = middle
    return project, best


def _project(base: _Base, replayed: _Replayed) -> Project:
    return project_from(base.path, replayed.data)


def _replay(base: _Base, lines: Sequence[JournalLine]) -> _Replayed:
    data, version, edit, used = base.data, base.version, base.saved_edit, 0
    for line in lines:
        told = line.told
        if told.edit <= base.saved_edit == edit:
            used += 1
            continue
        if told.edit != edit + 1 or told.version < version:
            break
        if told.version > PRESENT_VERSION:
            version_of(base.path, {"schema": told.format.replace("edit", "project")})
        try:
            data = patched(migrated(data, version=version, to=told.version), told.changes)
        except ChangesMisfitError:
            break
        version, edit, used = told.version, told.edit, used + 1
    return _Replayed(migrated(data, version=version), edit, used)


# --------------------------------------------------------------------------------------------- files


def _read_files(folder: Path) -> _Files:
    """Read the four files as they belong together, even while another program makes a checkpoint."""
    if not folder.is_dir():
        what = "this is no folder" if folder.exists() else "there is no such folder"
        raise DocumentError(folder, what, "choose a project folder, or make a new project")
    for _ in range(_TRIES):
        stamp = Stamp.of(folder)
        files = _Files(
            present=_read(folder / PROJECT_NAME),
            before=_read(folder / BEFORE_NAME),
            journal_before=_read(folder / JOURNAL_BEFORE_NAME),
            journal=_read(folder / JOURNAL_NAME),
        )
        if stamp.is_same_generation(Stamp.of(folder)):
            break
    return files


def _read(path: Path) -> bytes:
    try:
        if path.stat().st_size > LARGEST_FILE_BYTES:
            raise LimitExceededError(
                path,
                f"the file is larger than {LARGEST_FILE_BYTES // 2**20} MB",
                "check whether it is a project at all",
            )
        return path.read_bytes()
    except FileNotFoundError:
        return b""
    except OSError as error:
        raise DocumentError(
            path, f"the file cannot be read ({error.strerror})", "check who may read it"
        ) from error
