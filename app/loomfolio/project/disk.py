"""The few steps by which a project folder is changed on disk, each durable before it returns.

All writing goes through a `Disk`, so that a test can break the process between any two steps by giving
another one. A file is only ever replaced as a whole (written beside, flushed, swapped) or appended to.
"""

from __future__ import annotations

import errno
import os
from pathlib import Path

_IS_WINDOWS = os.name == "nt"


class Disk:
    """Writes, swaps and appends on the real disk."""

    def write(self, path: Path, data: bytes) -> None:
        """Write a file anew and flush it. The file may be torn if the process dies meanwhile."""
        with path.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())

    def append(self, path: Path, at: int, data: bytes) -> None:
        """Cut a file to `at` bytes, write `data` behind them and flush; at 0 it is made anew."""
        with path.open("r+b" if at else "wb") as file:
            if file.seek(0, os.SEEK_END) < at:
                raise OSError(errno.ESTALE, "another program has cut the file")
            file.truncate(at)
            file.seek(at)
            file.write(data)
            file.flush()
            os.fsync(file.fileno())

    def replace(self, source: Path, target: Path) -> None:
        """Give a file another name, in one step that either happens or does not."""
        source.replace(target)

    def sync_folder(self, folder: Path) -> None:
        """Flush the names in a folder. Windows keeps names durable by itself and refuses the call."""
        if _IS_WINDOWS:
            return
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

    def swap_in(self, path: Path, data: bytes) -> None:
        """Put a whole file in the place of another: at each moment the one or the other is there."""
        beside = path.with_name(path.name + ".new")
        self.write(beside, data)
        self.replace(beside, path)
        self.sync_folder(path.parent)
