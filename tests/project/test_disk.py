"""The steps by which a folder is changed."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from loomfolio.project.disk import Disk


def test_a_file_is_swapped_in_whole(tmp_path: Path):
    file = tmp_path / "a.json"
    for data in (b"first", b"second, longer", b""):
        Disk().swap_in(file, data)
        assert file.read_bytes() == data
    assert [path.name for path in tmp_path.iterdir()] == ["a.json"]


def test_appending_cuts_off_what_lies_behind_the_place(tmp_path: Path):
    file = tmp_path / "journal"
    Disk().append(file, 0, b"one\n")
    Disk().append(file, 4, b"two\n")
    Disk().append(file, 4, b"2\n")
    assert file.read_bytes() == b"one\n2\n"
    Disk().append(file, 4, b"")
    assert file.read_bytes() == b"one\n"
    Disk().append(file, 0, b"new\n")
    assert file.read_bytes() == b"new\n"


@pytest.mark.parametrize("left", [None, b"", b"one"])
def test_appending_behind_the_end_of_a_file_is_refused(tmp_path: Path, left: bytes | None):
    """A hole of zeros would be read as damage; better no edit than that."""
    file = tmp_path / "journal"
    if left is not None:
        file.write_bytes(left)
    with pytest.raises(OSError):  # noqa: PT011 - which one differs between the cases
        Disk().append(file, 4, b"two\n")
    assert not file.exists() if left is None else file.read_bytes() == left


def test_all_that_is_written_is_flushed_before_it_counts(tmp_path: Path, monkeypatch):
    flushed: list[str] = []
    really = os.fsync

    def fsync(handle: int) -> None:
        flushed.append("folder" if Path(f"/proc/self/fd/{handle}").resolve().is_dir() else "file")
        really(handle)

    monkeypatch.setattr(os, "fsync", fsync)
    Disk().swap_in(tmp_path / "a", b"data")
    Disk().append(tmp_path / "b", 0, b"line\n")
    if Path("/proc/self/fd").exists():
        assert flushed == ["file", "folder", "file"]
    assert len(flushed) == 3


def test_windows_is_not_asked_to_flush_a_folder(tmp_path: Path, monkeypatch):
    monkeypatch.setattr("loomfolio.project.disk._IS_WINDOWS", True)
    monkeypatch.setattr(os, "open", lambda *_: pytest.fail("a folder was opened"))
    Disk().sync_folder(tmp_path)
