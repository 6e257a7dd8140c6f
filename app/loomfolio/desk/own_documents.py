"""The documents of this very vehicle as a second project beside that of the target: read only, and found again.

::

    folder -> worker: project, readings -> Workbench -> the gaps' vehicle side

Which folder it is stands in the person's settings and not in the project: a path is true on one machine
only, and a project is sent to others. The other project is never changed from here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from loomfolio.basics import UsageError
from loomfolio.desk.asking import Asker
from loomfolio.desk.settings import Settings, projects_home
from loomfolio.desk.steps import Steps, Tell
from loomfolio.desk.work import Job, Work
from loomfolio.desk.workbench import Workbench
from loomfolio.project import Project, ProjectFolder
from loomfolio.reading import Reading, readings_of

ANOTHER = "Take another project"
AGAIN = "Read this one again"
WITHOUT = "Do without: compare two fits of the open project"


@dataclass(frozen=True, eq=False)
class OwnDocuments:
    """The project with this vehicle's own sheets as it was read, and what its sheets show."""

    path: Path
    project: Project
    readings: Mapping[str, Reading]


def read_own_documents(path: Path) -> OwnDocuments:
    """Read a project folder with all its sheets; `LoomfolioError` where it cannot be used."""
    with ProjectFolder.open(path, read_only=True) as folder:
        return OwnDocuments(path, folder.project, readings_of(folder, folder.project))


class OwnSheets:
    """Asks for the vehicle's own project, remembers it, and takes it to the workbench once it is read."""

    def __init__(
        self,
        workbench: Workbench,
        steps: Steps,
        work: Work,
        asker: Asker,
        settings: Settings,
        tell: Tell,
    ) -> None:
        self._workbench, self._steps, self._work = workbench, steps, work
        self._ask, self._settings, self._tell = asker, settings, tell
        self._looked_at: Path | None = None
        workbench.subscribe(lambda *_: self.look())

    @property
    def path(self) -> Path | None:
        """The folder that is remembered for the open project; None where it has no second one."""
        return self._settings.own_documents(self._workbench.path)

    def look(self) -> None:
        """Read what is remembered for a project that has just been opened."""
        if self._workbench.path == self._looked_at:
            return
        self._looked_at = self._workbench.path
        if self.path is not None:
            self._read(self.path)

    def ask(self) -> None:
        """Ask for the project with this vehicle's own sheets, or whether to do without it again."""
        if self.path is None:
            self._choose()
            return
        words = f"Held against {self.path}."
        answer = self._ask.one_of("Own sheets of this vehicle", words, (AGAIN, ANOTHER, WITHOUT))
        if answer == AGAIN:
            self._read(self.path)
        elif answer == ANOTHER:
            self._choose()
        elif answer == WITHOUT:
            self._settings.note_own_documents(self._workbench.path, None)
            self._workbench.take_own_documents(None)
            self._tell("The gaps are again those between two fits of this project.")

    def _choose(self) -> None:
        path = self._ask.folder("Project with this vehicle's own sheets", projects_home())
        if path is not None:
            self._steps.attempt(lambda: self._take(path))

    def _take(self, path: Path) -> None:
        if path.resolve() == self._workbench.path.resolve():
            raise UsageError(
                "This is the project that you have open; to compare two of its own fits name them under Fits."
            )
        self._read(path)

    def _read(self, path: Path) -> None:
        target = self._workbench.path

        def take(own: OwnDocuments) -> None:
            if self._workbench.path == target:
                self._settings.note_own_documents(target, path)
                self._workbench.take_own_documents(own)
                self._tell(self._words(own))

        title = f"Reading the vehicle's own sheets in {path.name}"
        self._work.start(Job("own sheets", title, lambda _: read_own_documents(path), take))

    def _words(self, own: OwnDocuments) -> str:
        fit = own.project.job.vehicle_fit
        side = f"fit {fit} of {own.path.name}" if fit else f"all that {own.path.name} says"
        found = self._workbench.state.job_gaps
        count = len(found.matching.questions) if found is not None else 0
        if not count:
            return f"The gaps are now those against {side}."
        asked = "1 connector is" if count == 1 else f"{count} connectors are"
        return (
            f"The gaps are now those against {side}. {asked} in doubt: Gaps, Connectors in doubt."
        )
