"""The files that a project folder holds beside its document, and how a folder comes into being.

A file is copied in whole and named by its content. A new folder is made beside the place where it is to
lie and then given its name, so that a half-made one is never found there.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path

from loomfolio.basics import DocumentError, FileUnreadableError
from loomfolio.project.disk import Disk

SHEETS_NAME, PHOTOS_NAME = "sheets", "photos"
FILES_NAMES = (SHEETS_NAME, PHOTOS_NAME)
"""The folders of files that belong to a project and go with it wherever it is copied or sent."""

_LONGEST_STEM = 40


def copy_in(source: Path, folder: Path, below: str, *, disk: Disk) -> str:
    """Copy a file into a folder below a project folder and return its path there, with `/`.

    The name is what is readable of the source's name and the beginning of the SHA-256 of the content,
    so that the same content is kept once.
    """
    try:
        data = source.read_bytes()
    except OSError as error:
        raise FileUnreadableError(
            source, f"the file cannot be read ({error.strerror})", "check the path"
        ) from error
    digest = hashlib.sha256(data).hexdigest()[:16]
    suffix = re.sub(r"[^.a-z0-9]", "", source.suffix.lower())
    target = folder / below
    try:
        target.mkdir(exist_ok=True)
        same = sorted(path.name for path in target.glob(f"*{digest}{suffix}"))
        if same:
            return f"{below}/{same[0]}"
        stem = re.sub(r"[^a-z0-9]+", "-", source.stem.lower()).strip("-")[:_LONGEST_STEM]
        name = f"{stem}-{digest}{suffix}" if stem else f"{digest}{suffix}"
        disk.swap_in(target / name, data)
    except OSError as error:
        raise cannot_write(folder, error) from error
    return f"{below}/{name}"


def take_files_along(source: Path | None, target: Path) -> None:
    """Make the folders of files in `target`, with copies of what lies in those of `source`."""
    for name in FILES_NAMES:
        (target / name).mkdir()
        if source is not None and (source / name).is_dir():
            shutil.copytree(source / name, target / name, dirs_exist_ok=True)


def remove_strangers(folder: Path, kept: Collection[str]) -> None:
    """Remove the files of a folder of files that are not among those kept, by their path in the project."""
    for file in sorted(folder.iterdir()) if folder.is_dir() else ():
        if file.is_file() and f"{folder.name}/{file.name}" not in kept:
            file.unlink()


@contextmanager
def new_folder(path: Path) -> Iterator[Path]:
    """Give a folder to fill, which is then found at `path`; where filling it fails, nothing is.

    Raises
    ------
    DocumentError
        Something lies at `path` already, and it is not an empty folder.
    """
    if path.exists() and not (path.is_dir() and not any(path.iterdir())):
        raise DocumentError(path, "something lies there already", "choose a new name")
    path.parent.mkdir(parents=True, exist_ok=True)
    making = free_name(path.parent, f".{path.name}.{os.getpid()}", ".new")
    making.mkdir()
    try:
        yield making
        if path.exists():
            path.rmdir()
        making.rename(path)
    except BaseException:
        shutil.rmtree(making, ignore_errors=True)
        raise


def free_name(folder: Path, stem: str, suffix: str) -> Path:
    """Return the first path `stem-1suffix`, `stem-2suffix`, … at which nothing lies."""
    return next(path for n in count(1) if not (path := folder / f"{stem}-{n}{suffix}").exists())


def cannot_write(path: Path, error: OSError) -> DocumentError:
    """Return the sentence for a folder that the operating system lets nobody write to."""
    reason = error.strerror or str(error)
    return DocumentError(
        path, f"the folder cannot be written ({reason})", "make room or check who may write there"
    )
