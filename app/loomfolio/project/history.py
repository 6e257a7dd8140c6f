"""Undo and redo of any length: the list of earlier and later documents.

Documents are immutable and share what did not change, so a step costs little more than the list that it touched.
"""

from __future__ import annotations

from typing import NamedTuple

from loomfolio.basics import EditError
from loomfolio.project.models import Project


class _Step(NamedTuple):
    title: str
    project: Project
    """The document on the other side of the step."""


class History:
    """The document as it stands, and the steps that led and lead away from it."""

    def __init__(self, project: Project) -> None:
        self._current = project
        self._done: list[_Step] = []
        self._undone: list[_Step] = []

    @property
    def current(self) -> Project:
        """The document as it stands."""
        return self._current

    @property
    def can_undo(self) -> bool:
        """True where there is a step to take back."""
        return bool(self._done)

    @property
    def can_redo(self) -> bool:
        """True where there is a step to make again."""
        return bool(self._undone)

    @property
    def undo_title(self) -> str:
        """The title of the step that undo would take back; empty where there is none."""
        return self._done[-1].title if self._done else ""

    @property
    def redo_title(self) -> str:
        """The title of the step that redo would make again; empty where there is none."""
        return self._undone[-1].title if self._undone else ""

    @property
    def before(self) -> Project:
        """The document that undo would lead to; `EditError` where there is none."""
        if not self._done:
            raise EditError("There is nothing to undo.")
        return self._done[-1].project

    @property
    def after(self) -> Project:
        """The document that redo would lead to; `EditError` where there is none."""
        if not self._undone:
            raise EditError("There is nothing to redo.")
        return self._undone[-1].project

    def do(self, title: str, project: Project) -> None:
        """Make `project` the current document. What was undone before can no longer be redone."""
        self._done.append(_Step(title, self._current))
        self._undone.clear()
        self._current = project

    def undo(self) -> Project:
        """Go one step back and return the document there; `EditError` where there is none."""
        project = self.before
        self._undone.append(_Step(self._done.pop().title, self._current))
        self._current = project
        return project

    def redo(self) -> Project:
        """Go one step forward again and return the document there; `EditError` where there is none."""
        project = self.after
        self._done.append(_Step(self._undone.pop().title, self._current))
        self._current = project
        return project
