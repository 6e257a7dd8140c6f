"""The early answer: what the job takes, done in each possible way, and what is not known yet."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHeaderView, QLabel, QTableWidget, QTableWidgetItem, QWidget

from loomfolio.desk.dialogs.form import FormDialog
from loomfolio.retrofit import Alternative, Estimate, Span

MOST_DETAILS = 8
_HEADINGS = ("Done with", "Leads", "Joints", "Parts", "Hours", "Remarks")


class EstimateDialog(FormDialog):
    """Shows an estimate; its button writes the page for the customer."""

    def __init__(self, estimate: Estimate, parent: QWidget | None = None) -> None:
        super().__init__(
            "Estimate",
            "From the gaps that stand open in scope. What is only to be looked at counts from none to all; "
            "hours are common practice, with no source.",
            "Write the page…",
            parent,
        )
        self.table = QTableWidget(len(estimate.alternatives), len(_HEADINGS), self)
        self.table.setHorizontalHeaderLabels(list(_HEADINGS))
        self.table.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        self.table.verticalHeader().hide()
        self.table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.table.setSelectionMode(QTableWidget.SelectionMode.NoSelection)
        self.table.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.table.setWordWrap(True)
        for row, one in enumerate(estimate.alternatives):
            for column, words in enumerate(_cells(one, is_chosen=one.kind == estimate.chosen)):
                self.table.setItem(row, column, QTableWidgetItem(words))
        header = self.table.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(len(_HEADINGS) - 1, QHeaderView.ResizeMode.Stretch)
        self.table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.unknowns = QLabel(_unknowns(estimate), self)
        self.unknowns.setWordWrap(True)
        self.body.addWidget(self.table, 1)
        self.body.addWidget(self.unknowns)
        self.resize(860, 520)


def _cells(one: Alternative, *, is_chosen: bool) -> tuple[str, ...]:
    kind = f"{one.kind}   ✓ fewest hours" if is_chosen else one.kind
    remarks = "\n".join((*one.remarks, *one.details))
    if not one.is_possible:
        return (kind, "", "", "", "", f"Not possible: {remarks}")
    spans = (span_text(span) for span in (one.leads, one.joints, one.parts, one.hours))
    return (kind, *spans, remarks)


def span_text(span: Span) -> str:
    """Return a span in figures: `13`, or `2 to 13`.

    >>> span_text(Span(2.0, 13.5))
    '2 to 13.5'
    """
    least, most = (f"{round(value, 1):g}" for value in (span.least, span.most))
    return least if least == most else f"{least} to {most}"


def _unknowns(estimate: Estimate) -> str:
    if not estimate.unknowns:
        return "Nothing is left to be looked at before the work."
    lines = ["<b>Not known yet; so it stands on the page for the customer</b>", *estimate.unknowns]
    if estimate.details:
        lines += ["<br><b>For the workshop</b>", *estimate.details[:MOST_DETAILS]]
    if len(estimate.details) > MOST_DETAILS:
        lines.append(
            f"and {len(estimate.details) - MOST_DETAILS} more; the shell lists all of them"
        )
    return "<br>".join(lines)
