"""Every error that loomfolio raises on purpose.

An error here means that the *input* cannot be used. It carries its data and makes its one plain
sentence from them: what is wrong, and what to do. A thing that needs a person is a doubt or a
finding and is returned; a fault of the program is none of these and is never caught below the edge.

The tree::

    LoomfolioError
    ├── FileUnreadableError
    │   ├── LimitExceededError
    │   └── PasswordNeededError
    ├── DocumentError
    │   └── ProjectBusyError
    ├── EditError
    ├── NameNotFoundError
    ├── UsageError
    └── WorkCancelledError
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from pathlib import Path


class LoomfolioError(Exception):
    """The root: `str(error)` is one plain sentence for the person."""


class FileUnreadableError(LoomfolioError):
    """A file that was given is missing, broken, or of a kind that cannot be read."""

    def __init__(self, path: Path, what: str, remedy: str) -> None:
        self.path, self.what, self.remedy = path, what, remedy
        super().__init__(f"{path.name}: {what}; {remedy}.")


class LimitExceededError(FileUnreadableError):
    """A file that is larger than the stated limits; nothing of it was loaded."""


class PasswordNeededError(FileUnreadableError):
    """A protected file that was opened without its password, or with a wrong one."""


class DocumentError(LoomfolioError):
    """A project folder that is missing, damaged, or written by a newer version."""

    def __init__(self, path: Path, what: str, remedy: str) -> None:
        self.path, self.what, self.remedy = path, what, remedy
        super().__init__(f"{path}: {what}; {remedy}.")


class ProjectBusyError(DocumentError):
    """A project that another program holds open for writing."""


class EditError(LoomfolioError):
    """An edit that the document cannot take; the document is unchanged."""


class NameNotFoundError(LoomfolioError):
    """A name that the document does not hold; the nearest valid ones are offered."""

    def __init__(self, kind: str, name: str, known: Iterable[str]) -> None:
        self.kind, self.name = kind, name
        self.nearest = tuple(difflib.get_close_matches(name, sorted(known), n=3, cutoff=0.5))
        hint = f"did you mean {' or '.join(self.nearest)}" if self.nearest else "check the spelling"
        super().__init__(f"There is no {kind} called {name!r}; {hint}.")


class UsageError(LoomfolioError):
    """Words on the command line that do not fit together."""


class WorkCancelledError(LoomfolioError):
    """Long work that the person called off; nothing was changed."""

    def __init__(self) -> None:
        super().__init__("The work was called off; nothing was changed.")
