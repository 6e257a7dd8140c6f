"""What the vehicle menu does: fits, specimens with their photos, and what was seen on them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from PySide6.QtWidgets import QWidget

from loomfolio.desk.asking import Asker
from loomfolio.desk.comparing import Comparing
from loomfolio.desk.dialogs.baseline import BaselineDialog
from loomfolio.desk.dialogs.fits import FitsDialog
from loomfolio.desk.dialogs.form import FormDialog, Run, run_dialog
from loomfolio.desk.dialogs.lead_seen import LeadSeenDialog
from loomfolio.desk.dialogs.lists import ListDialog
from loomfolio.desk.dialogs.photos import PhotoShelf
from loomfolio.desk.dialogs.specimens import SpecimensDialog
from loomfolio.desk.dialogs.two_fits import TwoFitsDialog
from loomfolio.desk.settings import projects_home
from loomfolio.desk.steps import Steps, Tell
from loomfolio.desk.survey.survey_dialog import SurveyDialog
from loomfolio.desk.theme import Theme
from loomfolio.desk.workbench import Workbench
from loomfolio.project import HalfKey
from loomfolio.retrofit import ListFile, read_list
from loomfolio.sheets import bring_in_photo


class VehicleDesk:
    """Opens the dialogs about real things."""

    def __init__(
        self,
        workbench: Workbench,
        steps: Steps,
        asker: Asker,
        tell: Tell,
        comparing: Comparing,
        theme: Callable[[], Theme],
        window: QWidget,
    ) -> None:
        self._workbench, self._steps, self._comparing = workbench, steps, comparing
        self._ask, self._tell, self._theme, self._window = asker, tell, theme, window
        self.run: Run = run_dialog

    def fits(self) -> None:
        """Say which sets of options there are, and which two of them are compared."""
        self._show(FitsDialog(self._workbench.project, self._window))

    def two_fits(self) -> None:
        """Lay two fits over each other on the sheets."""
        dialog = TwoFitsDialog(self._workbench.project, self._window)
        if self.run(dialog):
            a, b = dialog.fits
            self._comparing.lay_over(a, b)
            self._tell(f"{b.name} lies over {a.name}.")
        dialog.deleteLater()

    def take_fits_apart(self) -> None:
        """Show the sheets without the two fits again."""
        self._comparing.stop()

    @property
    def is_comparing(self) -> bool:
        """Do two fits lie over each other?"""
        return self._comparing.is_on

    def specimens(self) -> None:
        """Say what is looked at, with its identity, its date and its photos."""
        self._show(SpecimensDialog(self._workbench.project, self._shelf(), self._window))

    def baseline(self) -> None:
        """Note how a vehicle was before the work, or is after it, and compare the two."""
        self._show(BaselineDialog(self._workbench.project, self._shelf(), self._window))

    def _shelf(self) -> PhotoShelf:
        return PhotoShelf(self._workbench.path, self._take_photos, self._theme())

    def bring_in_list(self) -> None:
        """Bring a pin or connection list in beside the sheets."""
        path = self._ask.list_file(projects_home())
        read: list[ListFile] = []
        if path is not None and self._steps.attempt(lambda: read.append(read_list(path))):
            self._show(ListDialog(self._workbench.project, read[0], self._window))

    def survey(self, half: HalfKey | None = None) -> None:
        """Look at the connectors of the scope, cavity by cavity; at one of them first where it is named."""
        workbench = self._workbench
        dialog = SurveyDialog(
            lambda: workbench.state,
            self._steps.do,
            self._theme(),
            today=date.today(),  # noqa: DTZ011 - the date on the bench's own calendar
            shelf=self._shelf(),
            parent=self._window,
        )
        if half is not None:
            dialog.choose(half)
        self.run(dialog)
        dialog.deleteLater()

    def lead_seen(self) -> None:
        """Record a lead that was traced or measured."""
        today = date.today()  # noqa: DTZ011 - the date on the bench's own calendar
        self._show(LeadSeenDialog(self._workbench.project, today, self._window))

    def _take_photos(self) -> list[str]:
        """Ask for photos and copy them in; one that cannot be used is told, the others come in."""
        folder, taken = self._workbench.session.folder, list[str]()
        for path in self._ask.photo_files(projects_home()):
            self._steps.attempt(lambda path=path: taken.append(bring_in_photo(folder, path)))  # type: ignore[misc]
        return taken

    def _show(self, dialog: FormDialog) -> None:
        if self.run(dialog) and dialog.step is not None:
            step = dialog.step
            self._steps.do(lambda _: step)
        dialog.deleteLater()
