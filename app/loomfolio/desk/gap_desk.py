"""What the gaps menu does with gaps: from one to the next, closing, opening again, and what goes out."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from PySide6.QtWidgets import QWidget

from loomfolio.basics import EditError
from loomfolio.desk.asking import Asker
from loomfolio.desk.choosing import Choosing
from loomfolio.desk.derived import Derived
from loomfolio.desk.dialogs.close_gap import CloseGapDialog
from loomfolio.desk.dialogs.donor import DonorDialog
from loomfolio.desk.dialogs.estimate import EstimateDialog
from loomfolio.desk.dialogs.form import Run, run_dialog
from loomfolio.desk.gestures import Step
from loomfolio.desk.ledgers.lines import GapLine, gap_lines
from loomfolio.desk.steps import Steps, Tell
from loomfolio.desk.work import Job, Work
from loomfolio.desk.workbench import Workbench
from loomfolio.project import HalfKey, Project, edits, half_text
from loomfolio.retrofit import (
    DonorCover,
    Estimate,
    JobGaps,
    MatchQuestion,
    donor_cover,
    estimate,
)

GAP_KINDS = "Table (*.csv);;Workbook (*.xlsx);;JSON (*.json)"
PDF_KIND = "PDF (*.pdf)"
SAME_OR_NOT = ("the same", "not the same", "not now")


class GapDesk:
    """Acts on the gap that is chosen in the ledger."""

    def __init__(
        self,
        workbench: Workbench,
        steps: Steps,
        work: Work,
        choosing: Choosing,
        asker: Asker,
        tell: Tell,
        window: QWidget,
    ) -> None:
        self._workbench, self._steps, self._work = workbench, steps, work
        self._choosing, self._ask, self._tell, self._window = choosing, asker, tell, window
        self.run: Run = run_dialog

    @property
    def chosen(self) -> GapLine | None:
        """The gap that is chosen."""
        return self._choosing.gap

    @property
    def half(self) -> HalfKey | None:
        """The connector that the chosen gap is at."""
        chosen = self.chosen
        pins = chosen.gap.pins if chosen is not None else ()
        return pins[0].half_key if pins else None

    # ------------------------------------------------------------------------------------- walking

    def next(self) -> None:
        """Go to the next open gap, those in scope first."""
        self._go(1)

    def previous(self) -> None:
        """Go to the open gap before."""
        self._go(-1)

    def _go(self, by: int) -> None:
        state = self._workbench.state
        lines = [line for line in gap_lines(state) if line.is_open]
        if not lines:
            self._tell(state.why_no_gaps or "No gap stands open.")
            return
        chosen = self.chosen
        keys = [line.key for line in lines]
        at = keys.index(chosen.key) if chosen is not None and chosen.key in keys else None
        start = (at + by) % len(lines) if at is not None else 0
        self._choosing.choose_gap(lines[start])

    def settle_connectors(self) -> None:
        """Ask of each doubtful pair of connectors whether the two are the same; "not now" ends it."""
        while True:
            found = self._workbench.state.job_gaps
            if found is None or not found.matching.questions:
                self._tell("No connector is in doubt.")
                return
            question = found.matching.questions[0]
            words = _question_words(self._workbench.state, question)
            answer = self._ask.one_of("Is this the same connector?", words, SAME_OR_NOT)
            if answer not in SAME_OR_NOT[:2]:
                return
            is_same = answer == SAME_OR_NOT[0]
            if not self._steps.do(lambda p, q=question, s=is_same: _matched(p, q, is_same=s)):  # type: ignore[misc]
                return

    def donor(self) -> None:
        """Hold the donor looms against the gaps, and go to the gap that is chosen there."""
        state = self._workbench.state
        found = state.job_gaps
        if found is None:
            self._tell(state.why_no_gaps)
            return
        dialog = DonorDialog(
            state.project,
            lambda one: donor_cover(found, state.project, one),
            self._choosing.theme,
            self._window,
        )
        key = dialog.gap if self.run(dialog) else None
        for line in gap_lines(state):
            if line.key == key:
                self._choosing.choose_gap(line)
        dialog.deleteLater()

    # ------------------------------------------------------------------------------------- closing

    def close(self) -> None:
        """Close the chosen gap: by work, by survey, or for a written reason."""
        line = self.chosen
        if line is None:
            self._tell("Choose a gap in the ledger first.")
            return
        dialog = CloseGapDialog(self._workbench.project, line.gap, self._window)
        if self.run(dialog) and dialog.step is not None:
            step = dialog.step
            self._steps.do(lambda _: step)
        dialog.deleteLater()

    def reopen(self) -> None:
        """Let the chosen gap stand open again."""
        line = self.chosen
        if line is None:
            self._tell("Choose a closed gap in the ledger first.")
            return

        def opened() -> Step:
            closing = line.gap.closed_by
            if closing is None:
                raise EditError("This gap stands open.")
            if closing.record is None:
                raise EditError(
                    "The survey closed this gap; change what was seen to open it again."
                )
            project = edits.reopen_gap(self._workbench.project, closing.record)
            return Step(f"Reopen gap: {line.gap.kind}", project)

        self._steps.do(lambda _: opened())

    # ----------------------------------------------------------------------------------- going out

    def export(self) -> None:
        """Write the gaps as CSV, XLSX or JSON, by the ending of the file."""
        path = self._path_for("gaps.csv", "Export gaps", GAP_KINDS)
        if path is not None:
            self._write(f"Writing {path.name}", lambda state: _write_gaps(state, path))

    def sheet(self) -> None:
        """Write the gap sheet as PDF."""
        path = self._path_for("gap sheet.pdf", "Gap sheet", PDF_KIND)
        if path is not None:
            self._write(f"Writing {path.name}", lambda state: _write_sheet(state, path))

    def estimate(self) -> None:
        """Show what the job takes, and write the page for the customer."""
        state = self._workbench.state
        if state.job_gaps is None:
            self._tell(state.why_no_gaps)
            return
        found = estimate(state.job_gaps, _donors(state, state.job_gaps))
        dialog = EstimateDialog(found, self._window)
        if self.run(dialog):
            path = self._path_for("estimate.pdf", "Estimate", PDF_KIND)
            if path is not None:
                self._write(f"Writing {path.name}", lambda then: _write_estimate(then, found, path))
        dialog.deleteLater()

    def _path_for(self, name: str, title: str, kinds: str) -> Path | None:
        folder = self._workbench.path
        return self._ask.file_to_write(title, folder.parent / f"{folder.name} {name}", kinds)

    def _write(self, title: str, write: Callable[[Derived], str]) -> None:
        state = self._workbench.state
        self._work.start(Job("export", title, lambda _: write(state), self._tell))


def _question_words(state: Derived, question: MatchQuestion) -> str:
    own = state.vehicle_project
    target, vehicle = half_text(state.project, question.target), half_text(own, question.vehicle)
    rivals = [half_text(own, rival) for rival in question.rivals]
    asked = f"Is {target} of the target the same connector as {vehicle} of this vehicle?"
    about_as_likely = (f"About as likely: {', '.join(rivals)}",) if rivals else ()
    return "\n".join((asked, *question.grounds, *about_as_likely))


def _matched(project: Project, question: MatchQuestion, *, is_same: bool) -> Step:
    made = edits.match_connectors(
        project, target=question.target, vehicle=question.vehicle, is_same=is_same
    )
    word = "the same" if is_same else "not the same"
    return Step(f"{half_text(project, question.target)} is {word} connector", made.project)


def _donors(state: Derived, found: JobGaps) -> list[DonorCover]:
    """What the donor looms at hand cover, as far as it is said which loom each is."""
    return [
        donor_cover(found, state.project, one)
        for one in state.project.specimens
        if one.kind == "donor loom" and one.harness is not None
    ]


def _write_estimate(state: Derived, found: Estimate, path: Path) -> str:
    from loomfolio.bench import write_estimate_page

    today = date.today()  # noqa: DTZ011 - the date on the bench's own calendar
    write_estimate_page(state.project, state.gaps, found, path, today=today)
    return f"The estimate is in {path}."


def _write_gaps(state: Derived, path: Path) -> str:
    from loomfolio.bench import write_gaps_csv, write_gaps_json, write_gaps_xlsx

    if path.suffix.casefold() == ".json":
        found = state.job_gaps
        contradictions = found.contradictions if found is not None else ()
        write_gaps_json(state.project, state.gaps, path, contradictions=contradictions)
    else:
        write = write_gaps_xlsx if path.suffix.casefold() == ".xlsx" else write_gaps_csv
        write(state.project, state.gaps, path)
    return f"{len(state.gaps)} gaps are in {path}."


def _write_sheet(state: Derived, path: Path) -> str:
    from loomfolio.bench import write_gap_sheet

    found = state.job_gaps
    write_gap_sheet(
        state.project,
        state.gaps,
        path,
        contradictions=found.contradictions if found is not None else (),
        today=date.today(),  # noqa: DTZ011 - the date on the bench's own calendar
    )
    return f"The gap sheet is in {path}."
