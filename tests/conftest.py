"""What holds for every test: no screen, home folder or network, nothing unexpected, nothing left.

A test fails on a warning of Python's (see pyproject.toml), on a warning of Qt's, on a log line of
level warning that it did not ask `caplog` for, and on a thread or window that it leaves alive.
"""

from __future__ import annotations

import logging
import os
import socket
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

os.environ["QT_QPA_PLATFORM"] = "offscreen"

# `quick` gives every run the same examples; `--hypothesis-profile=deep` looks for new ones.
settings.register_profile("quick", deadline=None, derandomize=True, database=None, max_examples=60)
settings.register_profile("deep", deadline=None, max_examples=2000, print_blob=True)
settings.load_profile("quick")

# Everything below which a program looks for what belongs to the person.
_HOMES = (
    *("HOME", "USERPROFILE", "APPDATA", "LOCALAPPDATA"),
    *("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_STATE_HOME"),
)
# A worker that was told to stop is waited for as long as this before it counts as left behind.
_LAST_WORDS_S = 20.0
# Windows that Qt itself makes once and keeps.
_WINDOWS_OF_QT = {"QTipLabel"}


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """In a plain run, execute of each benchmark only its smallest size."""
    if config.getoption("benchmark_enable"):
        return
    larger = [item for item in items if item.get_closest_marker("larger")]
    if larger:
        config.hook.pytest_deselected(items=larger)
        items[:] = [item for item in items if item not in larger]


@pytest.fixture(autouse=True)
def own_home(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty home folder for each test, for Qt's settings too."""
    home = tmp_path_factory.mktemp("home")
    for name in _HOMES:
        monkeypatch.setenv(name, str(home))
    if "PySide6.QtCore" in sys.modules:
        from PySide6.QtCore import QSettings

        for form in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
            QSettings.setPath(form, QSettings.Scope.UserScope, str(home))
    return home


@pytest.fixture(autouse=True)
def no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let no test reach beyond this machine's own pipes."""
    connect = socket.socket.connect

    def refuse(self: socket.socket, address: Any) -> None:
        if self.family in {socket.AF_INET, socket.AF_INET6}:
            self.close()
            pytest.fail(f"the test reaches for the network: {address}")
        connect(self, address)

    monkeypatch.setattr(socket.socket, "connect", refuse)


class _Listener(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.heard: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.heard.append(f"{record.levelname} {record.name}: {record.getMessage()}")


@pytest.fixture(autouse=True)
def quiet_log(request: pytest.FixtureRequest) -> Iterator[None]:
    """Fail on a logged warning, unless the test takes `caplog` and so looks at it itself."""
    listener = _Listener()
    logging.getLogger().addHandler(listener)
    yield
    logging.getLogger().removeHandler(listener)
    if "caplog" not in request.fixturenames:
        assert not listener.heard, "the test logs what it did not ask for"


@pytest.fixture(autouse=True)
def nothing_left_alive(own_home: Path) -> Iterator[None]:
    """Fail if a thread that the test started, or a window, is still there after it."""
    before = set(threading.enumerate())
    yield
    started = set(threading.enumerate()) - before
    windows = _end_of_qt() if "PySide6.QtWidgets" in sys.modules else []
    for thread in started:
        thread.join(_LAST_WORDS_S)
    threads = [thread.name for thread in started if thread.is_alive()]
    assert not threads, "threads are still running"
    assert not windows, "windows are still there"


def _end_of_qt() -> list[str]:
    """Wait for Qt's workers, delete what is due, then remove and return the windows that remain."""
    import gc

    from PySide6.QtCore import QCoreApplication, QEvent, QThreadPool
    from PySide6.QtWidgets import QApplication

    if QApplication.instance() is None:
        return []
    assert QThreadPool.globalInstance().waitForDone(int(_LAST_WORDS_S * 1000)), "Qt's pool works on"
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    if _open_windows():
        gc.collect()  # those that only a ring of references held
    left = _open_windows()
    names = [f"{type(window).__name__} {window.objectName()!r}" for window in left]
    for window in left:
        window.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    return names


def _open_windows() -> list[QWidget]:
    from PySide6.QtWidgets import QApplication

    windows = QApplication.topLevelWidgets()
    return [w for w in windows if w.metaObject().className() not in _WINDOWS_OF_QT]
