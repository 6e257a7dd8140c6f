"""Decodes pages and builds their pyramids outside the window's thread.

A request never changes what it was made from: it carries the sheet, and its answer is signalled back
with that sheet. The one thread takes the newest request first, since that is what is looked at.
"""

from __future__ import annotations

import logging

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

from loomfolio.basics import LoomfolioError
from loomfolio.desk.table.pyramid import build_pyramid
from loomfolio.desk.table.seams import PixelsSource
from loomfolio.project import Sheet

_log = logging.getLogger(__name__)


class _Answers(QObject):
    """Carries answers from the thread to the window."""

    loaded = Signal(object, object)
    failed = Signal(object, object)


class _Task(QRunnable):
    def __init__(self, sheet: Sheet, source: PixelsSource, answers: _Answers) -> None:
        super().__init__()
        self._sheet, self._source, self._answers = sheet, source, answers

    def run(self) -> None:
        try:
            pyramid = build_pyramid(self._source(self._sheet))
        except Exception as error:  # noqa: BLE001  the edge of a thread: the window reports it
            self._answers.failed.emit(self._sheet, error)
        else:
            self._answers.loaded.emit(self._sheet, pyramid)


class PyramidLoader(QObject):
    """Loads pages on one thread. `loaded(Sheet, Pyramid)` and `failed(Sheet, str)` tell what came."""

    loaded = Signal(object, object)
    failed = Signal(object, str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._answers = _Answers(self)
        self._answers.loaded.connect(self._on_loaded)
        self._answers.failed.connect(self._on_failed)
        self._running: set[str] = set()
        self._count = 0

    def want(self, sheet: Sheet, source: PixelsSource) -> None:
        """Load a sheet, unless that is under way already; the newest wish is served first."""
        key = page_key(sheet)
        if key not in self._running:
            self._running.add(key)
            self._count += 1
            self._pool.start(_Task(sheet, source, self._answers), self._count)

    @property
    def is_idle(self) -> bool:
        """Whether nothing is being loaded or waits for it."""
        return not self._running

    def shut_down(self) -> None:
        """Drop what waits and let what runs come to its end."""
        self._pool.clear()
        self._pool.waitForDone()
        self._running.clear()

    def _on_loaded(self, sheet: Sheet, pyramid: object) -> None:
        self._running.discard(page_key(sheet))
        self.loaded.emit(sheet, pyramid)

    def _on_failed(self, sheet: Sheet, error: Exception) -> None:
        self._running.discard(page_key(sheet))
        if isinstance(error, LoomfolioError):
            sentence = str(error)
        else:
            _log.error("sheet %s could not be shown", sheet.id, exc_info=error)
            sentence = f"{sheet.title}: the page could not be shown; see the log."
        self.failed.emit(sheet, sentence)


def page_key(sheet: Sheet) -> str:
    """Return what tells one page picture from another: a sheet that was moved keeps its picture."""
    return f"{sheet.id}:{sheet.sha256}:{sheet.page}:{sheet.width_px}x{sheet.height_px}"
