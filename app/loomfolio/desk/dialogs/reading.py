"""A reading of one test: what the meter showed, with which instrument. What it means is said at once."""

from __future__ import annotations

from PySide6.QtWidgets import QCheckBox, QLabel, QLineEdit, QWidget

from loomfolio.basics import EditError, LoomfolioError
from loomfolio.bench import judge
from loomfolio.desk.dialogs.dates import today
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.gestures import Step
from loomfolio.desk.ledgers.plan_lines import ProofLine
from loomfolio.project import MeterReading, Project, edits


class ReadingDialog(FormDialog):
    """One test with its conditions, and the reading that is typed."""

    def __init__(self, project: Project, line: ProofLine, parent: QWidget | None = None) -> None:
        qualified = "By qualified persons only. " if line.test.by_qualified_only else ""
        super().__init__("Reading", f"{qualified}{line.test.title}", "Keep and go on", parent)
        self._project, self._line = project, line
        conditions = QLabel("\n".join(line.test.conditions.lines), self)
        conditions.setWordWrap(True)
        self.body.addWidget(conditions)
        form = fields_of(self)
        form.addRow("Passes at", QLabel(line.limit, self))
        last = project.meter_readings[-1] if project.meter_readings else None
        self.value = QLineEdit(self)
        limit = line.test.limit
        self.value.setPlaceholderText(limit.passes if limit.is_of_words else limit.unit)
        self.is_over = QCheckBox("Over range: the meter shows no number", self)
        self.is_over.setVisible(not limit.is_of_words)
        self.instrument = QLineEdit(last.instrument if last else "", self)
        self.by = QLineEdit(last.by if last else "", self)
        form.addRow("Read", self.value)
        form.addRow("", self.is_over)
        form.addRow("Instrument", self.instrument)
        form.addRow("By", self.by)
        self.verdict = QLabel(self)
        self.verdict.setWordWrap(True)
        self.body.addWidget(self.verdict)
        self.value.textChanged.connect(self._judge)
        self.is_over.toggled.connect(self._judge)
        self.makes(self._step)
        self.resize(560, self.sizeHint().height())
        self.value.setFocus()

    def _fields(self) -> tuple[float | None, str, bool, str]:
        """The reading as typed: number, unit, over range, word."""
        text = self.value.text().strip()
        if self.is_over.isChecked():
            return None, "", True, ""
        if not text:
            raise EditError("Type what the meter showed, or tick that it is over range.")
        if self._line.test.limit.is_of_words:
            return None, "", False, text
        number, _, unit = text.replace(",", ".").partition(" ")
        try:
            return float(number), unit.strip() or self._line.test.limit.unit, False, ""
        except ValueError:
            raise EditError(f"{text!r} is no number; write it like 0.4 or 0.4 ohm.") from None

    def _judge(self) -> None:
        """Say at once what the typed reading would mean."""
        try:
            value, unit, is_over, text = self._fields()
            reading = MeterReading(
                id="reading-0",
                test=self._line.test.key,
                value=value,
                unit=unit,
                is_over_range=is_over,
                text=text,
            )
            verdict = judge(self._line.test, reading)
        except LoomfolioError:
            self.verdict.setText("")
            return
        self.verdict.setText(f"{verdict.outcome.upper()}: {verdict.sentence}")

    def _step(self) -> Step:
        value, unit, is_over, text = self._fields()
        made = edits.add_reading(
            self._project,
            test=self._line.test.key,
            value=value,
            unit=unit,
            is_over_range=is_over,
            text=text,
            instrument=self.instrument.text().strip(),
            by=self.by.text().strip(),
            on=today(),
        )
        reading = made.project.meter_readings[-1]
        judge(self._line.test, reading)  # a unit that does not fit is refused here, not later
        return Step(f"Reading: {self._line.test.title}", made.project)
