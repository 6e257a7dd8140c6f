"""The files that a project folder holds beside its document: copied in whole, named by their content."""

from __future__ import annotations

import hashlib
import re
from itertools import count
from pathlib import Path

from loomfolio.basics import FileUnreadableError
from loomfolio.project.disk import Disk

_LONGEST_STEM = 40


def copy_in(source: Path, folder: Path, below: str, *, disk: Disk) -> str:
    """Copy a file into a folder below a project folder and return its path there, with forward slashes.

    The name is what is readable of the source's name and the beginning of the SHA-256 of the content, so
    that the same content is kept once and a name says what it holds.
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
    target.mkdir(exist_ok=True)
    same = sorted(path.name for path in target.glob(f"*{digest}{suffix}"))
    if same:
        return f"{below}/{same[0]}"
    stem = re.sub(r"[^a-z0-9]+", "-", source.stem.lower()).strip("-")[:_LONGEST_STEM]
    name = f"{stem}-{digest}{suffix}" if stem else f"{digest}{suffix}"
    disk.swap_in(target / name, data)
    return f"{below}/{name}"


def free_name(folder: Path, stem: str, suffix: str) -> Path:
    """Return the first path `stem-1suffix`, `stem-2suffix`, … at which nothing lies."""
    return next(path for n in count(1) if not (path := folder / f"{stem}-{n}{suffix}").exists())
