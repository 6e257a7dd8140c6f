"""Keeps what is seen in step with the workbench: table, ledgers, rail, strip, bars, title."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from loomfolio.desk.derived import Derived
from loomfolio.desk.doubt_card import DoubtCard
from loomfolio.desk.doubts import Asked
from loomfolio.desk.empty_state import EmptyState
from loomfolio.desk.following import Following
from loomfolio.desk.frame import Frame
from loomfolio.desk.ledgers.lines import (
    SheetProgress,
    doubt_lines,
    gap_lines,
    lead_lines,
    net_lines,
    pin_lines,
    sheet_lines,
)
from loomfolio.desk.ledgers.plan_lines import (
    bench_lines,
    proof_lines,
    rule_lines,
    work_lines,
)
from loomfolio.desk.planning import Planner
from loomfolio.desk.stages import StageId
from loomfolio.desk.table.light_table import LightTable
from loomfolio.desk.workbench import Workbench
from loomfolio.project import Anchor, Fit, Project, Sheet
from loomfolio.sheets import sheet_pixels

Progress = Callable[[], Mapping[str, SheetProgress]]


class Showing:
    """Takes each state of the workbench to the widgets, and nothing back."""

    def __init__(
        self,
        workbench: Workbench,
        frame: Frame,
        table: LightTable,
        empty: EmptyState,
        card: DoubtCard,
        planner: Planner,
    ) -> None:
        self._workbench, self._frame, self._table = workbench, frame, table
        self._empty, self._card, self._planner = empty, card, planner
        self._progress: Progress = dict
        self._shown_for: object = None
        self._lines: dict[StageId, tuple[Any, ...]] = {}

    def take_progress_from(self, progress: Progress) -> None:
        """Say where the progress of readings is asked for."""
        self._progress = progress

    def show_state(self, before: Derived | None, after: Derived) -> None:
        """Show a changed document."""
        project, session = after.project, self._workbench.session
        folder = session.folder

        def pixels(sheet: Sheet) -> Any:
            return sheet_pixels(folder, sheet)

        self._table.show_document(
            project, after.netlist, after.rows, pixels, after.gaps, after.words
        )
        self._empty.setVisible(not project.sheets)
        self._frame.notices.show_cautions(project.job.cautions)
        self._frame.notices.read_only.say(
            f"Read only. {session.read_only_reason}" if session.is_read_only else ""
        )
        if before is None or before.project.job.scope != project.job.scope:
            self._set_scope(project)
        self._frame.title.setText(title_of(after, self._workbench.path.name, self._workbench.fit))
        self.show_lines()
        self.show_following(self._workbench.following)

    def _set_scope(self, project: Project) -> None:
        """Show what is in scope first; where no scope is set there is nothing to narrow."""
        scope = self._frame.ledger.scope
        scope.setEnabled(bool(project.job.scope))
        scope.setChecked(bool(project.job.scope))

    def show_lines(self) -> None:
        """Lay the lines of all ledgers out anew, and count what stands open."""
        state = self._workbench.state
        self._lines = {
            "sheets": sheet_lines(state, self._progress()),
            "names": net_lines(state),
            "pins": pin_lines(state),
            "leads": lead_lines(state),
            "gaps": gap_lines(state),
            "work": work_lines(state, self._planner.planned),
            "bench": bench_lines(state, self._planner.planned),
            "proof": proof_lines(state, self._planner.planned),
            "doubts": (*doubt_lines(state), *rule_lines(state, self._planner.planned)),
        }
        is_read_only = self._workbench.session.is_read_only
        self._frame.ledger.show_lines(
            self._lines, is_read_only=is_read_only, reasons=self._why_empty(state)
        )
        self._frame.rail.show_counts({stage: count_open(ln) for stage, ln in self._lines.items()})

    def _why_empty(self, state: Derived) -> dict[StageId, str]:
        """Why there is nothing in a ledger that could say more."""
        reasons: dict[StageId, str] = {"gaps": state.why_no_gaps}
        if state.why_no_gaps:
            reasons |= {"work": state.why_no_gaps}
        elif self._planner.planned is None and self._planner.is_stale:
            reasons |= {"work": "The ways to close each gap are being worked out."}
        return reasons

    def show_plan(self) -> None:
        """Show a plan that has come in."""
        self.show_lines()

    def show_sheet_progress(self) -> None:
        """Show how the readings stand, in the ledger of sheets alone."""
        lines = sheet_lines(self._workbench.state, self._progress())
        if lines != self._lines.get("sheets"):
            self._lines["sheets"] = lines
            is_read_only = self._workbench.session.is_read_only
            self._frame.ledger.show_lines(self._lines, is_read_only=is_read_only)

    def show_following(self, following: Following | None) -> None:
        """Show the followed way on the strip and on the table."""
        self._frame.strip.setVisible(following is not None)
        if following is None:
            self._table.set_followed(None)
            return
        # What is typed now answers the strip; with a net selected it would be taken for a name.
        self._table.select_net(None)
        state = self._workbench.state
        pin = state.pin_word(following.pin)
        self._frame.strip.show_following(following, pin, state.rows)
        self._table.set_followed([following.way] if following.way else None)

    def show_asked(self, asked: Asked | None) -> None:
        """Ask about a doubt next to its place, or put the question away."""
        if asked is not None:
            self._table.select_net(None)
            if asked.finding.place is not None:
                self.lead_to(asked.finding.place)
        self._card.ask(asked)

    def lead_to(self, place: Anchor) -> None:
        """Bring a place into view and draw the eye to it."""
        self._table.centre_on(place)
        self._table.flash(place)


def count_open(lines: tuple[Any, ...]) -> int:
    """Return how many lines of the scope stand open and are waited for."""
    return sum(
        1
        for line in lines
        if line.is_open and getattr(line, "in_scope", True) and getattr(line, "is_asked", True)
    )


def title_of(state: Derived, folder: str, fit: Fit | None) -> str:
    """Return what the head of the window says: the job, and what is looked at."""
    job = state.project.job.title or folder
    return f"{job}   ·   fit {fit.name}" if fit is not None else job
