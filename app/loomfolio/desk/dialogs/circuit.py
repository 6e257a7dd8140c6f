"""What is known of the circuit at one pin: its class, what is drawn there, what feeds it."""

from __future__ import annotations

from typing import get_args

from PySide6.QtWidgets import QLabel, QLineEdit, QWidget

from loomfolio.basics import EditError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.dialogs.numbers import number_of
from loomfolio.desk.gestures import Step
from loomfolio.project import (
    CircuitClass,
    CircuitNote,
    Known,
    LoadNote,
    PinKey,
    Project,
    SupplyNote,
    edits,
    pin_text,
)

_NONE = "nothing special is known"
CLASSES: tuple[CircuitClass, ...] = get_args(CircuitClass)


class CircuitDialog(FormDialog):
    """One pin: what its net is, what it draws, what it supplies. Only what is filled in is kept."""

    def __init__(self, project: Project, pin: PinKey, parent: QWidget | None = None) -> None:
        super().__init__(
            "What is known here",
            f"The circuit at {pin_text(project, pin)}. Sizes, fuses, rules and what is live rest on this; "
            "leave empty what nobody knows.",
            "Keep this",
            parent,
        )
        self._project, self._pin = project, pin
        own = [one for one in project.electric_notes if getattr(one, "pin", None) == pin]
        self._circuit = next((one for one in own if isinstance(one, CircuitNote)), None)
        self._load = next((one for one in own if isinstance(one, LoadNote)), None)
        self._supply = next((one for one in own if isinstance(one, SupplyNote)), None)
        form = fields_of(self)
        self.circuit = ChoiceBox(self)
        self.circuit.addItem(_NONE, None)
        for word in CLASSES:
            self.circuit.addItem(word, word)
        if self._circuit is not None:
            self.circuit.setCurrentIndex(1 + CLASSES.index(self._circuit.circuit))
        self.highest_v = _field(self, self._circuit.voltage_v if self._circuit else None)
        self.load_a = _field(self, self._load.current_a if self._load else None)
        self.inrush_a = _field(self, self._load.inrush_a if self._load else None)
        self.supply_v = _field(self, self._supply.voltage_v if self._supply else None)
        self.fuse_a = _field(self, self._supply.fuse_a if self._supply else None)
        form.addRow("Its net is", self.circuit)
        form.addRow("Highest voltage, V", self.highest_v)
        form.addRow("Draws, A", self.load_a)
        form.addRow("At the start, A", self.inrush_a)
        form.addRow("Supplies, V", self.supply_v)
        form.addRow("Behind a fuse of, A", self.fuse_a)
        self.caution = QLabel(
            "High voltage: by qualified persons only, by the maker's instructions and local codes.",
            self,
        )
        self.caution.setObjectName("caution")
        self.caution.setWordWrap(True)
        self.body.addWidget(self.caution)
        self.circuit.currentIndexChanged.connect(self._warn)
        self._warn()
        self.makes(self._step)
        self.resize(520, self.sizeHint().height())

    def _warn(self) -> None:
        self.caution.setVisible(self.circuit.currentData() in {"high voltage", "traction minus"})

    def _step(self) -> Step:
        project, pin = self._project, self._pin
        highest, load = (
            number_of(self.highest_v.text(), "voltage"),
            number_of(self.load_a.text(), "current"),
        )
        supply, inrush = (
            number_of(self.supply_v.text(), "voltage"),
            number_of(self.inrush_a.text(), "current"),
        )
        gone = [
            old.id
            for old, wanted in (
                (self._circuit, self.circuit.currentData()),
                (self._load, load),
                (self._supply, supply),
            )
            if old is not None and (wanted is None or old is self._circuit)
        ]
        project = edits.remove_notes(project, gone) if gone else project
        if self.circuit.currentData() is not None:
            project = edits.note_circuit(
                project,
                pin=pin,
                circuit=self.circuit.currentData(),
                voltage_v=highest,
                known=self._circuit.known if self._circuit is not None else Known(),
            ).project
        elif highest is not None:
            raise EditError("Say what the net is, or leave its voltage empty.")
        if load is not None:
            project = edits.note_load(
                project,
                pin=pin,
                current_a=load,
                inrush_a=inrush,
                back=self._load.back if self._load else None,
            ).project
        if supply is not None:
            project = edits.note_supply(
                project, pin=pin, voltage_v=supply, fuse_a=number_of(self.fuse_a.text(), "fuse")
            ).project
        return Step(f"What is known at {pin_text(self._project, pin)}", project)


def _field(dialog: QWidget, value: float | None) -> QLineEdit:
    field = QLineEdit(f"{value:g}" if value is not None else "", dialog)
    field.setPlaceholderText("not known")
    return field
