"""Write what was made: to a file beside, then swapped, so that a failed run leaves no half file."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from loomfolio.basics import UsageError


def write_files(contents: Mapping[Path, bytes]) -> None:
    """Write files into folders that exist: all of them, or none where one cannot be written.

    Each is whole at every moment, the old one or the new one. Only where another program holds one
    of the old files open may the others be new already.

    Raises
    ------
    UsageError
        A place cannot be written to; see above for the files that were there before.
    """
    beside = {path: path.with_name(f"{path.name}.{os.getpid()}.new") for path in contents}
    try:
        for path, data in contents.items():
            _check_replaceable(path)
            _write(beside[path], data)
        for path in contents:
            beside[path].replace(path)
    except OSError as error:
        reason = error.strerror or "not writable"
        raise UsageError(f"{path} cannot be written ({reason}); choose another place.") from error
    finally:
        for left in beside.values():
            with suppress(OSError):
                left.unlink(missing_ok=True)


def make_folder(path: Path) -> None:
    """Make a folder and those above it, where they are missing.

    Raises
    ------
    UsageError
        It cannot be made, or a file has its name.
    """
    try:
        path.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise UsageError(f"{path} is a file, not a folder; choose another place.") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "no such place"
        raise UsageError(f"The folder {path} cannot be made ({reason}); choose another.") from error


def _check_replaceable(path: Path) -> None:
    if path.is_dir():
        raise IsADirectoryError(None, "a folder has this name")


def _write(path: Path, data: bytes) -> None:
    with path.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
