"""A project in one zip file, to be sent or put away, and back.

Packed are the document with every edit, and the sheets and photos; the cache, the journal and the lock are
not. The same project packs to the same bytes. Unpacking takes nothing on trust: the names of the
entries, their number and their true sizes are checked, and the document is opened, before the folder
appears under its name.
"""

from __future__ import annotations

import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

from loomfolio.basics import FileUnreadableError, LimitExceededError
from loomfolio.project.document_file import document_bytes
from loomfolio.project.folder_files import FILES_NAMES, cannot_write, new_folder
from loomfolio.project.folder_reading import (
    BEFORE_NAME,
    JOURNAL_BEFORE_NAME,
    JOURNAL_NAME,
    PROJECT_NAME,
    read_folder,
)
from loomfolio.project.integrity import is_inside_folder

MOST_ENTRIES = 5_000
LARGEST_ENTRY_BYTES = 512 * 2**20
LARGEST_TOTAL_BYTES = 4 * 2**30
"""Far above the largest job that we know of: 25 sheets of 50 MB and a few hundred photos."""

_CHUNK_BYTES = 2**20
_LONG_AGO = (1980, 1, 1, 0, 0, 0)
"""The earliest date that a zip file can hold; a packed project carries no clock time."""

_PLAIN_NAMES = frozenset({PROJECT_NAME, BEFORE_NAME, JOURNAL_NAME, JOURNAL_BEFORE_NAME})
_COMPACT = frozenset({".png", ".jpg", ".jpeg", ".gif", ".webp", ".pdf"})
"""Kinds of file that are compressed in themselves."""


def pack(path: Path, zip_path: Path) -> None:
    """Write the project folder at `path` to a zip file, which appears when it is whole.

    Edits that are still in the journal only are included, also while another program is at work.
    """
    contents = read_folder(path)
    document = document_bytes(contents.project, saved_edit=contents.edit)
    beside = zip_path.with_name(zip_path.name + ".new")
    try:
        with zipfile.ZipFile(beside, "w") as archive:
            archive.writestr(_entry(PROJECT_NAME), document)
            for name, file in _files(path):
                archive.writestr(_entry(name), file.read_bytes())
        beside.replace(zip_path)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise cannot_write(zip_path, error) from error


def _entry(name: str) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name, _LONG_AGO)
    is_compact = PurePosixPath(name).suffix.lower() in _COMPACT
    entry.compress_type = zipfile.ZIP_STORED if is_compact else zipfile.ZIP_DEFLATED
    entry.external_attr = 0o644 << 16
    return entry


def _files(folder: Path) -> Iterator[tuple[str, Path]]:
    for below in FILES_NAMES:
        for file in sorted((folder / below).rglob("*")):
            if file.is_file() and not file.is_symlink():
                yield file.relative_to(folder).as_posix(), file


def unpack(zip_path: Path, folder: Path) -> None:
    """Write a packed project to a new folder, which appears when it is whole and opens.

    Entries that are no part of a project are left out.

    Raises
    ------
    FileUnreadableError, LimitExceededError, DocumentError
        One sentence; nothing was written.
    """
    try:
        archive = zipfile.ZipFile(zip_path)
    except OSError as error:
        raise _unusable(zip_path, f"the file cannot be read ({error.strerror})") from error
    except zipfile.BadZipFile as error:
        raise _unusable(zip_path, "the file is no zip file, or a damaged one") from error
    try:
        with archive, new_folder(folder) as making:
            room = LARGEST_TOTAL_BYTES
            for entry in _checked(zip_path, archive):
                room -= _extract(zip_path, archive, entry, making, room=room)
            for below in FILES_NAMES:
                (making / below).mkdir(exist_ok=True)
            read_folder(making)
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, EOFError) as error:
        raise _unusable(zip_path, "the file is damaged") from error
    except OSError as error:
        raise cannot_write(folder, error) from error


def _checked(zip_path: Path, archive: zipfile.ZipFile) -> list[zipfile.ZipInfo]:
    """Return the entries that belong to a project; refuse those that could do harm."""
    entries = archive.infolist()
    if len(entries) > MOST_ENTRIES:
        raise _too_large(zip_path, f"it holds more than {MOST_ENTRIES} files")
    taken: dict[str, zipfile.ZipInfo] = {}
    for entry in entries:
        if not is_inside_folder(entry.filename):
            raise _unusable(zip_path, f"its entry {entry.filename!r} leads out of the folder")
        if entry.is_dir() or not _belongs(entry.filename):
            continue
        if entry.flag_bits & 1:
            raise _unusable(zip_path, f"its entry {entry.filename!r} is locked with a password")
        # Windows and macOS take names that differ in capitals for the same file.
        if taken.setdefault(entry.filename.casefold(), entry) is not entry:
            raise _unusable(zip_path, f"it holds {entry.filename!r} twice")
    if not taken.keys() & {PROJECT_NAME, BEFORE_NAME}:
        raise _unusable(zip_path, f"it holds no {PROJECT_NAME}")
    return list(taken.values())


def _belongs(name: str) -> bool:
    path = PurePosixPath(name)
    return name in _PLAIN_NAMES or (len(path.parts) > 1 and path.parts[0] in FILES_NAMES)


def _extract(
    zip_path: Path, archive: zipfile.ZipFile, entry: zipfile.ZipInfo, folder: Path, *, room: int
) -> int:
    """Write one entry and return its size. What the entry says of its own size is not believed."""
    target = folder.joinpath(*PurePosixPath(entry.filename).parts)
    target.parent.mkdir(parents=True, exist_ok=True)
    size = 0
    with archive.open(entry) as source, target.open("wb") as file:
        while chunk := source.read(_CHUNK_BYTES):
            size += len(chunk)
            if size > LARGEST_ENTRY_BYTES or size > room:
                raise _too_large(zip_path, f"its entry {entry.filename!r} is too large")
            file.write(chunk)
    return size


def _unusable(zip_path: Path, what: str) -> FileUnreadableError:
    return FileUnreadableError(zip_path, what, "choose a project that loomfolio has packed")


def _too_large(zip_path: Path, what: str) -> LimitExceededError:
    return LimitExceededError(zip_path, what, "unpack it by other means if you trust it")
