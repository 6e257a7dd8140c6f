"""One program at a time writes to a project folder.

The lock is one of the operating system on an open file, so it goes with the process that holds it: a
program that was killed leaves none behind, and the file that stays means nothing. What is written in
the file only tells a second program who holds the first.
"""

from __future__ import annotations

import os
import socket
import sys
from pathlib import Path

from loomfolio.basics import ProjectBusyError

LOCK_NAME = ".lock"
_LOCKED_BYTE = 1 << 20
"""Windows locks bytes and hides them from others, so the byte lies behind what is to be read."""

if sys.platform == "win32":  # pragma: no cover - the other branch is what a test can run
    import msvcrt

    def _lock(handle: int) -> None:
        os.lseek(handle, _LOCKED_BYTE, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _lock(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


class FolderLock:
    """A held lock. It is free again after `release()`, or when the process ends in any way."""

    def __init__(self, folder: Path) -> None:
        """Take the lock of a folder.

        Raises
        ------
        ProjectBusyError
            Another program holds it; the sentence says which.
        OSError
            The folder cannot be written, or its file system knows no locks.
        """
        self._handle = os.open(folder / LOCK_NAME, os.O_RDWR | os.O_CREAT, 0o644)
        try:
            _lock(self._handle)
        except (BlockingIOError, PermissionError) as error:
            holder = self._holder()
            os.close(self._handle)
            raise ProjectBusyError(
                folder,
                f"{holder} has this project open",
                "close it there to edit it here",
            ) from error
        except OSError:
            os.close(self._handle)
            raise
        os.ftruncate(self._handle, 0)
        os.lseek(self._handle, 0, os.SEEK_SET)
        os.write(self._handle, f"process {os.getpid()} on {socket.gethostname()}\n".encode())

    def _holder(self) -> str:
        os.lseek(self._handle, 0, os.SEEK_SET)
        text = os.read(self._handle, 200).decode(errors="replace").strip()
        return f"another program ({text})" if text else "another program"

    def release(self) -> None:
        """Let another program have the folder. Doing so twice is harmless."""
        if self._handle >= 0:
            os.close(self._handle)
            self._handle = -1
