"""Where things lie: zones, the ways between them with their lengths, and which part lies in which zone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from PySide6.QtWidgets import (
    QComboBox,
    QHeaderView,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from loomfolio.basics import EditError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.form import FormDialog
from loomfolio.desk.dialogs.numbers import number_of
from loomfolio.desk.gestures import Step
from loomfolio.project import Project, Zone, edits

WET = ("not known", "dry", "wet")
VIBRATION = ("not known", "low", "high")
_NOWHERE = "not said"
_WETNESS: tuple[bool | None, ...] = (None, False, True)
_SHAKES: tuple[Literal["low", "high"] | None, ...] = (None, "low", "high")


class ZonesDialog(FormDialog):
    """Three tables: zones, ways, and where the parts lie. All that was changed is one step."""

    def __init__(self, project: Project, parent: QWidget | None = None) -> None:
        super().__init__(
            "Where it runs",
            "Lengths of leads are reckoned along these ways; zones choose insulation, seals and sleeves. What is "
            "not said here is measured on the vehicle.",
            "Keep this",
            parent,
        )
        self._project = project
        self.tabs = QTabWidget(self)
        self.zones = self._table(("Zone", "Wet", "Ambient, °C", "Vibration", "Comes off first"))
        self.ways = self._table(("From", "To", "Length, m", "Opening, mm"))
        self.places = self._table(("Part", "Lies in"))
        self._page("Zones", self.zones, "Add a zone", self._add_zone)
        self._page("Ways between them", self.ways, "Add a way", self._add_way)
        self._page("Where the parts lie", self.places, "", None)
        self.body.addWidget(self.tabs, 1)
        for zone in project.zones:
            self._add_zone(zone)
        for way in project.zone_ways:
            self._add_way(
                (*way.zones, f"{way.length_m:g}", f"{way.opening_mm:g}" if way.opening_mm else "")
            )
        self._show_places()
        self.tabs.currentChanged.connect(self._offer_zones)
        self.makes(self._step)
        self.resize(820, 560)

    def _table(self, heads: Sequence[str]) -> QTableWidget:
        table = QTableWidget(0, len(heads), self)
        table.setHorizontalHeaderLabels(list(heads))
        table.verticalHeader().hide()
        table.verticalHeader().setDefaultSectionSize(34)
        table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        return table

    def _page(self, title: str, table: QTableWidget, verb: str, add: object) -> None:
        page = QWidget(self)
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 8, 0, 0)
        column.addWidget(table, 1)
        if callable(add):
            button = QPushButton(verb, page)
            button.setAutoDefault(False)
            button.clicked.connect(lambda *_: add())
            column.addWidget(button)
        self.tabs.addTab(page, title)

    # ---------------------------------------------------------------------------------------- rows

    def _add_zone(self, zone: Zone | None = None) -> None:
        row = self.zones.rowCount()
        self.zones.insertRow(row)
        self.zones.setItem(row, 0, QTableWidgetItem(zone.name if zone else ""))
        ambient = f"{zone.ambient_c:g}" if zone is not None and zone.ambient_c is not None else ""
        self.zones.setItem(row, 2, QTableWidgetItem(ambient))
        self.zones.setItem(row, 4, QTableWidgetItem(", ".join(zone.covers) if zone else ""))
        wet = _WETNESS.index(zone.is_wet) if zone else 0
        shakes = _SHAKES.index(zone.vibration) if zone else 0
        for column, words, chosen in ((1, WET, wet), (3, VIBRATION, shakes)):
            box = ChoiceBox(self)
            box.addItems(words)
            box.setCurrentIndex(chosen)
            self.zones.setCellWidget(row, column, box)

    def _add_way(self, way: tuple[str, str, str, str] | None = None) -> None:
        row = self.ways.rowCount()
        self.ways.insertRow(row)
        names = {zone.id: zone.name for zone in self._project.zones}
        for column in (0, 1):
            self.ways.setCellWidget(row, column, ChoiceBox(self))
            self._fill(self._box(self.ways, row, column), names.get(way[column], "") if way else "")
        for column in (2, 3):
            self.ways.setItem(row, column, QTableWidgetItem(way[column] if way else ""))

    def _show_places(self) -> None:
        names = {zone.id: zone.name for zone in self._project.zones}
        lies = {one.part: names[one.zone] for one in self._project.placements if one.half is None}
        self.places.setRowCount(len(self._project.parts))
        for row, part in enumerate(self._project.parts):
            self.places.setItem(row, 0, QTableWidgetItem(part.name))
            self.places.setCellWidget(row, 1, ChoiceBox(self))
            self._fill(self._box(self.places, row, 1), lies.get(part.id, ""))

    def _fill(self, box: QComboBox, chosen: str) -> None:
        """Offer the zones as they are written now."""
        box.clear()
        box.addItem(_NOWHERE)
        box.addItems(self.zone_names)
        box.setCurrentText(chosen or _NOWHERE)

    def _offer_zones(self) -> None:
        """A zone that was just written can be chosen in the other tables."""
        for row in range(self.ways.rowCount()):
            for column in (0, 1):
                box = self._box(self.ways, row, column)
                self._fill(box, box.currentText())
        for row in range(self.places.rowCount()):
            box = self._box(self.places, row, 1)
            self._fill(box, box.currentText())

    @property
    def zone_names(self) -> list[str]:
        """The names of the zones as they are written now."""
        return [name for row in range(self.zones.rowCount()) if (name := _text(self.zones, row, 0))]

    @staticmethod
    def _box(table: QTableWidget, row: int, column: int) -> QComboBox:
        box = table.cellWidget(row, column)
        if not isinstance(box, QComboBox):  # pragma: no cover - every such cell holds one
            raise TypeError(type(box))
        return box

    # ---------------------------------------------------------------------------------------- step

    def _step(self) -> Step:
        project = self._with_zones(self._project)
        project = self._with_ways(project)
        project = self._with_places(project)
        return Step("Where it runs", project)

    def _with_zones(self, project: Project) -> Project:
        known = {zone.name.casefold(): zone for zone in project.zones}
        kept: set[str] = set()
        for row in range(self.zones.rowCount()):
            name = _text(self.zones, row, 0)
            if not name:
                continue
            if name.casefold() in kept:
                raise EditError(f"Two zones are called {name}; give one another name.")
            kept.add(name.casefold())
            covers = tuple(
                one.strip() for one in _text(self.zones, row, 4).split(",") if one.strip()
            )
            is_wet = _WETNESS[self._box(self.zones, row, 1).currentIndex()]
            vibration = _SHAKES[self._box(self.zones, row, 3).currentIndex()]
            ambient_c = number_of(_text(self.zones, row, 2), "temperature")
            old = known.get(name.casefold())
            if old is None:
                project = edits.add_zone(
                    project,
                    name=name,
                    is_wet=is_wet,
                    ambient_c=ambient_c,
                    vibration=vibration,
                    covers=covers,
                ).project
            else:
                fields = {
                    "is_wet": is_wet,
                    "ambient_c": ambient_c,
                    "vibration": vibration,
                    "covers": covers,
                }
                changed = old.model_copy(update=fields)
                project = edits.change_zone(project, changed) if changed != old else project
        for old_name, zone in known.items():
            project = project if old_name in kept else edits.remove_zone(project, zone.id)
        return project

    def _with_ways(self, project: Project) -> Project:
        ids = {zone.name: zone.id for zone in project.zones}
        wanted: dict[frozenset[str], tuple[tuple[str, str], float, float | None]] = {}
        for row in range(self.ways.rowCount()):
            a, b = (ids.get(self._box(self.ways, row, column).currentText()) for column in (0, 1))
            length_m = number_of(_text(self.ways, row, 2), "length")
            if a is None or b is None or length_m is None:
                continue
            opening_mm = number_of(_text(self.ways, row, 3), "opening")
            wanted[frozenset((a, b))] = ((a, b), length_m, opening_mm)
        for way in project.zone_ways:
            told = wanted.pop(frozenset(way.zones), None)
            if told is None:
                project = edits.remove_zone_way(project, way.id)
                continue
            changed = way.model_copy(update={"length_m": told[1], "opening_mm": told[2]})
            project = edits.change_zone_way(project, changed) if changed != way else project
        for zones, length_m, opening_mm in wanted.values():
            project = edits.add_zone_way(
                project, zones=zones, length_m=length_m, opening_mm=opening_mm
            ).project
        return project

    def _with_places(self, project: Project) -> Project:
        ids = {zone.name: zone.id for zone in project.zones}
        placed = {one.part: one for one in project.placements if one.half is None}
        for row, part in enumerate(self._project.parts):
            zone = ids.get(self._box(self.places, row, 1).currentText())
            old = placed.get(part.id)
            if zone is None and old is not None:
                project = edits.remove_placement(project, old.id)
            elif zone is not None and (old is None or old.zone != zone):
                project = edits.place_thing(project, part=part.id, zone=zone).project
        return project


def _text(table: QTableWidget, row: int, column: int) -> str:
    item = table.item(row, column)
    return item.text().strip() if item is not None else ""
