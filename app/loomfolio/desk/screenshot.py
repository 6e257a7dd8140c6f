"""A picture of the real window on a project: `python -m loomfolio.desk.screenshot OUT.png [PROJECT]`.

Drawn without a display, on a copy of the project, once everything has been read. `--dark`, `--ratio 2`
and `--follow PIN` or `--gap N` say how; without a pin the way with the most kinds of pieces is followed.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from loomfolio.basics import LoomfolioError, UsageError

if TYPE_CHECKING:
    from loomfolio.desk.window import DeskWindow

WIDTH_PX, HEIGHT_PX = 1600, 1000
MOST_PIECES = 13
"""As many pieces of a way as the strip shows at once in a picture of this width."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Draw the picture and return the exit status."""
    parsed = _parser().parse_args(arguments)
    try:
        screenshot(
            parsed.out,
            parsed.project,
            pin=parsed.follow,
            is_dark=parsed.dark,
            ratio=parsed.ratio,
            gap=parsed.gap,
        )
    except LoomfolioError as error:
        print(error, file=sys.stderr)  # noqa: T201 - a shell command prints
        return 2
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m loomfolio.desk.screenshot")
    parser.add_argument("out", type=Path, metavar="OUT.png")
    parser.add_argument("project", type=Path, nargs="?", metavar="PROJECT")
    parser.add_argument("--dark", action="store_true", help="in the dark theme")
    parser.add_argument("--ratio", type=float, default=1.0, help="device px per px, such as 2")
    parser.add_argument("--follow", metavar="PIN", help="the pin to follow")
    parser.add_argument("--gap", type=int, metavar="N", help="go to the Nth open gap instead")
    return parser


def screenshot(
    out: Path,
    project: Path | None = None,
    *,
    pin: str | None = None,
    is_dark: bool = False,
    ratio: float = 1.0,
    gap: int | None = None,
) -> None:
    """Draw the window on a project, by default the demo, into a PNG file; in a process without a window.

    Raises
    ------
    UsageError
        There is no such project, or the file cannot be written.
    """
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    os.environ["QT_SCALE_FACTOR"] = str(ratio)
    from PySide6.QtCore import QEvent
    from PySide6.QtWidgets import QApplication

    from loomfolio.desk.settings import Settings
    from loomfolio.desk.starting import copy_of_demo, demo_path
    from loomfolio.desk.window import DeskWindow
    from loomfolio.project import Session

    source = project or demo_path()
    if source is None:
        raise UsageError("No demo project is installed; name a project folder.")
    known = QApplication.instance()
    application = known if isinstance(known, QApplication) else QApplication(["loomfolio"])
    application.setApplicationName("loomfolio")
    with tempfile.TemporaryDirectory() as room:
        settings = Settings(Path(room) / "desk.ini")
        settings.theme = "dark" if is_dark else "light"
        settings.moves = False
        settings.words = False
        window = DeskWindow(Session.open(copy_of_demo(source, Path(room))), settings)
        try:
            _draw_window(window, out, pin, gap)
        finally:
            window.close()
            window.deleteLater()
            application.sendPostedEvents(window, QEvent.Type.DeferredDelete)


def _draw_window(window: DeskWindow, out: Path, pin: str | None, gap: int | None) -> None:
    window.resize(WIDTH_PX, HEIGHT_PX)
    window.show()
    wait_until(lambda: not window.work.standing)
    if gap is None:
        _follow(window, pin)
    else:
        for _ in range(gap):
            window.gaps.next()
    let_pages_come(window)
    if not window.grab().save(str(out)):
        raise UsageError(f"{out} cannot be written; choose another place.")


def wait_until(is_so: Callable[[], bool]) -> None:
    """Let Qt work until something is so; Qt itself wakes us at each event."""
    from PySide6.QtCore import QCoreApplication, QEventLoop

    while not is_so():
        QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
    QCoreApplication.processEvents()


def let_pages_come(window: DeskWindow) -> None:
    """Paint, and wait for the pages that painting asks for, until it asks for none."""
    from PySide6.QtCore import QCoreApplication, QThreadPool

    pools = window.table.findChildren(QThreadPool)
    is_asking = True
    while is_asking:
        window.grab()
        is_asking = any(pool.activeThreadCount() for pool in pools)
        for pool in pools:
            pool.waitForDone()
        QCoreApplication.processEvents()


def _follow(window: DeskWindow, pin: str | None) -> None:
    from loomfolio.project import find_pin

    if pin is not None:
        window.ways.follow(find_pin(window.workbench.project, pin))
        return
    state = window.workbench.state
    starts = dict.fromkeys(row.a for row in state.rows if state.is_net_in_scope(row.net))
    best, number, most = None, 0, 0
    for start in starts:
        for place, way in enumerate(window.workbench.follow(start).ways):
            kinds = len({step.what for step in way.steps})
            if len(way.steps) <= MOST_PIECES and kinds > most and way.open_pieces:
                best, number, most = start, place, kinds
    if best is not None:
        window.ways.follow(best)
        window.ways.choose_way(number)
        window.ways.go_on()
        window.table.fit_selection()


if __name__ == "__main__":
    sys.exit(main())
