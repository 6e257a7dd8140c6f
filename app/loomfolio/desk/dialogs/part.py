"""What a part is, and how it conducts inside."""

from __future__ import annotations

from collections.abc import Sequence
from typing import get_args

from PySide6.QtWidgets import (
    QHBoxLayout,
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
from loomfolio.desk.dialogs.only_with import PLACEHOLDER
from loomfolio.desk.dialogs.pin_words import inner_pin_text, inner_pins
from loomfolio.desk.gestures import Step
from loomfolio.desk.option_notes import condition_of
from loomfolio.project import InnerWay, Part, PartKind, Project, edits, standard_ways

PART_KINDS: tuple[PartKind, ...] = get_args(PartKind)
RELATIONS = ("joined", "passes", "loads")
AT_REST = ("unknown", "open", "closed")
_HEADS = ("Relation", "Pins", "What it is", "At rest")
_NO_REFERENCE = "none"
CHOICE_PX = 132


class PartDialog(FormDialog):
    """Name, kind, reference and inner ways of one part."""

    def __init__(self, project: Project, part: Part, parent: QWidget | None = None) -> None:
        super().__init__(
            f"Part {part.name}",
            "Joined: the same metal. Passes: conducts in a state, as a fuse or a contact does. "
            "Loads: conducts through something that works, as a coil or a lamp.",
            "Change part",
            parent,
        )
        self._project, self._part = project, part
        form = fields_of(self)
        self.name = QLineEdit(part.name, self)
        self.kind = ChoiceBox(self)
        self.kind.addItems(list(PART_KINDS))
        self.kind.setCurrentText(part.kind)
        self.reference = ChoiceBox(self)
        self.reference.addItem(_NO_REFERENCE)
        for reference in project.references:
            self.reference.addItem(f"{reference.name} ({reference.kind})", reference.id)
        self.reference.setCurrentIndex(max(self.reference.findData(part.reference), 0))
        self.note, self.when = QLineEdit(part.note, self), QLineEdit(part.when, self)
        self.when.setPlaceholderText(PLACEHOLDER)
        form.addRow("Name", self.name)
        form.addRow("Kind", self.kind)
        form.addRow("Reference", self.reference)
        form.addRow("Note", self.note)
        form.addRow("Only with", self.when)
        self._build_ways(part.ways)
        self.kind.currentTextChanged.connect(self._offer_usual)
        self._offer_usual()
        self.makes(self._step)
        self.resize(620, 540)

    def _build_ways(self, ways: Sequence[InnerWay]) -> None:
        head = QLabel("How it conducts inside", self)
        self.usual = QPushButton("Take the usual ways", self)
        self.usual.clicked.connect(self._take_usual)
        self.add_way = QPushButton("Add way", self)
        self.add_way.clicked.connect(lambda: self._add_row(None))
        self.remove_way = QPushButton("Remove way", self)
        self.remove_way.clicked.connect(self._remove_row)
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(head, 1)
        for button in (self.usual, self.add_way, self.remove_way):
            button.setAutoDefault(False)
            row.addWidget(button)
        self.ways = QTableWidget(0, len(_HEADS), self)
        self.ways.setHorizontalHeaderLabels(list(_HEADS))
        self.ways.verticalHeader().hide()
        self.ways.verticalHeader().setDefaultSectionSize(36)
        header = self.ways.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        for narrow in (0, 3):
            header.setSectionResizeMode(narrow, QHeaderView.ResizeMode.Fixed)
            self.ways.setColumnWidth(narrow, CHOICE_PX)
        for way in ways:
            self._add_row(way)
        self.body.addLayout(row)
        self.body.addWidget(self.ways, 1)

    def _offer_usual(self) -> None:
        usual = standard_ways(self._kind)
        self.usual.setEnabled(bool(usual))
        self.usual.setToolTip(
            f"Take the ways that a {self._kind} has by its standard pin numbers"
            if usual
            else f"A {self._kind} has no standard pin numbers: the sheet says how it conducts"
        )

    @property
    def _kind(self) -> PartKind:
        return PART_KINDS[self.kind.currentIndex()]

    def _take_usual(self) -> None:
        self.ways.setRowCount(0)
        for way in standard_ways(self._kind):
            self._add_row(way)

    def _add_row(self, way: InnerWay | None) -> None:
        row = self.ways.rowCount()
        self.ways.insertRow(row)
        self.ways.setCellWidget(row, 0, _choice(RELATIONS, way.relation if way else "passes"))
        pins = ", ".join(inner_pin_text(pin) for pin in way.pins) if way else ""
        self.ways.setItem(row, 1, QTableWidgetItem(pins))
        self.ways.setItem(row, 2, QTableWidgetItem(way.label if way else ""))
        self.ways.setCellWidget(row, 3, _choice(AT_REST, way.at_rest if way else "unknown"))

    def _remove_row(self) -> None:
        if self.ways.currentRow() >= 0:
            self.ways.removeRow(self.ways.currentRow())

    def _way(self, row: int) -> InnerWay:
        relation, rest = (_chosen(self.ways.cellWidget(row, column)) for column in (0, 3))
        pins = inner_pins(self._text(row, 1))
        if len(pins) < 2 or (relation != "joined" and len(pins) != 2):
            need = "two pins or more" if relation == "joined" else "exactly two pins"
            raise EditError(
                f"A way that is {relation!r} has {need}; row {row + 1} has {len(pins)}."
            )
        return InnerWay.model_validate(
            {"relation": relation, "pins": pins, "label": self._text(row, 2), "at_rest": rest}
        )

    def _text(self, row: int, column: int) -> str:
        item = self.ways.item(row, column)
        return item.text().strip() if item is not None else ""

    def _step(self) -> Step:
        changed = self._part.model_copy(
            update={
                "name": self.name.text().strip(),
                "kind": self._kind,
                "reference": self.reference.currentData(),
                "note": self.note.text().strip(),
                "when": condition_of(self.when.text()),
                "ways": tuple(self._way(row) for row in range(self.ways.rowCount())),
            }
        )
        return Step(f"Change part {changed.name}", edits.change_part(self._project, changed))


def _choice(words: Sequence[str], chosen: str) -> ChoiceBox:
    box = ChoiceBox()
    box.addItems(list(words))
    box.setCurrentText(chosen)
    return box


def _chosen(widget: QWidget | None) -> str:
    return widget.currentText() if isinstance(widget, ChoiceBox) else ""
