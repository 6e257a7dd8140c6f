"""Which halves of connectors fit, and which cavity meets which."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QRadioButton,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from loomfolio.basics import EditError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.form import FormDialog
from loomfolio.desk.gestures import Step
from loomfolio.project import (
    HalfKey,
    Known,
    Mate,
    PinPair,
    Project,
    all_halves,
    all_pins,
    edits,
    half_text,
    natural_order,
)

_NEW = "New mate"


class MatesDialog(FormDialog):
    """One mate at a time: its two halves, and the table of cavities that face each other."""

    def __init__(self, project: Project, parent: QWidget | None = None) -> None:
        super().__init__(
            "Mated connectors",
            "In-line halves are often numbered differently: type which cavity meets which. "
            "Without a table, same number to same number stays a proposal until it is confirmed.",
            "Set mate",
            parent,
        )
        self._project = project
        self._halves = all_halves(project)
        self._build_halves()
        self._build_pairs()
        self.mate.currentIndexChanged.connect(self._show_mate)
        self._show_mate()
        self.makes(self._step)
        self.resize(560, 600)

    def _build_halves(self) -> None:
        self.mate = ChoiceBox(self)
        self.mate.addItem(_NEW)
        for mate in self._project.mates:
            ends = (half_text(self._project, half) for half in (mate.a, mate.b))
            self.mate.addItem(" and ".join(ends), mate.id)
        self.a, self.b = ChoiceBox(self), ChoiceBox(self)
        for box in (self.a, self.b):
            box.addItems([half_text(self._project, half) for half in self._halves])
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(self.a, 1)
        row.addWidget(QLabel("fits", self))
        row.addWidget(self.b, 1)
        self.body.addWidget(self.mate)
        self.body.addLayout(row)
        if self._project.mates:
            self.mate.setCurrentIndex(1)
        else:
            self._propose_halves()

    def _propose_halves(self) -> None:
        """Begin with two halves of one in-line pair, where there is one."""
        in_line = {p.id for p in self._project.parts if p.kind == "in-line connector"}
        for number, half in enumerate(self._halves[:-1]):
            following = self._halves[number + 1]
            if half.part in in_line and following.part == half.part:
                self.a.setCurrentIndex(number)
                self.b.setCurrentIndex(number + 1)
                return

    def _build_pairs(self) -> None:
        self.by_number = QRadioButton("Same number to same number: a proposal", self)
        self.by_table = QRadioButton("By this table, read off the connectors or their sheet", self)
        self.by_table.toggled.connect(self._enable_table)
        self.fill = QPushButton("List the cavities", self)
        self.fill.setAutoDefault(False)
        self.fill.setToolTip("List the known cavities of the left half; type what each one meets")
        self.fill.clicked.connect(self._fill)
        self.pairs = QTableWidget(0, 2, self)
        self.pairs.verticalHeader().hide()
        self.pairs.verticalHeader().setDefaultSectionSize(32)
        self.pairs.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        row = QHBoxLayout()
        row.addWidget(self.by_table, 1)
        row.addWidget(self.fill)
        self.body.addWidget(self.by_number)
        self.body.addLayout(row)
        self.body.addWidget(self.pairs, 1)

    @property
    def _chosen(self) -> Mate | None:
        mate_id = self.mate.currentData()
        return next((mate for mate in self._project.mates if mate.id == mate_id), None)

    def _show_mate(self) -> None:
        mate = self._chosen
        self.a.setEnabled(mate is None)
        self.b.setEnabled(mate is None)
        if mate is not None:
            self.a.setCurrentIndex(self._halves.index(mate.a))
            self.b.setCurrentIndex(self._halves.index(mate.b))
        self._show_pairs(mate.pairs if mate else ())
        (self.by_table if mate and mate.pairs else self.by_number).setChecked(True)
        self._enable_table()

    def _enable_table(self) -> None:
        is_table = self.by_table.isChecked()
        self.pairs.setEnabled(is_table)
        self.fill.setEnabled(is_table)
        if is_table and not self.pairs.rowCount():
            self._show_pairs(())

    def _show_pairs(self, pairs: Sequence[PinPair]) -> None:
        """Show pairs, and one empty row for each cavity of the longer half that has none yet."""
        self.pairs.setHorizontalHeaderLabels([self.a.currentText(), self.b.currentText()])
        spare = max(len(self._pins(self.half_a)), len(self._pins(self.half_b)), 1) - len(pairs)
        self.pairs.setRowCount(len(pairs) + max(spare, 1))
        for row in range(self.pairs.rowCount()):
            pair = pairs[row] if row < len(pairs) else None
            self.pairs.setItem(row, 0, QTableWidgetItem(pair.a if pair else ""))
            self.pairs.setItem(row, 1, QTableWidgetItem(pair.b if pair else ""))

    def _fill(self) -> None:
        """List the left half's cavities; what each one meets is for the person to type."""
        pins = self._pins(self.half_a)
        self.pairs.setRowCount(len(pins) + 1)
        for row in range(self.pairs.rowCount()):
            self.pairs.setItem(row, 0, QTableWidgetItem(pins[row] if row < len(pins) else ""))
            self.pairs.setItem(row, 1, QTableWidgetItem(""))

    @property
    def half_a(self) -> HalfKey:
        """The first half."""
        return self._halves[max(self.a.currentIndex(), 0)]

    @property
    def half_b(self) -> HalfKey:
        """The second half."""
        return self._halves[max(self.b.currentIndex(), 0)]

    def _pins(self, half: HalfKey) -> list[str]:
        pins = {pin.pin for pin in all_pins(self._project) if pin.half_key == half}
        return sorted(pins, key=natural_order)

    def _typed_pairs(self) -> tuple[PinPair, ...]:
        pairs: list[PinPair] = []
        for row in range(self.pairs.rowCount()):
            a, b = (self._cell(row, column) for column in (0, 1))
            if bool(a) != bool(b):
                raise EditError(f"Row {row + 1} has one cavity only; type the one it meets.")
            if a:
                pairs.append(PinPair(a=a, b=b))
        if not pairs:
            raise EditError("The table is empty; type which cavity meets which, or choose numbers.")
        return tuple(pairs)

    def _cell(self, row: int, column: int) -> str:
        item = self.pairs.item(row, column)
        return item.text().strip() if item is not None else ""

    def _step(self) -> Step:
        mate = self._chosen
        pairs = self._typed_pairs() if self.by_table.isChecked() else ()
        name = " and ".join(half_text(self._project, h) for h in (self.half_a, self.half_b))
        if mate is None:
            made = edits.add_mate(self._project, a=self.half_a, b=self.half_b, pairs=pairs)
            return Step(f"Mate {name}", made.project)
        known = Known() if pairs != mate.pairs else mate.known
        changed = mate.model_copy(update={"pairs": pairs, "known": known})
        return Step(f"Change mate of {name}", edits.change_mate(self._project, changed))
