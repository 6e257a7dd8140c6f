"""Which project a start opens: the one named, a new one for sheets, the last one, or the demo.

The demo is copied to the person's own folder first, so that what was installed stays as it is.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from loomfolio.basics import DocumentError, demo_projects_path
from loomfolio.desk.arrivals import PROJECT_FILE, free_folder, sorted_out
from loomfolio.project import Project, Session, unpack

FIRST_DEMO = "parcel_van_towing"
_LEFT_BEHIND = shutil.ignore_patterns("cache", "*.lock", ".lock", "*.part")


@dataclass(frozen=True, slots=True)
class Start:
    """An open session, sheets that are to be brought into it, and what the person should know."""

    session: Session
    sheets: tuple[Path, ...] = ()
    sentence: str = ""


def start_with(paths: Sequence[Path], home: Path) -> Start:
    """Open what was named on the command line; `LoomfolioError` where it cannot be used."""
    found = sorted_out(paths)
    if found.projects:
        return _opened(found.projects[0], found.sheets)
    if found.packed:
        folder = free_folder(home, found.packed[0].stem)
        unpack(found.packed[0], folder)
        start = _opened(folder, found.sheets)
        return Start(start.session, start.sheets, f"Unpacked into {folder}.")
    folder = free_folder(home, found.sheets[0].stem)
    session = Session.create(folder, Project())
    return Start(session, found.sheets, f"This is a new project in {folder}.")


def start_anew(recent: Sequence[Path], home: Path) -> Start:
    """Open the last project, at the first start a copy of the demo, without one an empty project."""
    for path in recent[:1]:
        try:
            return _opened(path, ())
        except DocumentError:
            break  # it cannot be opened any more: the demo still can
    demo = demo_path()
    if demo is None:
        folder = free_folder(home, "New project")
        return Start(Session.create(folder, Project()), (), f"This is a new project in {folder}.")
    copy = home / demo.name
    if not (copy / PROJECT_FILE).is_file():
        copy = copy_of_demo(demo, home)
    sentence = f"This is your own copy of the demo, in {copy}; change in it what you like."
    return Start(Session.open(copy), (), sentence)


def demo_path() -> Path | None:
    """Return the first demo project; None where none is installed."""
    folder = demo_projects_path()
    if not folder.is_dir():
        return None
    demos = [path for path in sorted(folder.iterdir()) if (path / PROJECT_FILE).is_file()]
    demos.sort(key=lambda path: path.name != FIRST_DEMO)
    return demos[0] if demos else None


def copy_of_demo(demo: Path, home: Path) -> Path:
    """Copy a demo project into a free folder under `home`, wholly or not at all."""
    home.mkdir(parents=True, exist_ok=True)
    target = free_folder(home, demo.name)
    with tempfile.TemporaryDirectory(dir=home, prefix=".copying ") as room:
        beside = Path(room) / demo.name
        shutil.copytree(demo, beside, ignore=_LEFT_BEHIND)
        beside.rename(target)
    return target


def _opened(path: Path, sheets: tuple[Path, ...]) -> Start:
    session = Session.open(path)
    return Start(session, sheets, " ".join(session.notes))
