"""Folders to work in: each example of a generated test gets one of its own."""

from __future__ import annotations

import itertools
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest


@pytest.fixture
def fresh_path(tmp_path: Path) -> Callable[[], Path]:
    """Return a new path at every call, at which nothing lies yet."""
    numbers = itertools.count(1)
    return lambda: tmp_path / f"van-{next(numbers)}"


@pytest.fixture
def copy_of(fresh_path: Callable[[], Path]) -> Callable[[Path], Path]:
    """Copy a folder as it lies on disk, as if the machine started anew from that state."""

    def copy(folder: Path) -> Path:
        return Path(shutil.copytree(folder, fresh_path()))

    return copy


@pytest.fixture
def version_1(tmp_path: Path) -> Path:
    """A folder that version 1 of the format wrote, edits in the journal included."""
    stored = Path(__file__).parent / "data" / "version-1"
    return Path(shutil.copytree(stored, tmp_path / "version-1"))
