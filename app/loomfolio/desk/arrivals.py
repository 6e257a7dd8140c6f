"""What the person dropped, opened or named at the start, sorted by what it is; no Qt in here."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from loomfolio.basics import FileUnreadableError

PROJECT_FILE = "project.json"


@dataclass(frozen=True, slots=True)
class Arrivals:
    """Project folders, packed projects, and files that may be sheets."""

    projects: tuple[Path, ...]
    packed: tuple[Path, ...]
    sheets: tuple[Path, ...]


def sorted_out(paths: Iterable[Path]) -> Arrivals:
    """Return what the paths are; `FileUnreadableError` for one that is nothing we can take."""
    projects: list[Path] = []
    packed: list[Path] = []
    sheets: list[Path] = []
    for path in paths:
        if not path.exists():
            raise FileUnreadableError(path, "there is no such file", "check the path")
        if path.name == PROJECT_FILE and path.is_file():
            projects.append(path.parent)
        elif path.is_dir() and (path / PROJECT_FILE).is_file():
            projects.append(path)
        elif path.is_dir():
            raise FileUnreadableError(
                path,
                "this folder is no project",
                f"open one that holds a {PROJECT_FILE}, or drop the sheets themselves",
            )
        elif path.suffix.casefold() == ".zip":
            packed.append(path)
        else:
            sheets.append(path)
    return Arrivals(tuple(projects), tuple(packed), tuple(sheets))


def free_folder(home: Path, name: str) -> Path:
    """Return a folder under `home` that is not there yet: `name`, `name 2`, `name 3`, …"""
    plain = re.sub(r'[<>:"/\\|?*\x00-\x1f]', " ", name).strip(" .") or "Project"
    path, number = home / plain, 1
    while path.exists():
        number += 1
        path = home / f"{plain} {number}"
    return path
