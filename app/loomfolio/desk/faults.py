"""What happens when something goes wrong in a callback: one sentence, a log file, and on it goes.

A `LoomfolioError` says itself what is wrong with the input. Anything else is a fault of the program:
the work is saved, the traceback goes to the log, and the person reads one sentence that names the file.
"""

from __future__ import annotations

import logging
import sys
from collections.abc import Callable
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QStandardPaths

from loomfolio.basics import LoomfolioError

LOG_BYTES = 1_000_000
_log = logging.getLogger("loomfolio.desk")

Hook = Callable[[type[BaseException], BaseException, TracebackType | None], object]


def log_path() -> Path:
    """Return the file that faults are written to."""
    folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppDataLocation)
    return Path(folder) / "loomfolio.log"


class Faults:
    """Catches what callbacks let through, from `install` to `remove`."""

    def __init__(self, tell: Callable[[str], None], save: Callable[[], None]) -> None:
        self._tell, self._save = tell, save
        self._before: Hook | None = None
        self._handler: logging.Handler | None = None

    def install(self) -> None:
        """Begin to catch, and to write to the log file."""
        path = log_path()
        path.parent.mkdir(parents=True, exist_ok=True)
        self._handler = RotatingFileHandler(
            path, maxBytes=LOG_BYTES, backupCount=1, encoding="utf-8", delay=True
        )
        self._handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
        _log.addHandler(self._handler)
        self._before = sys.excepthook
        sys.excepthook = self.caught

    def remove(self) -> None:
        """Stop catching."""
        if self._before is not None:
            sys.excepthook = self._before
            self._before = None
        if self._handler is not None:
            _log.removeHandler(self._handler)
            self._handler.close()
            self._handler = None

    def caught(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        """Tell, save and go on; only being told to stop stops the program."""
        if issubclass(kind, KeyboardInterrupt | SystemExit):
            sys.__excepthook__(kind, error, trace)
            return
        if isinstance(error, LoomfolioError):
            self._tell(str(error))
            return
        _log.error("A fault in the program", exc_info=(kind, error, trace))
        self._tell(f"Something went wrong in the program; {self._saved()} See {log_path()}.")

    def _saved(self) -> str:
        try:
            self._save()
        except (LoomfolioError, OSError) as error:
            _log.exception("Saving after a fault failed")
            return f"your edits are in the journal, but saving failed ({error})."
        return "your work is saved."
