"""What the work menu does: choose how gaps are closed, say why, tick, sign, and take readings down."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Any, Literal

from PySide6.QtWidgets import QWidget

from loomfolio.basics import EditError
from loomfolio.desk.dialogs.doing import DoingDialog, SignDialog
from loomfolio.desk.dialogs.form import FormDialog, Run, run_dialog
from loomfolio.desk.dialogs.let_stand import LetStandDialog
from loomfolio.desk.dialogs.offers import OffersDialog
from loomfolio.desk.dialogs.reading import ReadingDialog
from loomfolio.desk.dialogs.why import WhyDialog, reasons_of
from loomfolio.desk.gestures import Step
from loomfolio.desk.ledgers.ledger import Ledger
from loomfolio.desk.ledgers.plan_lines import BenchLine, ProofLine, RuleLine, WorkLine
from loomfolio.desk.planning import Planned, Planner
from loomfolio.desk.steps import Steps, Tell
from loomfolio.desk.work import Job, Work
from loomfolio.desk.workbench import Workbench
from loomfolio.project import edits
from loomfolio.retrofit import compare_plans, plan_work, take_best

Line = WorkLine | BenchLine | ProofLine
Preference = Literal["least cutting", "least time"]
PREFERENCES: tuple[Preference, Preference] = ("least cutting", "least time")


class PlanDesk:
    """Acts on the line that is chosen in the ledger of work, bench or proof."""

    def __init__(
        self,
        workbench: Workbench,
        steps: Steps,
        work: Work,
        planner: Planner,
        ledger: Ledger,
        tell: Tell,
        window: QWidget,
    ) -> None:
        self._workbench, self._steps, self._work = workbench, steps, work
        self._planner, self._ledger = planner, ledger
        self._tell, self._window = tell, window
        self.run: Run = run_dialog

    @property
    def planned(self) -> Planned | None:
        """The plan as it stands."""
        return self._planner.planned

    def _chosen(self, kind: type[Any]) -> Any:
        lines = self._ledger.view.chosen_lines()
        return lines[0] if lines and isinstance(lines[0], kind) else None

    @property
    def work_line(self) -> WorkLine | None:
        """The gap that is chosen in the ledger of work."""
        line = self._chosen(WorkLine)
        return line if isinstance(line, WorkLine) else None

    @property
    def bench_line(self) -> BenchLine | None:
        """The thing to do that is chosen in the ledger of the bench."""
        line = self._chosen(BenchLine)
        return line if isinstance(line, BenchLine) else None

    @property
    def proof_line(self) -> ProofLine | None:
        """The test that is chosen in the ledger of the proof."""
        line = self._chosen(ProofLine)
        return line if isinstance(line, ProofLine) else None

    def open(self, line: object) -> None:
        """Open what is chosen: the ways to close a gap, a tick, a reading."""
        match line:
            case WorkLine():
                self.choose_way()
            case BenchLine():
                self.sign() if line.is_hold else self.note()
            case ProofLine():
                self.take_reading()
            case RuleLine():
                self.let_stand()

    # -------------------------------------------------------------------------------------- work

    def take_best(self, by: Preference = "least cutting") -> None:
        """Choose the best way for every gap that has none chosen."""
        state = self._workbench.state
        job = state.job_gaps
        if job is None:
            self._tell(state.why_no_gaps)
            return

        def taken(_: object) -> Step:
            project = take_best(state.project, job, by=by)
            if project == state.project:
                raise EditError("Every gap that can be closed has its way already.")
            count = len(project.operations) - len(state.project.operations)
            return Step(f"Take the best for {count} gaps, {by}", project)

        self._steps.do(taken)

    def choose_way(self) -> None:
        """Show the ways to close the chosen gap, and take one."""
        line, planned = self.work_line, self.planned
        if line is None or planned is None:
            self._tell("Choose a gap in the ledger of work first.")
            return
        offers = planned.offers.get(line.gap.key, ())
        self._step_of(OffersDialog(self._workbench.project, line.gap, offers, self._window))

    def withdraw_way(self) -> None:
        """Choose nothing for the chosen gap."""
        line = self.work_line
        chosen = [
            one.id
            for one in self._workbench.project.operations
            if line is not None and self._closes(one.gap, line)
        ]
        if not chosen:
            self._tell("Choose a gap whose way is chosen already.")
            return
        self._steps.do(
            lambda project: Step("Withdraw the way", edits.withdraw_operations(project, chosen))
        )

    def _closes(self, gap: str, line: WorkLine) -> bool:
        return gap == line.gap.key or (line.offer is not None and line.offer.gap == gap)

    def why(self) -> None:
        """Say why each number of the chosen line is what it is."""
        line, planned = self.work_line or self.bench_line or self.proof_line, self.planned
        if line is None or planned is None:
            self._tell("Choose a line in the ledger of work, bench or proof first.")
            return
        dialog = WhyDialog(reasons_of(line, planned), self._window)
        self.run(dialog)
        dialog.deleteLater()

    def compare(self) -> None:
        """Hold two plans side by side: least cutting, and least time."""
        state = self._workbench.state
        job = state.job_gaps
        if job is None:
            self._tell(state.why_no_gaps)
            return

        def both(_: object) -> Any:
            careful, quick = (
                plan_work(take_best(state.project, job, by=how, anew=True), job)
                for how in PREFERENCES
            )
            return compare_plans(careful, quick)

        self._work.start(Job("compare", "Comparing two plans", both, self._show_comparison))

    def _show_comparison(self, found: Any) -> None:
        from loomfolio.desk.dialogs.comparison import ComparisonDialog

        dialog = ComparisonDialog(found, PREFERENCES, self._window)
        if self.run(dialog):
            chosen = next((by for by in PREFERENCES if by == dialog.chosen), None)
            if chosen is not None:
                self._take_anew(chosen)
        dialog.deleteLater()

    def _take_anew(self, by: Preference) -> None:
        state = self._workbench.state
        job = state.job_gaps
        if job is not None:
            project = take_best(state.project, job, by=by, anew=True)
            self._steps.do(lambda _: Step(f"Take the plan with {by}", project))

    # ------------------------------------------------------------------------------------- bench

    def tick(self) -> None:
        """Tick what is chosen, or take the tick away; a hold point is signed instead."""
        line = self.bench_line
        if line is None:
            self._tell("Choose something to do in the ledger of the bench first.")
            return
        if line.is_hold:
            self.sign()
            return
        if line.blocked_by and not line.is_done:
            self._tell(f"This waits for a hold point that nobody has signed: {line.blocked_by}.")
            return
        done = not line.is_done

        def ticked(project: Any) -> Step:
            made = edits.record_doing(project, subject=line.subject.key, is_done=done)
            return Step(f"{'Done' if done else 'Not done'}: {line.title}", made.project)

        if self._steps.do(ticked):
            self._lead_to_next(line.key)

    def _lead_to_next(self, key: Hashable) -> None:
        """After a tick the next open thing is chosen, so that one key works down the list."""
        view = self._ledger.view
        view.lead_to_key(key)
        following = _open_after(view.all_lines(), key)
        if following is not None:
            view.lead_to_key(following)

    def note(self) -> None:
        """Say how the chosen thing was done: by whom, otherwise than planned, with a note."""
        line = self.bench_line
        if line is None:
            self._tell("Choose something to do in the ledger of the bench first.")
        elif line.is_hold:
            self.sign()
        else:
            self._step_of(DoingDialog(self._workbench.project, line, self._window))

    def sign(self) -> None:
        """Sign the chosen hold point."""
        line = self.bench_line
        if line is None or not line.is_hold:
            self._tell("Choose a hold point in the ledger of the bench first.")
        elif line.signature is not None:
            signature = line.signature.id
            self._steps.do(
                lambda project: Step(
                    "Withdraw a signature", edits.withdraw_signature(project, signature)
                )
            )
        elif line.blocked_by:
            self._tell(f"Another hold point comes first: {line.blocked_by}.")
        else:
            self._step_of(SignDialog(self._workbench.project, line, self._window))

    # ------------------------------------------------------------------------------------- rules

    @property
    def rule_line(self) -> RuleLine | None:
        """The finding of a rule that is chosen in the ledger of doubts."""
        line = self._chosen(RuleLine)
        return line if isinstance(line, RuleLine) else None

    def let_stand(self) -> None:
        """Let the chosen finding of a rule stand, or the whole rule, for a written reason."""
        line = self.rule_line
        if line is None:
            self._tell("Choose what a rule found in the ledger of doubts first.")
            return
        if line.finding.accepted is not None:
            self._tell(f"It stands already: {line.finding.accepted}")
            return
        self._step_of(LetStandDialog(self._workbench.project, line.finding, self._window))

    # ------------------------------------------------------------------------------------- proof

    def take_reading(self) -> None:
        """Take a reading of the chosen test down; the next test is chosen then."""
        line = self.proof_line
        if line is None:
            self._tell("Choose a test in the ledger of the proof first.")
            return
        if self._step_of(ReadingDialog(self._workbench.project, line, self._window)):
            following = _open_after(self._ledger.view.all_lines(), line.key)
            if following is not None:
                self._ledger.view.lead_to_key(following)

    def _step_of(self, dialog: FormDialog) -> bool:
        step = dialog.step if self.run(dialog) else None
        dialog.deleteLater()
        return step is not None and bool(self._steps.do(lambda _: step))


def _open_after(lines: Sequence[Any], key: Hashable) -> Hashable | None:
    """Return the key of the next line after one that is still open, as the ledger is sorted."""
    keys = [line.key for line in lines]
    start = keys.index(key) + 1 if key in keys else 0
    following: Hashable | None = next((line.key for line in lines[start:] if line.is_open), None)
    return following
