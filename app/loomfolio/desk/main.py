"""Starting the desk. Qt is imported only once it is known that there is a display to show it on."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from loomfolio.basics import LoomfolioError, UsageError

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from loomfolio.desk.window import DeskWindow

MAIN_JOB = "python3 app sheet demo_projects/parcel_van_towing -o out"


def run_desk(argv: Sequence[str]) -> int:
    """Open the window and return its exit status.

    Parameters
    ----------
    argv
        A project folder, a packed project, or pictures and PDF files; nothing opens the last
        project, and at the first start a copy of the demo.

    Raises
    ------
    LoomfolioError
        There is no display, Qt cannot be loaded, or what was named cannot be opened.
    """
    if not has_display():
        raise UsageError(f"There is no display to show the desk on; without one: {MAIN_JOB}")
    application = _application()
    window = open_window([Path(word) for word in argv])
    from loomfolio.desk.faults import Faults

    faults = Faults(lambda s: window.frame.notices.tell(s, "stop"), window.workbench.session.save)
    faults.install()
    try:
        window.show()
        return application.exec()
    finally:
        faults.remove()


def has_display() -> bool:
    """Is there something to show a window on? Outside Linux there always is."""
    if not sys.platform.startswith("linux"):
        return True
    named = (os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"))
    return any(named)


def open_window(paths: Sequence[Path]) -> DeskWindow:
    """Open the session that the words ask for, and make its window, not shown yet."""
    from loomfolio.desk.settings import Settings, projects_home
    from loomfolio.desk.starting import start_anew, start_with
    from loomfolio.desk.window import DeskWindow

    settings = Settings()
    home = projects_home()
    start = start_with(paths, home) if paths else start_anew(settings.recent, home)
    settings.note_recent(start.session.path)
    window = DeskWindow(start.session, settings)
    window.restoreGeometry(settings.geometry)
    if start.sentence:
        window.tell(start.sentence)
    if start.sheets:
        window.files.take(start.sheets)
    return window


def _application() -> QApplication:
    try:
        from PySide6.QtWidgets import QApplication
    except ImportError as error:
        raise LoomfolioError(
            f"Qt cannot be loaded ({error}); install what it names, or without the desk: {MAIN_JOB}"
        ) from error
    QApplication.setApplicationName("loomfolio")
    QApplication.setOrganizationName("")
    QApplication.setDesktopFileName("loomfolio")
    known = QApplication.instance()
    return known if isinstance(known, QApplication) else QApplication(["loomfolio"])
