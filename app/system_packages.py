"""Libraries of the system that no wheel brings: which are missing, and the command that adds them.

Only on Linux is anything ever missing. A person is told the exact command in one sentence; as root
on Debian without a terminal (a container, a build machine) the command is carried out.

The tables hold the library names that the ELF headers of PySide6 6.11's own libraries ask for and
that PySide6 does not bring (`readelf -d`, entries NEEDED; libQt6Core, Gui, DBus, Widgets, Svg,
OpenGL, PrintSupport, and the platform plug-ins), without those of a minimal Debian, each with the
Debian 12 package that holds it.
"""

from __future__ import annotations

import ctypes
import os
import shutil
import subprocess
import sys
from collections.abc import Iterable, Sequence

_QT_ALWAYS = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libX11.so.6": "libx11-6",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libxkbcommon.so.0": "libxkbcommon0",
}
_QT_ON_X11 = {
    "libX11-xcb.so.1": "libx11-xcb1",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-render.so.0": "libxcb-render0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-shm.so.0": "libxcb-shm0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-util.so.1": "libxcb-util1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
_QT_ON_WAYLAND = {
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-cursor.so.0": "libwayland-cursor0",
}


class SetUpError(Exception):
    """Setting up cannot go on: `str(error)` is one plain sentence without its full stop."""


def require_qt() -> None:
    """See to it that Qt finds its libraries: those it always needs, and those of the screen here.

    Raises
    ------
    SetUpError
        When some are missing and may not be installed from here.
    """
    if not sys.platform.startswith("linux"):
        return
    missing = _missing(_QT_ALWAYS) | _missing_for_screen()
    if missing:
        why = f"Qt needs {_listed(missing)} from the system"
        require_packages(sorted(set(missing.values())), why)
        left = _missing(_QT_ALWAYS) | _missing_for_screen()
        if left:
            raise SetUpError(f"Qt still does not find {_listed(left)}")


def require_packages(packages: Sequence[str], why: str) -> None:
    """Install packages of the system if nobody is there to be asked, else say how it is done.

    Raises
    ------
    SetUpError
        With `why` and the exact command.
    """
    command = ["apt-get", "install", "-y", "--no-install-recommends", *packages]
    if sys.platform == "win32" or not shutil.which("apt-get"):
        raise SetUpError(
            f"{why}; install it with this system's package manager"
            f" (the packages are called {' '.join(packages)} on Debian) and start again"
        )
    is_root = os.geteuid() == 0
    if not is_root or (sys.stdin is not None and sys.stdin.isatty()):
        sudo = "" if is_root else "sudo "
        raise SetUpError(f"{why}; run `{sudo}{' '.join(command)}` and start again")
    sys.stderr.write(f"loomfolio: {why}; running: {' '.join(command)}\n")
    _run_apt(["apt-get", "update"], why)
    _run_apt(command, why)


def _listed(names: Iterable[str]) -> str:
    *others, last = sorted(names)
    return f"{', '.join(others)} and {last}" if others else last


def _run_apt(command: Sequence[str], why: str) -> None:
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    done = subprocess.run(
        [command[0], "-o", "DPkg::Lock::Timeout=300", *command[1:]],
        env=environment,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        *_, last = ["no reason given", *done.stderr.strip().splitlines()]
        raise SetUpError(f"{why}; {' '.join(command)} failed ({last})")


def _missing(libraries: dict[str, str]) -> dict[str, str]:
    """Return the libraries that the system's loader does not find, with their packages."""
    return {name: package for name, package in libraries.items() if not _can_load(name)}


def _can_load(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def _missing_for_screen() -> dict[str, str]:
    """Return what the nearest to usable of this machine's screens lacks; nothing without one."""
    if os.environ.get("QT_QPA_PLATFORM"):
        return {}
    screens = {"DISPLAY": _QT_ON_X11, "WAYLAND_DISPLAY": _QT_ON_WAYLAND}
    lacks = [_missing(table) for name, table in screens.items() if os.environ.get(name)]
    return min(lacks, key=len, default={})
