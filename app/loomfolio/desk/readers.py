"""Keeping the readings of all sheets up to date: which are missing or stale, read in a worker.

A reading depends on the sheet's file, its resolution and the bodies marked on it; when one of these
changes the sheet is read again, and until then the earlier reading stands.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from loomfolio.basics import PxBox
from loomfolio.desk.ledgers.lines import SheetProgress
from loomfolio.desk.work import Job, Watch, Work
from loomfolio.desk.workbench import Workbench
from loomfolio.project import Project, ProjectFolder, Sheet
from loomfolio.reading import (
    Reading,
    Text,
    bodies_of,
    cached_reading,
    cached_words,
    read_sheet,
    read_sheet_words,
)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a reading is made from; two that are equal give the same reading."""

    sheet: str
    sha256: str
    page: int
    x_dpi: float
    bodies: tuple[PxBox, ...]


def wanted_readings(project: Project) -> dict[str, Wanted]:
    """Return what is to be read, by sheet id: circuit sheets on which reading is switched on."""
    return {
        sheet.id: Wanted(sheet.id, sheet.sha256, sheet.page, sheet.x_dpi, bodies_of(project, sheet))
        for sheet in project.sheets
        if sheet.is_read and sheet.kind == "circuit"
    }


class Readers:
    """Starts the reading of sheets whose reading is missing or stale."""

    def __init__(
        self, workbench: Workbench, work: Work, wants_words: Callable[[], bool] = lambda: True
    ) -> None:
        self._workbench, self._work, self._wants_words = workbench, work, wants_words
        self._begun: dict[str, Wanted] = {}
        self._folder: ProjectFolder | None = None
        self._called_off: set[str] = set()
        self._words: dict[str, tuple[Text, ...]] = {}
        workbench.subscribe(lambda *_: self.look())

    def progress(self) -> Mapping[str, SheetProgress]:
        """Return the sheets that are being read."""
        keys = {standing.key for standing in self._work.standing}
        return {sheet: "reading" for sheet in self._begun if _key(sheet) in keys}

    def look(self) -> None:
        """Start whatever is missing; what the folder keeps comes first, all at once."""
        folder, project = self._workbench.session.folder, self._workbench.project
        wanted = wanted_readings(project)
        if folder is not self._folder:
            self._folder, self._called_off, self._begun = folder, set(), wanted
            self._words = {}
            self._take_kept(folder, project)
            return
        fresh = [
            project.sheet(sheet)
            for sheet, want in wanted.items()
            if self._begun.get(sheet) != want and sheet not in self._called_off
        ]
        self._begun.update({sheet.id: wanted[sheet.id] for sheet in fresh})
        for sheet in fresh:
            self._read(folder, sheet, wanted[sheet.id].bodies)

    def _take_kept(self, folder: ProjectFolder, project: Project) -> None:
        def take(kept: dict[str, Reading]) -> None:
            if folder is not self._workbench.session.folder:
                return
            self._begun = {sheet: self._begun[sheet] for sheet in kept}
            self._words = {sheet: one.texts for sheet, one in kept.items() if one.texts}
            self._workbench.take_readings(kept)
            for sheet, reading in kept.items():
                self._recognise(folder, project.sheet(sheet), reading)
            self.look()

        title = "Looking up what was read"
        self._work.start(Job("kept", title, lambda _: kept_readings(folder, project), take))

    def call_off(self) -> None:
        """Stop reading; sheets not read yet wait until the person asks again."""
        self._called_off |= set(self.progress())
        for sheet in self._called_off:
            self._work.cancel(_key(sheet))

    def read_again(self) -> None:
        """Read what was called off."""
        for sheet in self._called_off:
            self._begun.pop(sheet, None)
        self._called_off = set()
        self.look()

    def read_words(self) -> None:
        """Read the printed words of the sheets whose lines are read already."""
        project = self._workbench.project
        for sheet, reading in self._workbench.state.readings.items():
            self._recognise(self._workbench.session.folder, project.sheet(sheet), reading)

    def _read(self, folder: ProjectFolder, sheet: Sheet, bodies: tuple[PxBox, ...]) -> None:
        def run(watch: Watch) -> Reading:
            return read_sheet(
                folder, sheet, bodies, cancelled=watch.is_cancelled, progress=watch.progress
            )

        def take(reading: Reading) -> None:
            known = self._words.get(sheet.id, reading.texts)
            self._workbench.take_readings({sheet.id: _with_words(reading, known)})
            self._recognise(folder, sheet, reading)

        self._work.start(Job(_key(sheet.id), f"Reading {sheet.title}", run, take))

    def _recognise(self, folder: ProjectFolder, sheet: Sheet, reading: Reading) -> None:
        """Recognise the words of a sheet whose lines are read; each sheet's once."""
        if sheet.id in self._words or not self._wants_words():
            return
        self._words[sheet.id] = reading.texts

        def run(watch: Watch) -> tuple[Text, ...]:
            return read_sheet_words(folder, sheet, reading, cancelled=watch.is_cancelled)

        def take(words: tuple[Text, ...]) -> None:
            if folder is not self._workbench.session.folder:
                return
            self._words[sheet.id] = words
            now = self._workbench.state.readings.get(sheet.id)
            if now is not None and now.texts != words:
                self._workbench.take_readings({sheet.id: _with_words(now, words)})

        title = f"Reading the words of {sheet.title}"
        # A page that cannot be read was told when its lines were; twice says nothing more.
        self._work.start(Job(f"words {sheet.id}", title, run, take, refused=lambda _: None))


def _with_words(reading: Reading, words: tuple[Text, ...]) -> Reading:
    return reading if reading.texts == words else reading.model_copy(update={"texts": words})


def kept_readings(folder: ProjectFolder, project: Project) -> dict[str, Reading]:
    """Return the readings that the folder's cache holds, by sheet id."""
    kept: dict[str, Reading] = {}
    for sheet in project.sheets:
        if sheet.is_read and sheet.kind == "circuit":
            reading = cached_reading(folder, sheet, bodies_of(project, sheet))
            if reading is not None:
                words = cached_words(folder, sheet)
                kept[sheet.id] = reading if words is None else _with_words(reading, words)
    return kept


def _key(sheet: str) -> str:
    return f"reading {sheet}"
