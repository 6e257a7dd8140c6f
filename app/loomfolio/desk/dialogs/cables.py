"""Leads that belong together: pairs, twisted and screened ones, and cables that are only replaced whole."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, get_args

from PySide6.QtWidgets import (
    QHeaderView,
    QLabel,
    QLineEdit,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from loomfolio.basics import EditError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.gestures import Step
from loomfolio.project import CableGroup, PinKey, Project, edits, find_pin, parse, pin_text

Kind = Literal["pair", "twist", "screen", "cable"]
KINDS: tuple[Kind, ...] = get_args(Kind)
_SAID: dict[Kind, str] = {
    "pair": "pair: lie side by side",
    "twist": "twisted pair",
    "screen": "screened: goes over whole",
    "cable": "one cable: replaced whole only",
}
_NEW = "New cable"
_SPARE_ROWS = 3


class CablesDialog(FormDialog):
    """One group of leads at a time."""

    def __init__(self, project: Project, parent: QWidget | None = None) -> None:
        super().__init__(
            "Cables",
            "Leads that belong together, each by the pins at its two ends, such as A27 C1:15 and B14:1. A cable is "
            "replaced whole: no lead of it is opened, cut or joined.",
            "Set cable",
            parent,
        )
        self._project = project
        form = fields_of(self)
        self.cable = ChoiceBox(self)
        self.cable.addItem(_NEW)
        for one in project.groups:
            self.cable.addItem(one.name, one.id)
        self.kind = ChoiceBox(self)
        self.kind.addItems([_SAID[kind] for kind in KINDS])
        self.name, self.screen_ends, self.when = (QLineEdit(self) for _ in range(3))
        self.screen_ends.setPlaceholderText("pins that the screen ends at, between commas")
        self.when.setPlaceholderText("options, such as towing; nothing: always")
        for label, field in (
            ("Cable", self.cable),
            ("Its name", self.name),
            ("Kind", self.kind),
            ("Screen ends at", self.screen_ends),
            ("Only with", self.when),
        ):
            form.addRow(label, field)
        self.leads = QTableWidget(0, 2, self)
        self.leads.setHorizontalHeaderLabels(["From", "To"])
        self.leads.verticalHeader().hide()
        self.leads.verticalHeader().setDefaultSectionSize(32)
        self.leads.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.remove = QPushButton("Remove this cable; its leads stay", self)
        self.remove.setAutoDefault(False)
        self.remove.clicked.connect(self._remove)
        self.body.addWidget(QLabel("Leads", self))
        self.body.addWidget(self.leads, 1)
        self.body.addWidget(self.remove)
        self.cable.currentIndexChanged.connect(self._show)
        self.cable.setCurrentIndex(1 if project.groups else 0)
        self._show()
        self.makes(self._step)
        self.resize(520, 560)

    @property
    def _chosen(self) -> CableGroup | None:
        group_id = self.cable.currentData()
        return next((one for one in self._project.groups if one.id == group_id), None)

    def _show(self) -> None:
        one, text = self._chosen, self._text
        self.name.setText(one.name if one else "")
        self.kind.setCurrentIndex(KINDS.index(one.kind) if one else 0)
        self.screen_ends.setText(", ".join(text(pin) for pin in one.screen_ends) if one else "")
        self.when.setText(one.when if one else "")
        self.remove.setEnabled(one is not None)
        pairs = one.pins if one else ()
        self.leads.setRowCount(len(pairs) + _SPARE_ROWS)
        for row in range(self.leads.rowCount()):
            ends: Sequence[PinKey] = pairs[row] if row < len(pairs) else ()
            for column in (0, 1):
                words = text(ends[column]) if ends else ""
                self.leads.setItem(row, column, QTableWidgetItem(words))

    def _text(self, pin: PinKey) -> str:
        return pin_text(self._project, pin)

    def _remove(self) -> None:
        one = self._chosen
        if one is not None:
            self.step = Step(f"Remove cable {one.name}", edits.remove_group(self._project, one.id))
            self.accept()

    def _pairs(self) -> tuple[tuple[PinKey, PinKey], ...]:
        pairs: list[tuple[PinKey, PinKey]] = []
        for row in range(self.leads.rowCount()):
            a, b = (self._cell(row, column) for column in (0, 1))
            if bool(a) != bool(b):
                raise EditError(f"Row {row + 1} has one end only; type the other one too.")
            if a:
                pairs.append((find_pin(self._project, a), find_pin(self._project, b)))
        if not pairs:
            raise EditError("A cable has leads; type the pins at the two ends of each.")
        return tuple(pairs)

    def _cell(self, row: int, column: int) -> str:
        item = self.leads.item(row, column)
        return item.text().strip() if item is not None else ""

    def _step(self) -> Step:
        name, when = self.name.text().strip(), self.when.text().strip()
        if not name:
            raise EditError("A cable needs a name, such as Charge CAN; type one.")
        parse(when)
        kind, pairs = KINDS[self.kind.currentIndex()], self._pairs()
        words = (word.strip() for word in self.screen_ends.text().split(","))
        screen = tuple(find_pin(self._project, word) for word in words if word)
        chosen = self._chosen
        if chosen is None:
            made = edits.add_group(
                self._project, name=name, kind=kind, pins=pairs, screen_ends=screen, when=when
            )
            return Step(f"Add cable {name}", made.project)
        update = {"name": name, "kind": kind, "pins": pairs, "screen_ends": screen, "when": when}
        changed = edits.change_group(self._project, chosen.model_copy(update=update))
        return Step(f"Change cable {name}", changed)
