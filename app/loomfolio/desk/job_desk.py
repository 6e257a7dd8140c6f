"""The dialogs about the job, and what they lead to."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from loomfolio.basics import MmBox
from loomfolio.desk.asking import Asker
from loomfolio.desk.dialogs.cables import CablesDialog
from loomfolio.desk.dialogs.cavities import CavitiesDialog
from loomfolio.desk.dialogs.confirm import ConfirmDialog
from loomfolio.desk.dialogs.form import FormDialog, Run, run_dialog
from loomfolio.desk.dialogs.job import JobDialog
from loomfolio.desk.dialogs.lead_note import LeadNoteDialog
from loomfolio.desk.dialogs.looms import LoomsDialog
from loomfolio.desk.dialogs.mates import MatesDialog
from loomfolio.desk.dialogs.only_with import OnlyWithDialog
from loomfolio.desk.dialogs.part import PartDialog
from loomfolio.desk.dialogs.scope import ScopeDialog
from loomfolio.desk.dialogs.sheet import SheetDialog
from loomfolio.desk.gestures import Step
from loomfolio.desk.option_notes import (
    conductor_condition,
    conductor_only_with,
    mark_only_with,
    region_only_with,
)
from loomfolio.desk.steps import Steps, Tell
from loomfolio.desk.taking_printed import take_printed_colours
from loomfolio.desk.ways import Ways
from loomfolio.desk.workbench import Workbench
from loomfolio.project import (
    Anchor,
    LeadMark,
    Mark,
    Part,
    Project,
    all_halves,
    edits,
    find_pin,
    half_text,
)


class JobDesk:
    """What the job menu does."""

    def __init__(
        self,
        workbench: Workbench,
        steps: Steps,
        ways: Ways,
        asker: Asker,
        tell: Tell,
        window: QWidget,
    ) -> None:
        self._workbench, self._steps, self._ways = workbench, steps, ways
        self._ask, self._tell, self._window = asker, tell, window
        self.run: Run = run_dialog

    def job(self) -> None:
        """Say what is to be done, to which vehicle."""
        self._show(JobDialog(self._workbench.project, self._window))

    def printed_colours(self) -> None:
        """Note every wire colour that is printed on or beside one conductor, in one step."""
        state = self._workbench.state
        self._steps.do(lambda _: take_printed_colours(state))

    def scope(self) -> None:
        """Choose the connectors that the job is about."""
        self._show(ScopeDialog(self._workbench.project, self._window))

    def mates(self) -> None:
        """Say which halves fit, and which cavity meets which."""
        if len(all_halves(self._workbench.project)) < 2:
            self._tell("It takes two connectors to mate; draw a box round each of them first.")
            return
        self._show(MatesDialog(self._workbench.project, self._window))

    def sheet(self, sheet_id: str) -> None:
        """Say what a sheet shows and of which vehicles it speaks."""
        project = self._workbench.project
        self._show(SheetDialog(project, project.sheet(sheet_id), self._window))

    def remove_sheet(self, sheet_id: str) -> None:
        """Take a sheet off the table, with its marks."""
        title = self._workbench.project.sheet(sheet_id).title
        self._steps.do(
            lambda project: Step(f"Remove sheet {title}", edits.remove_sheet(project, sheet_id))
        )

    def looms(self) -> None:
        """Say which looms there are, and where they end."""
        self._show(LoomsDialog(self._workbench.project, self._window))

    def cables(self) -> None:
        """Say which leads belong together."""
        self._show(CablesDialog(self._workbench.project, self._window))

    def part(self, part_id: str | None = None) -> None:
        """Say what a part is and how it conducts inside; asks which one where none is given."""
        part = self._part(part_id)
        if part is not None:
            self._show(PartDialog(self._workbench.project, part, self._window))

    def cavities(self, part_id: str | None = None) -> None:
        """Say which cavities a part has, and with which options each is there."""
        part = self._part(part_id)
        if part is not None:
            self._show(CavitiesDialog(self._workbench.project, part, self._window))

    def _part(self, part_id: str | None) -> Part | None:
        project = self._workbench.project
        if part_id is not None:
            return project.part(part_id)
        parts = {part.name: part for part in project.parts}
        if not parts:
            self._tell("No part yet; drag a box round one on the table.")
            return None
        return parts.get(self._ask.one_of("Part", "Which part?", sorted(parts)) or "")

    # ------------------------------------------------------------------------------ notes on paper

    def lead_note(self, place: Anchor, mark: LeadMark | None = None) -> None:
        """Note colour and size of the lead that runs at a place."""
        self._show(LeadNoteDialog(self._workbench.project, place, mark, self._window))

    def mark_only_with(self, mark: Mark, about: str) -> None:
        """Say with which options a mark is there."""
        self._only_with(about, mark.when, lambda when: mark_only_with(self._project, mark.id, when))

    def conductor_only_with(self, place: Anchor) -> None:
        """Say with which options the conductor at a place is there."""
        project, netlist = self._project, self._workbench.state.netlist
        sheet, at = place.sheet, place.at

        def ask() -> None:
            self._only_with(
                "this conductor, from joint to joint",
                conductor_condition(project, netlist, sheet, at),
                lambda when: conductor_only_with(project, netlist, sheet, at, when),
            )

        self._steps.attempt(ask)

    def region_only_with(self, sheet: str, box: MmBox) -> None:
        """Say with which options all is there that lies in a box."""
        project, netlist = self._project, self._workbench.state.netlist
        self._only_with(
            "all that lies in this box",
            "",
            lambda when: region_only_with(project, netlist, sheet, box, when),
        )

    @property
    def _project(self) -> Project:
        return self._workbench.project

    def _only_with(self, about: str, when: str, make: Callable[[str], Step]) -> None:
        self._show(OnlyWithDialog(self._project, about, when, make, self._window))

    def follow_to(self) -> None:
        """Follow from one pin to another, both typed."""
        start = self._ask.text("Follow a pin", "From which pin, such as TCU C1:12?")
        if not start:
            return
        end = self._ask.text("Follow a pin", f"From {start} to which pin? Nothing: wherever.")
        if end is None:
            return
        project = self._workbench.project
        self._steps.attempt(
            lambda: self._ways.follow(
                find_pin(project, start), find_pin(project, end) if end else None
            )
        )

    def confirm_as(self) -> None:
        """Confirm the piece on the strip, and say how it is known."""
        dialog = ConfirmDialog(self._window)
        if self.run(dialog):
            self._ways.confirm(dialog.known)
        dialog.deleteLater()

    def choose_fit(self) -> None:
        """Look at what the documents say for one set of options."""
        fits = {fit.name: fit for fit in self._workbench.project.fits}
        everything = "All that the sheets say"
        name = self._ask.one_of("Fit", "What is shown?", [everything, *fits])
        if name is not None:
            self._workbench.look_at_fit(fits.get(name))
            self._tell(f"Shown: {name}.")

    def scope_words(self) -> str:
        """Return the scope in a few words, for the head of the window."""
        project = self._workbench.project
        halves = [half_text(project, half) for half in project.job.scope]
        return ", ".join(halves) if halves else "everything"

    def _show(self, dialog: FormDialog) -> None:
        if self.run(dialog) and dialog.step is not None:
            step = dialog.step
            self._steps.do(lambda _: step)
        dialog.deleteLater()
