"""Which project a start opens: the one named, a new one for sheets, the last one, or a demo.

A demo is copied to the person's own folder first, so that what was installed stays as it is.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from loomfolio.basics import DocumentError, demo_projects_path
from loomfolio.desk.arrivals import PROJECT_FILE, free_folder, sorted_out
from loomfolio.project import Project, ProjectFolder, Session, unpack

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
    return Start(Session.open(copy), (), own_copy(copy))


def own_copy(copy: Path) -> str:
    """Return the sentence that says what one has open."""
    return f"This is your own copy of the demo, in {copy}; change in it what you like."


def demo_path() -> Path | None:
    """Return the first demo project; None where none is installed."""
    return next(iter(demo_paths()), None)


def demo_paths() -> tuple[Path, ...]:
    """Return the demo projects that are installed, the first one first."""
    folder = demo_projects_path()
    if not folder.is_dir():
        return ()
    demos = [path for path in sorted(folder.iterdir()) if (path / PROJECT_FILE).is_file()]
    return tuple(sorted(demos, key=lambda path: path.name != FIRST_DEMO))


@dataclass(frozen=True, slots=True)
class DemoDoor:
    """One way into a demo: the copy that the person has already, or a new one."""

    words: str
    demo: Path
    copy: Path | None


def demo_doors(home: Path) -> tuple[DemoDoor, ...]:
    """Return the ways into the demos: for each a copy made anew, after the one that is there already."""
    doors: list[DemoDoor] = []
    for demo in demo_paths():
        with ProjectFolder.open(demo, read_only=True) as folder:
            title = folder.project.job.title or demo.name
        known = home / demo.name
        if (known / PROJECT_FILE).is_file():
            doors.append(DemoDoor(f"{title}: go on with your copy", demo, known))
        doors.append(DemoDoor(f"{title}: from the beginning", demo, None))
    return tuple(doors)


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
