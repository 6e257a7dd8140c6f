"""A disk that loses power: it does so many steps and then dies, in the midst of the next one.

What lies in the folder afterwards is what a program would find at the next start. A write that dies
leaves half of its bytes, an append leaves half of its line; a swap happens or does not.
"""

from __future__ import annotations

from pathlib import Path

from loomfolio.project.disk import Disk


class PowerCutError(BaseException):
    """The process ended here. It is no `Exception`, so that nothing on the way can tidy up."""


class BreakingDisk(Disk):
    """Dies in step number `steps_left` (counted from 0); `None` only counts the steps."""

    def __init__(self, steps_left: int | None = None) -> None:
        self.steps_left = steps_left
        self.steps_done = 0

    def write(self, path: Path, data: bytes) -> None:
        if self._dies_now():
            path.write_bytes(data[: len(data) // 2])
            raise PowerCutError
        super().write(path, data)

    def append(self, path: Path, at: int, data: bytes) -> None:
        if self._dies_now():
            super().append(path, at, data[: len(data) // 2])
            raise PowerCutError
        super().append(path, at, data)

    def replace(self, source: Path, target: Path) -> None:
        if self._dies_now():
            raise PowerCutError
        super().replace(source, target)

    def sync_folder(self, folder: Path) -> None:
        if self._dies_now():
            raise PowerCutError
        super().sync_folder(folder)

    def _dies_now(self) -> bool:
        if self.steps_left is not None and self.steps_done == self.steps_left:
            return True
        self.steps_done += 1
        return False


class FullDisk(Disk):
    """Refuses to write while `is_full`, as a disk without room does: half of the bytes, then an error."""

    def __init__(self) -> None:
        self.is_full = False

    def write(self, path: Path, data: bytes) -> None:
        if self.is_full:
            path.write_bytes(data[: len(data) // 2])
            raise OSError(28, "No space left on device")
        super().write(path, data)

    def append(self, path: Path, at: int, data: bytes) -> None:
        if self.is_full and data:
            super().append(path, at, data[: len(data) // 2])
            raise OSError(28, "No space left on device")
        super().append(path, at, data)
