"""Projects and files: open, new, save as, pack, sheets coming in, and what goes out."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from loomfolio.basics import FileUnreadableError, LoomfolioError, PasswordNeededError, UsageError
from loomfolio.desk.arrivals import Arrivals, free_folder, sorted_out
from loomfolio.desk.asking import Asker
from loomfolio.desk.derived import Derived
from loomfolio.desk.dialogs.dates import today
from loomfolio.desk.settings import Settings, projects_home
from loomfolio.desk.sheet_arrival import Arrived, check_in, lay_down, on_paper, paper_choices
from loomfolio.desk.starting import copy_of_demo, demo_doors, own_copy
from loomfolio.desk.steps import Steps, Tell
from loomfolio.desk.work import Job, Watch, Work
from loomfolio.desk.workbench import Workbench
from loomfolio.project import Project, ProjectFolder, Session, pack, unpack
from loomfolio.sheets import sheet_pixels

if TYPE_CHECKING:
    from loomfolio.bench import BenchJob

MAP_KINDS = "Table (*.csv);;Workbook (*.xlsx);;JSON (*.json)"


class Files:
    """What the file menu does."""

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

    # ------------------------------------------------------------------------------------ projects

    def open(self) -> None:
        """Ask for a project folder and open it."""
        path = self._ask.folder("Open project", projects_home())
        if path is not None:
            self.take([path])

    def open_project(self, path: Path) -> None:
        """Open a project folder."""
        self._steps.attempt(lambda: self._change(Session.open(path)))

    def open_demo(self) -> None:
        """Ask for one of the demo projects, and open a copy of it that the person may change."""
        doors = {door.words: door for door in demo_doors(projects_home())}
        if not doors:
            self._tell("No demo project is installed; the program's own folder is incomplete.")
            return
        words = self._ask.one_of("Demo projects", "Which job do you want to try?", tuple(doors))
        door = doors.get(words or "")
        if door is None:
            return
        if door.copy == self._workbench.path:
            self._tell("This is the copy that you have open.")
            return
        copy = door.copy or copy_of_demo(door.demo, projects_home())
        if self._steps.attempt(lambda: self._change(Session.open(copy))):
            self._tell(own_copy(copy))

    def new(self) -> None:
        """Make an empty project; it lies on disk at once, so nothing can be lost."""
        self._steps.attempt(lambda: self._create("New project"))

    def _create(self, name: str) -> None:
        self._change(Session.create(free_folder(projects_home(), name), Project()))

    def save(self) -> None:
        """Write project.json anew; every edit is in the journal already."""
        if self._steps.attempt(self._workbench.session.save):
            self._tell(f"Saved in {self._workbench.path}.")

    def save_as(self) -> None:
        """Copy the project to another folder and go on there."""
        suggested = free_folder(self._workbench.path.parent, self._workbench.path.name)
        path = self._ask.file_to_write("Save project as", suggested, "Project folder (*)")
        if path is None:
            return
        if self._steps.attempt(lambda: self._workbench.session.save_as(path)):
            self._settings.note_recent(path)
            self._tell(f"You now work in {path}.")

    def pack(self) -> None:
        """Write the project to one zip file."""
        start = self._workbench.path.parent / f"{self._workbench.path.name}.zip"
        path = self._ask.file_to_write("Pack project", start, "Packed project (*.zip)")
        if path is None:
            return

        def write() -> None:
            self._workbench.session.save()
            pack(self._workbench.path, path)

        if self._steps.attempt(write):
            self._tell(f"Packed into {path}.")

    def _change(self, session: Session) -> None:
        self._work.cancel_all()
        self._workbench.change_session(session)
        self._settings.note_recent(session.path)
        if session.notes:
            self._tell(" ".join(session.notes))

    # -------------------------------------------------------------------------------------- sheets

    def add_sheets(self) -> None:
        """Ask for picture and PDF files and add their pages."""
        self.take(self._ask.sheet_files(projects_home()))

    def take(self, paths: Iterable[Path]) -> None:
        """Take what was dropped: projects open, packed ones are unpacked, the rest become sheets."""
        found: list[Arrivals] = []
        if self._steps.attempt(lambda: found.append(sorted_out(paths))):
            for path in found[0].packed:
                self._steps.attempt(lambda path=path: self._unpack(path))  # type: ignore[misc]
            for path in found[0].projects:
                self.open_project(path)
            self._check_in(list(found[0].sheets), [])

    def _unpack(self, path: Path) -> None:
        folder = free_folder(projects_home(), path.stem)
        unpack(path, folder)
        self._change(Session.open(folder))
        self._tell(f"{path.name} was unpacked into {folder}.")

    def _check_in(
        self, waiting: list[Path], arrived: list[Arrived], password: str | None = None
    ) -> None:
        """Check files in one after another; the pages of all of them are one step."""
        if not waiting:
            self._lay_down(arrived)
            return
        path, *rest = waiting
        folder, project = self._workbench.session.folder, self._workbench.project

        def run(watch: Watch) -> Arrived:
            del watch
            return check_in(folder, project, path, password)

        def refused(error: LoomfolioError) -> None:
            given = self._ask.password(path.name) if _wants_password(error) else None
            if given:
                self._check_in(waiting, arrived, given)
                return
            self._refuse(error)
            self._check_in(rest, arrived)

        title = f"Bringing in {path.name}"
        self._work.start(
            Job("sheets", title, run, lambda a: self._check_in(rest, [*arrived, a]), refused)
        )

    def _refuse(self, error: LoomfolioError) -> None:
        def again() -> None:
            raise error

        self._steps.attempt(again)

    def _lay_down(self, arrived: list[Arrived]) -> None:
        """Ask for the paper where a file does not say how large it is, then add the pages."""
        if not arrived:
            return
        settled = [on_paper(a, self._paper_of(a) if a.wants_paper else None) for a in arrived]
        self._steps.do(lambda project: lay_down(project, settled))
        for fault in (fault for file in arrived for fault in file.left_out):
            self._refuse(fault)

    def _paper_of(self, arrived: Arrived) -> str | None:
        return self._ask.one_of(
            "Paper size",
            f"{arrived.path.name} does not say how large it is. Which paper does it fill?",
            paper_choices(),
        )

    # ----------------------------------------------------------------------------------- going out

    def export_map(self) -> None:
        """Write the connector-to-connector map as CSV, XLSX or JSON, by the ending of the file."""
        start = self._workbench.path.parent / f"{self._workbench.path.name} map.csv"
        path = self._ask.file_to_write("Export connector map", start, MAP_KINDS)
        if path is not None:
            self._write(f"Writing {path.name}", lambda state: _write_map(state, path))

    def bench_pack(self) -> None:
        """Write the sheets for the bench: map and splice sheet as PDF, XLSX and CSV."""
        path = self._ask.folder("Bench pack: where to write", self._workbench.path.parent)
        if path is not None:
            folder = self._workbench.session.folder
            self._write("Writing the bench pack", lambda state: _write_pack(state, folder, path))

    def hand_over(self) -> None:
        """Write the hand-over: the vehicle as built, what was done and measured, as one PDF."""
        path = self._ask.folder("Hand-over: where to write", self._workbench.path.parent)
        if path is not None:
            folder = self._workbench.session.folder
            self._write(
                "Writing the hand-over", lambda state: _write_hand_over(state, folder, path)
            )

    def _write(self, title: str, write: Callable[[Derived], str]) -> None:
        state = self._workbench.state
        self._work.start(Job("export", title, lambda _: write(state), self._tell))


def _write_map(state: Derived, path: Path) -> str:
    from loomfolio.bench import write_map_csv, write_map_json, write_map_xlsx

    writers = {".xlsx": write_map_xlsx, ".json": write_map_json}
    writers.get(path.suffix.casefold(), write_map_csv)(state.project, state.rows, path)
    return f"The map is in {path}."


def _planned_job(state: Derived, folder: ProjectFolder) -> BenchJob | None:
    """The planned job of a state; None where no fit is to be reached, or no work is chosen yet."""
    from loomfolio.bench import BenchJob
    from loomfolio.retrofit import plan_work

    if state.job_gaps is None or not state.project.operations:
        return None
    plan = plan_work(state.project, state.job_gaps)
    pages = {}
    for sheet in state.project.sheets:
        # A page whose file is gone is printed as white paper with its marks: the rest is still needed.
        with contextlib.suppress(FileUnreadableError):
            pages[sheet.id] = sheet_pixels(folder, sheet)
    return BenchJob(state.project, state.job_gaps, plan, state.readings, pages)


def _lost_pages(bench: BenchJob) -> str:
    lost = [one.title for one in bench.project.sheets if one.id not in bench.pictures]
    return (
        f" The page of {', '.join(lost)} cannot be read: its marks stand on white paper."
        if lost
        else ""
    )


def _write_pack(state: Derived, folder: ProjectFolder, path: Path) -> str:
    """The pack of the planned work, or of the map alone where no work is chosen yet."""
    from loomfolio.bench import write_bench_pack, write_work_pack

    bench, lost = _planned_job(state, folder), ""
    if bench is not None:
        written, lost = write_work_pack(bench, path, today=today()), _lost_pages(bench)
    else:
        gaps = state.gaps if state.job_gaps is not None else None
        written = write_bench_pack(
            state.project, state.netlist, state.rows, path, gaps=gaps, today=today()
        )
    return f"{len(written)} files for the bench are in {path}.{lost}"


def _write_hand_over(state: Derived, folder: ProjectFolder, path: Path) -> str:
    from loomfolio.bench import document_photos, hand_over_pdf, write_hand_over

    bench = _planned_job(state, folder)
    if bench is None:
        raise UsageError("No work is planned yet; choose what closes the gaps, then hand over.")
    pdf = hand_over_pdf(bench, document_photos(bench, folder.path), today=today())
    return f"The hand-over is in {write_hand_over(pdf, path)}.{_lost_pages(bench)}"


def _wants_password(error: LoomfolioError) -> bool:
    return isinstance(error, PasswordNeededError)
