"""The connectors and cavities of a part: signal names, and with which options each of them is there."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from loomfolio.basics import EditError
from loomfolio.desk.dialogs.form import FormDialog
from loomfolio.desk.gestures import Step
from loomfolio.desk.option_notes import condition_of
from loomfolio.project import (
    Cavity,
    Connector,
    Half,
    HalfKey,
    Part,
    Project,
    all_pins,
    edits,
    natural_order,
)

_HEADS = ("Connector", "Half", "Cavity", "Signal", "Only with")
_SPARE_ROWS = 3


@dataclass(frozen=True, slots=True)
class CavityRow:
    """One line: a cavity, or with an empty cavity the connector itself."""

    connector: str = ""
    half: str = ""
    cavity: str = ""
    name: str = ""
    when: str = ""


def rows_of_part(project: Project, part: Part) -> list[CavityRow]:
    """Return a line for each connector and each cavity that is drawn or named anywhere."""
    named = {
        (connector.name, half.name, cavity.pin): cavity
        for connector in part.connectors
        for half in connector.halves
        for cavity in half.cavities
    }
    drawn = {(p.connector, p.half, p.pin) for p in all_pins(project) if p.part == part.id}
    rows = [CavityRow(connector=one.name, when=one.when) for one in part.connectors]
    for key in sorted({*named, *drawn}, key=lambda k: (k[0], k[1], natural_order(k[2]))):
        cavity = named.get(key)
        rows.append(CavityRow(*key, cavity.name if cavity else "", cavity.when if cavity else ""))
    return rows


def part_with_rows(part: Part, rows: list[CavityRow]) -> Part:
    """Return a part with its cavities as they are typed; faces and what is known of a cavity stay."""
    whens = {row.connector: row.when for row in rows if not row.cavity}
    halves: dict[HalfKey, list[CavityRow]] = {}
    for row in rows:
        if row.cavity:
            key = HalfKey(part=part.id, connector=row.connector, half=row.half)
            halves.setdefault(key, []).append(row)
    known = {connector.name: connector for connector in part.connectors}
    names = dict.fromkeys([*known, *(key.connector for key in halves), *whens])
    connectors = []
    for name in names:
        old = known.get(name, Connector(name=name, halves=()))
        own = {half.name: half for half in old.halves}
        for half_name in (key.half for key in halves if key.connector == name):
            own.setdefault(half_name, Half(name=half_name))
        made = tuple(
            _half(half, halves.get(HalfKey(part=part.id, connector=name, half=half.name), []))
            for half in own.values()
        )
        update = {"halves": made, "when": whens.get(name, old.when)}
        connectors.append(old.model_copy(update=update))
    return part.model_copy(update={"connectors": tuple(connectors)})


def _half(half: Half, rows: list[CavityRow]) -> Half:
    """A half with the cavities that have something to say, or were named before."""
    old = {cavity.pin: cavity for cavity in half.cavities}
    cavities = [
        old.get(row.cavity, Cavity(pin=row.cavity)).model_copy(
            update={"name": row.name, "when": row.when}
        )
        for row in rows
        if row.cavity in old or row.name or row.when
    ]
    return half.model_copy(update={"cavities": tuple(cavities)})


class CavitiesDialog(FormDialog):
    """All lines of one part; a line without a cavity speaks of the whole connector."""

    def __init__(self, project: Project, part: Part, parent: QWidget | None = None) -> None:
        super().__init__(
            f"Cavities of {part.name}",
            "Only with: options with & | ! and brackets, such as towing or !towing; nothing means always. A line "
            "without a cavity speaks of the whole connector.",
            "Set cavities",
            parent,
        )
        self._project, self._part = project, part
        rows = rows_of_part(project, part)
        self.table = QTableWidget(len(rows) + _SPARE_ROWS, len(_HEADS), self)
        self.table.setHorizontalHeaderLabels(list(_HEADS))
        self.table.verticalHeader().hide()
        self.table.verticalHeader().setDefaultSectionSize(32)
        header = self.table.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        for column in (3, 4):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Stretch)
        for number in range(self.table.rowCount()):
            row = rows[number] if number < len(rows) else CavityRow()
            cells = (row.connector, row.half, row.cavity, row.name, row.when)
            for column, words in enumerate(cells):
                self.table.setItem(number, column, QTableWidgetItem(words))
        self.body.addWidget(self.table, 1)
        self.makes(self._step)
        self.resize(680, 600)

    def _rows(self) -> list[CavityRow]:
        rows: list[CavityRow] = []
        for number in range(self.table.rowCount()):
            cells = [self._text(number, column) for column in range(len(_HEADS))]
            if not any(cells):
                continue
            try:
                connector, half, cavity, name, when = cells
                row = CavityRow(connector, half, cavity, name, condition_of(when))
            except EditError as error:
                raise EditError(f"Row {number + 1}: {error}") from error
            if not row.cavity and row.name:
                raise EditError(f"Row {number + 1} names a signal but no cavity; type its number.")
            rows.append(row)
        keys = [(row.connector, row.half, row.cavity) for row in rows]
        doubled = next((key for key in keys if keys.count(key) > 1), None)
        if doubled is not None:
            raise EditError(f"{':'.join(doubled).strip(':')} stands there twice; keep one line.")
        return rows

    def _text(self, row: int, column: int) -> str:
        item = self.table.item(row, column)
        return item.text().strip() if item is not None else ""

    def _step(self) -> Step:
        changed = part_with_rows(self._part, self._rows())
        return Step(f"Cavities of {self._part.name}", edits.change_part(self._project, changed))
