"""A state of the vehicle that the person names: which supplies are on, which switches are open or closed."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from loomfolio.basics import EditError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.gestures import Step
from loomfolio.project import (
    ElectricState,
    PinKey,
    Project,
    SupplyNote,
    WaySetting,
    edits,
    pin_text,
)

_NEW = "A new state"
_CHOICES = ("as at rest", "open", "closed")
Ends = tuple[PinKey, PinKey]


def switched_ways(project: Project) -> tuple[tuple[str, Ends], ...]:
    """Return what passes in a state, by what a person calls it: switches and contacts with their two pins."""
    found: list[tuple[str, Ends]] = []
    for part in project.parts:
        for way in part.ways:
            if way.relation != "passes" or part.kind == "fuse":
                continue
            a, b = (
                PinKey(part=part.id, connector=pin.connector, half=pin.half, pin=pin.pin)
                for pin in way.pins
            )
            ends = f"{pin_text(project, a)} to {pin_text(project, b)}"
            found.append((f"{way.label}: {ends}" if way.label else ends, (a, b)))
    return tuple(found)


class StatesDialog(FormDialog):
    """One state at a time: its name, the supplies that are on, and how switches and contacts stand."""

    def __init__(self, project: Project, parent: QWidget | None = None) -> None:
        super().__init__(
            "States of the vehicle",
            "Name a state as you would say it: parked, ignition on, charging. A relay's contact follows its coil "
            "unless it is set here.",
            "Keep this state",
            parent,
        )
        self._project, self._ways = project, switched_ways(project)
        form = fields_of(self)
        self.state = ChoiceBox(self)
        self.state.addItem(_NEW, "")
        for one in project.states:
            self.state.addItem(one.name, one.id)
        self.name = QLineEdit(self)
        form.addRow("State", self.state)
        form.addRow("Name", self.name)
        self._build_lists()
        self.state.currentIndexChanged.connect(self._show)
        self.makes(self._step)
        self._show()
        self.resize(620, 640)

    def _build_lists(self) -> None:
        self.supplies = QListWidget(self)
        sources = [one for one in self._project.electric_notes if isinstance(one, SupplyNote)]
        for one in sources:
            item = QListWidgetItem(f"{pin_text(self._project, one.pin)}, {one.voltage_v:g} V")
            item.setData(Qt.ItemDataRole.UserRole, one.pin)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Unchecked)
            self.supplies.addItem(item)
        words = (
            "Supplies that are on"
            if sources
            else "No supply is noted yet: Work, What is known here."
        )
        self.body.addWidget(QLabel(words, self))
        self.body.addWidget(self.supplies, 1)
        self.body.addWidget(QLabel("Switches and contacts", self))
        self.table = QTableWidget(len(self._ways), 2, self)
        self.table.horizontalHeader().hide()
        self.table.verticalHeader().hide()
        self.table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.table.setColumnWidth(1, 140)
        self.settings: list[QComboBox] = []
        for row, (words, _) in enumerate(self._ways):
            name = QTableWidgetItem(words)
            name.setFlags(Qt.ItemFlag.ItemIsEnabled)
            self.table.setItem(row, 0, name)
            box = ChoiceBox(self)
            box.addItems(_CHOICES)
            self.table.setCellWidget(row, 1, box)
            self.settings.append(box)
        self.body.addWidget(self.table, 2)

    @property
    def _chosen(self) -> ElectricState | None:
        wanted = self.state.currentData()
        return next((one for one in self._project.states if one.id == wanted), None)

    def _show(self) -> None:
        old = self._chosen
        self.name.setText(old.name if old else "")
        on = set(old.supplies) if old else set()
        for row in range(self.supplies.count()):
            item = self.supplies.item(row)
            is_on = item.data(Qt.ItemDataRole.UserRole) in on
            item.setCheckState(Qt.CheckState.Checked if is_on else Qt.CheckState.Unchecked)
        known = {frozenset(one.ends): one.is_closed for one in old.settings} if old else {}
        for (_, ends), box in zip(self._ways, self.settings, strict=True):
            is_closed = known.get(frozenset(ends))
            box.setCurrentIndex(0 if is_closed is None else 2 if is_closed else 1)

    def _step(self) -> Step:
        name = self.name.text().strip()
        if not name:
            raise EditError("Give the state a name, such as parked or ignition on.")
        supplies = tuple(
            item.data(Qt.ItemDataRole.UserRole)
            for item in (self.supplies.item(row) for row in range(self.supplies.count()))
            if item.checkState() == Qt.CheckState.Checked
        )
        settings = tuple(
            WaySetting(ends=ends, is_closed=box.currentIndex() == 2)
            for (_, ends), box in zip(self._ways, self.settings, strict=True)
            if box.currentIndex()
        )
        old = self._chosen
        if old is None:
            made = edits.add_state(self._project, name=name, supplies=supplies, settings=settings)
            return Step(f"Name the state {name}", made.project)
        changed = old.model_copy(update={"name": name, "supplies": supplies, "settings": settings})
        return Step(f"Change the state {name}", edits.change_state(self._project, changed))
