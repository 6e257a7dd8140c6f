"""One writer at a time, over threads of one program and over programs."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from loomfolio.basics import ProjectBusyError
from loomfolio.project.lock import LOCK_NAME, FolderLock

HOLD = """
import sys
from pathlib import Path
from loomfolio.project.lock import FolderLock
lock = FolderLock(Path(sys.argv[1]))
print("held", flush=True)
sys.stdin.read()
"""


def test_a_lock_is_held_once_and_free_after_release(tmp_path: Path):
    first = FolderLock(tmp_path)
    with pytest.raises(ProjectBusyError, match=f"process {os.getpid()} on "):
        FolderLock(tmp_path)
    first.release()
    first.release()
    second = FolderLock(tmp_path)
    second.release()


def test_two_folders_have_two_locks(tmp_path: Path):
    locks = []
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        locks.append(FolderLock(tmp_path / name))
    for lock in locks:
        lock.release()


def test_another_program_is_named_and_its_death_frees_the_lock(tmp_path: Path):
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, str(tmp_path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == b"held\n"
        with pytest.raises(ProjectBusyError) as caught:
            FolderLock(tmp_path)
        assert f"another program (process {other.pid} on " in str(caught.value)
        other.kill()
        other.wait()
    FolderLock(tmp_path).release()


def test_a_file_left_by_a_dead_program_means_nothing(tmp_path: Path):
    (tmp_path / LOCK_NAME).write_text("process 1 on another-machine\n" * 20)
    lock = FolderLock(tmp_path)
    assert (tmp_path / LOCK_NAME).read_text().startswith(f"process {os.getpid()} on ")
    assert (tmp_path / LOCK_NAME).read_text().count("\n") == 1
    lock.release()


def test_a_holder_who_has_not_written_its_name_yet_is_another_program(tmp_path: Path):
    lock = FolderLock(tmp_path)
    (tmp_path / LOCK_NAME).write_bytes(b"")
    with pytest.raises(ProjectBusyError, match="another program has this project open; close it"):
        FolderLock(tmp_path)
    lock.release()


def test_a_file_system_without_locks_is_told_from_a_held_one(tmp_path: Path, monkeypatch):
    from loomfolio.project import lock as module

    def refuse(handle: int) -> None:
        raise OSError(38, "Function not implemented")

    monkeypatch.setattr(module, "_lock", refuse)
    with pytest.raises(OSError, match="Function not implemented"):
        FolderLock(tmp_path)
