"""Doing, undoing and redoing: one place where an edit is tried and its sentence is told."""

from __future__ import annotations

from collections.abc import Callable

from loomfolio.basics import EditError, LoomfolioError
from loomfolio.desk.gestures import Step, name_net, step_of
from loomfolio.desk.workbench import Workbench
from loomfolio.project import Project, SheetKind, edits

Tell = Callable[[str], None]


class Steps:
    """Carries out edits on the workbench; what cannot be done is told in one sentence."""

    def __init__(self, workbench: Workbench, refuse: Tell, done: Tell) -> None:
        self._workbench = workbench
        self._refuse, self._done = refuse, done

    def attempt(self, action: Callable[[], object]) -> bool:
        """Do something; a `LoomfolioError` is told and nothing has changed."""
        try:
            action()
        except LoomfolioError as error:
            self._refuse(str(error))
            return False
        return True

    def do(self, make: Callable[[Project], Step]) -> bool:
        """Make an edit of the document as it stands, and carry it out."""

        def carry_out() -> None:
            step = make(self._workbench.project)
            self._require_writable()
            self._workbench.do(step)
            self._done(step.title)

        return self.attempt(carry_out)

    def intend(self, intent: object) -> bool:
        """Carry out what the light table understood."""
        return self.do(lambda project: step_of(project, intent))

    def undo(self) -> None:
        """Take the last step back."""
        title = self._workbench.session.undo_title
        if self.attempt(self._workbench.undo):
            self._done(f"Undone: {title}")

    def redo(self) -> None:
        """Make the step again that was taken back."""
        title = self._workbench.session.redo_title
        if self.attempt(self._workbench.redo):
            self._done(f"Done again: {title}")

    def _require_writable(self) -> None:
        session = self._workbench.session
        if session.is_read_only:
            raise EditError(session.read_only_reason)

    # -------------------------------------------------------------------------- typed in a ledger

    def name_net(self, net: int, name: str) -> None:
        """Give a net its name; an empty one takes it away."""
        netlist = self._workbench.state.netlist
        self.do(lambda project: name_net(project, netlist, netlist.net(net), name))

    def title_sheet(self, sheet: str, title: str) -> None:
        """Give a sheet another title."""
        if not title:
            self._refuse("A sheet needs a title; type one.")
            return

        def make(project: Project) -> Step:
            changed = project.sheet(sheet).model_copy(update={"title": title})
            return Step(f"Rename sheet {title}", edits.change_sheet(project, changed))

        self.do(make)

    def set_sheet_kind(self, sheet: str, kind: str) -> None:
        """Say what a sheet shows."""
        known: SheetKind = kind  # type: ignore[assignment]  # checked by the document itself

        def make(project: Project) -> Step:
            before = project.sheet(sheet)
            changed = before.model_copy(update={"kind": known})
            title = f"Take {before.title} for a sheet of kind {kind}"
            return Step(title, edits.change_sheet(project, changed))

        self.do(make)
