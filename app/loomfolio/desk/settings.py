"""What the desk remembers of the person from one start to the next, and where projects are kept."""

from __future__ import annotations

import json
from pathlib import Path
from typing import get_args

from PySide6.QtCore import QByteArray, QSettings, QStandardPaths

from loomfolio.desk.theme import LARGEST_SCALE, SMALLEST_SCALE, ThemeChoice

MOST_RECENT = 10
_CHOICES: tuple[ThemeChoice, ...] = get_args(ThemeChoice)


def projects_home() -> Path:
    """Return the folder in which new projects and copies of the demos are put."""
    documents = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
    return Path(documents or Path.home()) / "loomfolio"


class Settings:
    """A typed view of Qt's settings store; a damaged entry counts as missing."""

    def __init__(self, file: Path | None = None) -> None:
        if file is not None:
            self._store = QSettings(str(file), QSettings.Format.IniFormat)
        else:
            self._store = QSettings(
                QSettings.Format.IniFormat, QSettings.Scope.UserScope, "loomfolio", "desk"
            )

    @property
    def theme(self) -> ThemeChoice:
        """Light, dark, or as the desktop has it."""
        value = self._store.value("look/theme", "system")
        return next((choice for choice in _CHOICES if choice == value), "system")

    @theme.setter
    def theme(self, choice: ThemeChoice) -> None:
        self._store.setValue("look/theme", choice)

    @property
    def scale(self) -> float:
        """The text scale, 1.0 to 2.0."""
        try:
            value = float(str(self._store.value("look/scale", "1.0")))
        except ValueError:
            return SMALLEST_SCALE
        return min(max(value, SMALLEST_SCALE), LARGEST_SCALE)

    @scale.setter
    def scale(self, scale: float) -> None:
        self._store.setValue("look/scale", str(scale))

    @property
    def moves(self) -> bool:
        """Whether the table glides to a place, or jumps."""
        return str(self._store.value("look/moves", "true")).casefold() != "false"

    @moves.setter
    def moves(self, moves: bool) -> None:
        self._store.setValue("look/moves", "true" if moves else "false")

    @property
    def words(self) -> bool:
        """Whether the printed words of sheets are read too."""
        return str(self._store.value("reading/words", "true")).casefold() != "false"

    @words.setter
    def words(self, words: bool) -> None:
        self._store.setValue("reading/words", "true" if words else "false")

    @property
    def recent(self) -> tuple[Path, ...]:
        """The projects opened last, the latest first; those that are gone are left out."""
        value = self._store.value("recent", [])
        names = [value] if isinstance(value, str) else value
        if not isinstance(names, list):
            return ()
        paths = (Path(str(name)) for name in names)
        return tuple(path for path in paths if path.is_dir())

    def note_recent(self, path: Path) -> None:
        """Put a project at the head of the recent ones."""
        others = [known for known in self.recent if known != path]
        self._store.setValue("recent", [str(p) for p in [path, *others][:MOST_RECENT]])

    def own_documents(self, project: Path) -> Path | None:
        """Return the project with the vehicle's own sheets that a project is held against, if there is one."""
        found = self._own_documents().get(str(project))
        return Path(found) if found else None

    def note_own_documents(self, project: Path, own: Path | None) -> None:
        """Remember, or forget, the project with the vehicle's own sheets."""
        kept = {name: path for name, path in self._own_documents().items() if name != str(project)}
        if own is not None:
            kept[str(project)] = str(own)
        self._store.setValue("vehicle/documents", json.dumps(kept))

    def _own_documents(self) -> dict[str, str]:
        try:
            kept = json.loads(str(self._store.value("vehicle/documents", "{}")))
        except ValueError:
            return {}
        return {str(n): str(p) for n, p in kept.items()} if isinstance(kept, dict) else {}

    @property
    def geometry(self) -> QByteArray:
        """Where the window was."""
        value = self._store.value("window/geometry", QByteArray())
        return value if isinstance(value, QByteArray) else QByteArray()

    @geometry.setter
    def geometry(self, geometry: QByteArray) -> None:
        self._store.setValue("window/geometry", geometry)
