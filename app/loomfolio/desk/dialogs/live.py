"""What is live in a state that the person named: every pin with its answer, its volts, and the path that says so."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHeaderView, QLabel, QTableWidget, QTableWidgetItem, QWidget

from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.derived import Derived
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.search_field import SearchField
from loomfolio.desk.theme import Theme
from loomfolio.electrics import Figure
from loomfolio.project import ElectricState, PinKey
from loomfolio.retrofit import LiveTable, PinLiveness, path_text

TableOf = Callable[[ElectricState], LiveTable]
_PIN = Qt.ItemDataRole.UserRole
_FORMS = {"live": "●  live", "dead": "○  dead", "unknown": "?  unknown"}
"""A form first, so that the answers are told apart without colour."""


class LiveDialog(FormDialog):
    """One state after the other. Unknown stays unknown: what a module's input does is not guessed."""

    def __init__(
        self, state: Derived, table_of: TableOf, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(
            "What is live",
            "Reckoned from supplies, joined metal, what passes, and relays at rest. It does not replace a "
            "meter: measure before you touch.",
            "Go to this pin",
            parent,
        )
        self._state, self._table_of = state, table_of
        self.leave.setText("Close")
        form = fields_of(self)
        self.state = ChoiceBox(self)
        for one in state.project.states:
            self.state.addItem(one.name, one.id)
        form.addRow("State", self.state)
        self.filter = SearchField("Filter pins", "Filter pins", theme, self)
        form.addRow("Pins", self.filter)
        self.faults = QLabel(self)
        self.faults.setObjectName("fault")
        self.faults.setWordWrap(True)
        self.table = QTableWidget(0, 4, self)
        self.table.setHorizontalHeaderLabels(["Pin", "Net", "Answer", "Volts"])
        self.table.verticalHeader().hide()
        self.table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.path = QLabel(self)
        self.path.setWordWrap(True)
        self.path.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        for widget in (self.faults, self.table, self.path):
            self.body.addWidget(widget, 1 if widget is self.table else 0)
        self.state.currentIndexChanged.connect(self._show)
        self.filter.textChanged.connect(self._fill)
        self.table.currentCellChanged.connect(lambda *_: self._tell())
        self.table.itemDoubleClicked.connect(lambda *_: self.accept())
        self._live: LiveTable | None = None
        self._show()
        self.resize(theme.px(760), theme.px(680))

    @property
    def pin(self) -> PinKey | None:
        """The pin whose line is chosen."""
        item = self.table.item(self.table.currentRow(), 0)
        pin = item.data(_PIN) if item is not None else None
        return pin if isinstance(pin, PinKey) else None

    def _show(self) -> None:
        states = {one.id: one for one in self._state.project.states}
        chosen = states.get(self.state.currentData() or "")
        self._live = self._table_of(chosen) if chosen is not None else None
        faults = self._live.faults if self._live is not None else ()
        self.faults.setText("\n".join(fault.sentence for fault in faults))
        self.faults.setVisible(bool(faults))
        self._fill()

    def _fill(self) -> None:
        words = self.filter.text().casefold().split()
        shown = [
            one
            for one in (self._live.pins.values() if self._live is not None else ())
            if all(word in self._line(one).casefold() for word in words)
        ]
        self.table.setRowCount(len(shown))
        for row, one in enumerate(shown):
            net = self._state.net_of(one.pin)
            cells = (
                self._state.pin_word(one.pin),
                net.name if net is not None else "",
                _FORMS[one.answer],
                _volts(one.volts),
            )
            for column, text in enumerate(cells):
                item = QTableWidgetItem(text)
                item.setData(_PIN, one.pin)
                item.setToolTip(one.reason)
                self.table.setItem(row, column, item)
        self.go.setEnabled(bool(shown))
        if shown:
            self.table.setCurrentCell(0, 0)
        self._tell()

    def _line(self, one: PinLiveness) -> str:
        net = self._state.net_of(one.pin)
        return f"{self._state.pin_word(one.pin)} {net.name if net else ''} {one.answer}"

    def _tell(self) -> None:
        pin = self.pin
        one = self._live.pins.get(pin) if self._live is not None and pin is not None else None
        if one is None:
            self.path.setText("")
            return
        volts = f"\n{one.volts.why()}" if one.volts is not None else ""
        way = f"\n{path_text(one.path)}" if one.path else ""
        self.path.setText(
            f"{self._state.pin_word(one.pin)} is {one.answer}: {one.reason}.{way}{volts}"
        )


def _volts(figure: Figure | None) -> str:
    return f"{figure.value:.2f} V" if figure is not None else ""
