"""A sitting at one project: the folder on disk and the history together.

Each edit goes to the journal first, then into the history, then to whoever listens. Undo and redo are
edits for the journal. Listeners get the document before and after, and the title; what differs
they find with `compare`.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from types import TracebackType
from typing import Self, TypeAlias

from loomfolio.project.folder import ProjectFolder
from loomfolio.project.history import History
from loomfolio.project.models import Project

Listener: TypeAlias = Callable[[Project, Project, str], None]
"""Called after each edit with the document before, the document after, and the title."""


class Session:
    """An open project that can be edited, undone and redone."""

    def __init__(self, folder: ProjectFolder) -> None:
        """Take over an open folder, which `close` closes; use `open` or `create`."""
        self._folder = folder
        self._history = History(folder.project)
        self._listeners: list[Listener] = []

    @classmethod
    def open(cls, path: Path, *, read_only: bool = False) -> Self:
        """Open a project folder; read-only where another program holds it (see `ProjectFolder.open`)."""
        return cls(ProjectFolder.open(path, read_only=read_only))

    @classmethod
    def create(cls, path: Path, project: Project) -> Self:
        """Make a new project folder and open it."""
        return cls(ProjectFolder.create(path, project))

    @property
    def folder(self) -> ProjectFolder:
        """The folder on disk."""
        return self._folder

    @property
    def path(self) -> Path:
        """The path of the folder."""
        return self._folder.path

    @property
    def project(self) -> Project:
        """The document as it stands."""
        return self._history.current

    @property
    def notes(self) -> tuple[str, ...]:
        """What the person should know about how the folder was opened, one sentence each."""
        return self._folder.notes

    @property
    def is_read_only(self) -> bool:
        """True where edits are refused."""
        return self._folder.is_read_only

    @property
    def read_only_reason(self) -> str:
        """Why edits are refused, in one sentence; empty where they are not."""
        return self._folder.read_only_reason

    @property
    def is_saved(self) -> bool:
        """True where project.json holds every edit; the journal holds them in any case."""
        return self._folder.is_saved

    @property
    def can_undo(self) -> bool:
        """True where there is an edit to take back."""
        return self._history.can_undo and not self.is_read_only

    @property
    def can_redo(self) -> bool:
        """True where there is an edit to make again."""
        return self._history.can_redo and not self.is_read_only

    @property
    def undo_title(self) -> str:
        """The title of the edit that undo would take back; empty where there is none."""
        return self._history.undo_title

    @property
    def redo_title(self) -> str:
        """The title of the edit that redo would make again; empty where there is none."""
        return self._history.redo_title

    def subscribe(self, listener: Listener) -> Callable[[], None]:
        """Call `listener` after each edit, undo and redo; what comes back ends that."""
        self._listeners.append(listener)

        def unsubscribe() -> None:
            if listener in self._listeners:
                self._listeners.remove(listener)

        return unsubscribe

    def do(self, title: str, project: Project) -> None:
        """Make `project` the document, as one step with a title; nothing happens where it is the same.

        Raises
        ------
        EditError, DocumentError
            The edit cannot be kept or written; nothing was changed.
        """
        before = self.project
        if project == before:
            return
        self._folder.commit(title, project)
        self._history.do(title, project)
        self._tell(before, title)

    def undo(self) -> None:
        """Take the last edit back; `EditError` where there is none."""
        before, title = self.project, f"Undo: {self._history.undo_title}"
        self._folder.commit(title, self._history.before)
        self._history.undo()
        self._tell(before, title)

    def redo(self) -> None:
        """Make the edit again that was taken back last; `EditError` where there is none."""
        before, title = self.project, f"Redo: {self._history.redo_title}"
        self._folder.commit(title, self._history.after)
        self._history.redo()
        self._tell(before, title)

    def _tell(self, before: Project, title: str) -> None:
        for listener in tuple(self._listeners):
            listener(before, self.project, title)

    def save(self) -> None:
        """Write project.json anew. No edit waits for this: each is in the journal already."""
        self._folder.checkpoint()

    def save_as(self, path: Path) -> None:
        """Write the project to a new folder, with its files, and go on there; undo keeps its length.

        The folder left behind keeps every edit made so far.
        """
        left = self._folder
        self._folder = ProjectFolder.create(path, self.project, files_of=left.path)
        left.close()

    def close(self) -> None:
        """Write project.json where edits are not in it yet, and let another program have the folder."""
        self._folder.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()
