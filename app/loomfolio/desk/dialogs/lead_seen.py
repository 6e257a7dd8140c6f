"""A lead found by looking or measuring, missed, or found to go elsewhere: more than one cavity can tell."""

from __future__ import annotations

from datetime import date
from typing import Literal, get_args

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit, QListWidget, QListWidgetItem, QPushButton, QWidget

from loomfolio.basics import EditError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.dates import day_of
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.dialogs.lead_note import area_of, colour_of
from loomfolio.desk.gestures import Step
from loomfolio.project import Known, LeadEntry, Project, edits, find_pin, pin_text

State = Literal["there", "not there", "goes elsewhere"]
STATES: tuple[State, ...] = get_args(State)
HOWS = ("seen", "measured")
_ENTRY = Qt.ItemDataRole.UserRole


class LeadSeenDialog(FormDialog):
    """One lead, and below it those that are recorded already."""

    def __init__(self, project: Project, today: date, parent: QWidget | None = None) -> None:
        super().__init__(
            "A lead seen",
            "What one cavity cannot tell: a lead that no sheet shows, one that is missing, or one that ends at "
            "another pin than drawn. Trace it, or measure it.",
            "Store this lead",
            parent,
        )
        self._project = project
        form = fields_of(self)
        self.specimen, self.state, self.how = ChoiceBox(self), ChoiceBox(self), ChoiceBox(self)
        for one in project.specimens:
            self.specimen.addItem(f"{one.name} ({one.kind})", one.id)
        self.state.addItems(list(STATES))
        self.how.addItems(list(HOWS))
        self.a, self.b, self.goes_to, self.colour, self.area, self.note = (
            QLineEdit(self) for _ in range(6)
        )
        self.on = QLineEdit(today.isoformat(), self)
        self.goes_to.setPlaceholderText("where its second end is instead; nothing: not known yet")
        for label, field in (
            ("Specimen", self.specimen),
            ("From pin", self.a),
            ("To pin", self.b),
            ("The lead", self.state),
            ("Goes to", self.goes_to),
            ("Colour", self.colour),
            ("Area, mm²", self.area),
            ("Known", self.how),
            ("On", self.on),
            ("Note", self.note),
        ):
            form.addRow(label, field)
        self.a.setPlaceholderText("such as A27 C1:9")
        self.b.setPlaceholderText("such as X14.B:9")
        self.list = QListWidget(self)
        self.remove = QPushButton("Take the chosen one back", self)
        self.remove.setAutoDefault(False)
        self.remove.clicked.connect(self._remove)
        self.body.addWidget(self.list, 1)
        self.body.addWidget(self.remove)
        self.state.currentIndexChanged.connect(self._enable)
        self.specimen.currentIndexChanged.connect(self._show)
        self._show()
        self._enable()
        self.makes(self._step)
        self.resize(520, 640)

    def _enable(self) -> None:
        self.goes_to.setEnabled(self.state.currentText() == "goes elsewhere")

    def _entries(self) -> list[LeadEntry]:
        specimen = self.specimen.currentData()
        return [
            entry
            for entry in self._project.survey
            if isinstance(entry, LeadEntry) and entry.specimen == specimen
        ]

    def _show(self) -> None:
        self.list.clear()
        for entry in self._entries():
            ends = " to ".join(pin_text(self._project, pin) for pin in entry.ends)
            where = f" to {pin_text(self._project, entry.goes_to)}" if entry.goes_to else ""
            item = QListWidgetItem(f"{ends}: {entry.state}{where}")
            item.setData(_ENTRY, entry.id)
            self.list.addItem(item)
        self.remove.setEnabled(self.list.count() > 0)

    def _remove(self) -> None:
        item = self.list.currentItem()
        if item is not None:
            project = edits.remove_entries(self._project, [item.data(_ENTRY)])
            self.step = Step("Take back a lead seen", project)
            self.accept()

    def _step(self) -> Step:
        project, texts = self._project, (self.a.text().strip(), self.b.text().strip())
        if not all(texts):
            raise EditError("A lead has two ends; type the pin at each of them.")
        ends = (find_pin(project, texts[0]), find_pin(project, texts[1]))
        goes_to = self.goes_to.text().strip() if self.goes_to.isEnabled() else ""
        how: Literal["seen", "measured"] = "measured" if self.how.currentIndex() else "seen"
        made = edits.record_lead(
            project,
            specimen=str(self.specimen.currentData()),
            ends=ends,
            state=STATES[self.state.currentIndex()],
            goes_to=find_pin(project, goes_to) if goes_to else None,
            colour=colour_of(self.colour.text()),
            area_mm2=area_of(self.area.text()),
            note=self.note.text().strip(),
            known=Known(how=how, on=day_of(self.on.text())),
        )
        words = " to ".join(pin_text(project, pin) for pin in ends)
        return Step(f"Survey: lead {words} {self.state.currentText()}", made.project)
