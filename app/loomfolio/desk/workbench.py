"""What the desk works on: a session, readings of its sheets, and all that follows; no Qt in here.

::

    intent, answer, typed name -> Step -> Session (journal first) -> derive -> subscribers
    reading of a sheet (from a worker) ---------------------------> derive -> subscribers

Subscribers get the state before and after and take what they need; nothing else announces a change.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from loomfolio.desk.derived import Derived, VehicleSheets, derive_all
from loomfolio.desk.following import Following
from loomfolio.desk.gestures import Step
from loomfolio.nets import Memory, follow
from loomfolio.project import Fit, PinKey, Project, Session
from loomfolio.reading import Reading
from loomfolio.retrofit import GapMemory

Subscriber = Callable[[Derived, Derived], None]


class Workbench:
    """The open project, and what the person looks at in it."""

    def __init__(self, session: Session, readings: Mapping[str, Reading]) -> None:
        self.session = session
        self._memory, self._gap_memory = Memory(), GapMemory()
        self._readings = dict(readings)
        self._fit: Fit | None = None
        self._subscribers: list[Subscriber] = []
        self._following: Following | None = None
        self._own: VehicleSheets | None = None
        self._state = self._derive(0)

    # ------------------------------------------------------------------------------------- state

    @property
    def state(self) -> Derived:
        """The document and all that is worked out from it."""
        return self._state

    @property
    def project(self) -> Project:
        """The document."""
        return self._state.project

    @property
    def following(self) -> Following | None:
        """The followed pin, if any."""
        return self._following

    @property
    def fit(self) -> Fit | None:
        """The set of options that is looked at; None shows all that the documents say."""
        return self._fit

    @property
    def path(self) -> Path:
        """The project's folder."""
        return self.session.path

    def subscribe(self, subscriber: Subscriber) -> None:
        """Tell `subscriber` the states before and after each change."""
        self._subscribers.append(subscriber)

    # --------------------------------------------------------------------------------------- edits

    def do(self, step: Step) -> None:
        """Carry out an edit: it is in the journal before anything shows it."""
        if step.project == self.project:
            return
        self.session.do(step.title, step.project)
        self._work_out()

    def undo(self) -> None:
        """Go one step back; `EditError` where there is none."""
        self.session.undo()
        self._work_out()

    def redo(self) -> None:
        """Go one step forward again; `EditError` where there is none."""
        self.session.redo()
        self._work_out()

    def take_readings(self, readings: Mapping[str, Reading]) -> None:
        """Take what a worker saw, by sheet id; a sheet removed meanwhile is no longer asked for."""
        sheets = {sheet.id for sheet in self.project.sheets}
        wanted = {sheet: reading for sheet, reading in readings.items() if sheet in sheets}
        if wanted:
            self._readings.update(wanted)
            self._work_out()

    @property
    def own_documents(self) -> VehicleSheets | None:
        """The documents of this very vehicle, where they are a project beside the open one."""
        return self._own

    def take_own_documents(self, own: VehicleSheets | None) -> None:
        """Hold the target against another project with this vehicle's own sheets, or no longer."""
        self._own, self._gap_memory = own, GapMemory()
        self._work_out()

    def change_session(self, session: Session) -> None:
        """Close the project and take another one; what was followed or looked at is put away."""
        self.session.close()
        self.session = session
        self._memory, self._gap_memory, self._readings = Memory(), GapMemory(), {}
        self._fit, self._following, self._own = None, None, None
        self._work_out()

    def look_at_fit(self, fit: Fit | None) -> None:
        """Show what the documents say for a set of options."""
        self._fit = fit
        self._work_out()

    # ---------------------------------------------------------------------------------- following

    def follow(self, pin: PinKey, to: PinKey | None = None) -> Following:
        """Follow a pin; the strip starts at its first open piece."""
        ways = follow(self._state.netlist, pin, to=to)
        self._following = Following(pin, ways, to).at_next_open()
        return self._following

    def look(self, following: Following | None) -> None:
        """Take another way or piece of what is followed, or stop following."""
        self._following = following

    # ------------------------------------------------------------------------------------- inside

    def _derive(self, number: int) -> Derived:
        project = self.session.project
        fits = {fit.id: fit for fit in project.fits}
        self._fit = fits.get(self._fit.id) if self._fit else None
        return derive_all(
            number,
            project,
            self._readings,
            fit=self._fit,
            memory=self._memory,
            gap_memory=self._gap_memory,
            own=self._own,
        )

    def _work_out(self) -> None:
        before = self._state
        self._state = self._derive(before.number + 1)
        if self._following is not None:
            self._following = self._followed_again(self._following)
        for subscriber in tuple(self._subscribers):
            subscriber(before, self._state)

    def _followed_again(self, following: Following) -> Following | None:
        if self._state.net_of(following.pin) is None:
            return None  # the pin is no longer drawn anywhere
        ways = follow(self._state.netlist, following.pin, to=following.to)
        return following.over(ways)
