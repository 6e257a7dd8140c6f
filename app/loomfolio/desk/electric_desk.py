"""What the work menu does with circuits and places: what is known of a pin, states, what is live, zones."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from loomfolio.desk.choosing import Choosing
from loomfolio.desk.dialogs.circuit import CircuitDialog
from loomfolio.desk.dialogs.form import FormDialog, Run, run_dialog
from loomfolio.desk.dialogs.live import LiveDialog
from loomfolio.desk.dialogs.states import StatesDialog
from loomfolio.desk.dialogs.zones import ZonesDialog
from loomfolio.desk.steps import Steps, Tell
from loomfolio.desk.workbench import Workbench
from loomfolio.project import PinKey
from loomfolio.retrofit import live_table


class ElectricDesk:
    """Asks what is known of circuits and places, and shows what follows."""

    def __init__(
        self,
        workbench: Workbench,
        steps: Steps,
        choosing: Choosing,
        follow: Callable[[PinKey], object],
        tell: Tell,
        window: QWidget,
    ) -> None:
        self._workbench, self._steps, self._choosing = workbench, steps, choosing
        self._follow, self._tell, self._window = follow, tell, window
        self.run: Run = run_dialog

    def circuit(self) -> None:
        """Say what is known of the circuit at the chosen pin."""
        pin = self._choosing.pin
        if pin is None:
            self._tell("Choose a pin first, in a ledger or on a sheet.")
            return
        self._keep(CircuitDialog(self._workbench.project, pin, self._window))

    def states(self) -> None:
        """Name the states of the vehicle."""
        self._keep(StatesDialog(self._workbench.project, self._window))

    def live(self) -> None:
        """Show what is live in a state, and follow the pin that is chosen there."""
        state = self._workbench.state
        if not state.project.states:
            self._tell("Name a state first, such as parked: Work, States of the vehicle.")
            return
        dialog = LiveDialog(
            state,
            lambda one: live_table(state.project, state.netlist, one),
            self._choosing.theme,
            self._window,
        )
        pin = dialog.pin if self.run(dialog) else None
        dialog.deleteLater()
        if pin is not None:
            self._follow(pin)

    def zones(self) -> None:
        """Say which zones there are, how long the ways between them are, and what lies where."""
        self._keep(ZonesDialog(self._workbench.project, self._window))

    def _keep(self, dialog: FormDialog) -> None:
        step = dialog.step if self.run(dialog) else None
        dialog.deleteLater()
        if step is not None:
            self._steps.do(lambda _: step)
