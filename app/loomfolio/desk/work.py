"""Slow work outside the window's thread: with progress, with cancel, and with late answers dropped.

A job gets frozen records and a `Watch`; what it returns is taken on the window's thread, and only if
no newer job of the same key was started meanwhile and nobody called it off. Sentences for the person
come as `LoomfolioError`; anything else is a fault of the program and goes to the faults' log.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Event
from typing import Any

from PySide6.QtCore import QObject, QRunnable, Qt, QThreadPool, Signal, Slot

from loomfolio.basics import LoomfolioError, WorkCancelledError

SMALLEST_STEP = 0.01
"""Progress is told in steps of one percent, so that a fast loop does not flood the window."""


class Watch:
    """What a job looks at and speaks to while it runs, from its own thread."""

    def __init__(self, tell: Callable[[float], None]) -> None:
        self._called_off = Event()
        self._tell = tell
        self._told = 0.0

    def is_cancelled(self) -> bool:
        """Has the person, or a newer job, called this one off?"""
        return self._called_off.is_set()

    def cancel(self) -> None:
        """Call the job off; it ends at its next look."""
        self._called_off.set()

    def progress(self, share: float) -> None:
        """Say how much is done, 0 to 1."""
        if share - self._told >= SMALLEST_STEP:
            self._told = share
            self._tell(share)


@dataclass(frozen=True, slots=True)
class Job:
    """Something slow: `run` works in a thread, `take` gets its result in the window's."""

    key: str
    title: str
    run: Callable[[Watch], Any]
    take: Callable[[Any], None]
    refused: Callable[[LoomfolioError], None] | None = None
    """Gets an error that the person should hear; without it the sentence goes to `Work.refused`."""


@dataclass(slots=True)
class _Running:
    job: Job
    watch: Watch
    share: float = 0.0


@dataclass(frozen=True, slots=True)
class Standing:
    """How a running job stands."""

    key: str
    title: str
    share: float


@dataclass(frozen=True, slots=True)
class _Ending:
    number: int
    result: Any = None
    error: BaseException | None = field(default=None, compare=False)


class Work(QObject):
    """Runs jobs one after another in a pool of its own."""

    changed = Signal()
    refused = Signal(str)
    _ended = Signal(object)
    _moved = Signal(int, float)

    def __init__(self, parent: QObject | None = None, *, thread_count: int = 1) -> None:
        super().__init__(parent)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(thread_count)
        self._running: dict[int, _Running] = {}
        self._serial = 0
        self._ended.connect(self._end, Qt.ConnectionType.QueuedConnection)
        self._moved.connect(self._move, Qt.ConnectionType.QueuedConnection)

    @property
    def standing(self) -> tuple[Standing, ...]:
        """The jobs that run or wait, oldest first."""
        return tuple(Standing(r.job.key, r.job.title, r.share) for r in self._running.values())

    def start(self, job: Job) -> None:
        """Run a job; one of the same key that still runs or waits is called off."""
        self.cancel(job.key)
        self._serial += 1
        number = self._serial
        watch = Watch(lambda share: self._moved.emit(number, share))
        self._running[number] = _Running(job, watch)
        self._pool.start(_Runnable(number, job, watch, self._ended.emit))
        self.changed.emit()

    def cancel(self, key: str) -> None:
        """Call off what runs or waits under a key; its answer will be dropped."""
        for number in [n for n, running in self._running.items() if running.job.key == key]:
            self._running.pop(number).watch.cancel()
            self.changed.emit()

    def cancel_all(self) -> None:
        """Call everything off."""
        for key in {running.job.key for running in self._running.values()}:
            self.cancel(key)

    def close(self) -> None:
        """Call everything off and wait until the last thread has ended."""
        self.cancel_all()
        self._pool.waitForDone()

    @Slot(int, float)
    def _move(self, number: int, share: float) -> None:
        running = self._running.get(number)
        if running is not None:
            running.share = share
            self.changed.emit()

    @Slot(object)
    def _end(self, ending: _Ending) -> None:
        running = self._running.pop(ending.number, None)
        if running is None:
            return  # called off meanwhile: the answer comes too late
        self.changed.emit()
        job = running.job
        if ending.error is None:
            job.take(ending.result)
        elif isinstance(ending.error, LoomfolioError):
            self._refuse(job, ending.error)
        else:
            fault = ending.error
            sys.excepthook(type(fault), fault, fault.__traceback__)

    def _refuse(self, job: Job, error: LoomfolioError) -> None:
        if isinstance(error, WorkCancelledError):
            return
        if job.refused is not None:
            job.refused(error)
        else:
            self.refused.emit(str(error))


class _Runnable(QRunnable):
    """One job on its way through the pool."""

    def __init__(
        self, number: int, job: Job, watch: Watch, tell: Callable[[_Ending], None]
    ) -> None:
        super().__init__()
        self._number, self._job, self._watch, self._tell = number, job, watch, tell

    def run(self) -> None:
        """Work, and tell how it ended."""
        try:
            if self._watch.is_cancelled():
                raise WorkCancelledError
            ending = _Ending(self._number, self._job.run(self._watch))
        except BaseException as error:  # noqa: BLE001  # the edge of a thread: all goes to `_end`
            ending = _Ending(self._number, error=error)
        self._tell(ending)
