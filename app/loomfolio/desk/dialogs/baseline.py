"""How the vehicle was before anything was touched, and is at the end; the two are compared as one types."""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QRadioButton,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from loomfolio.basics import EditError, LoomfolioError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.dates import day_of
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.dialogs.photos import PhotoShelf, PhotoShelfRow
from loomfolio.desk.gestures import Step
from loomfolio.project import Baseline, FaultCode, FunctionCheck, Project, edits
from loomfolio.retrofit import compare_baselines

When = Literal["before", "after"]
WORKS, FAILS, NOT_TRIED = "works", "does not work", "not tried"
_SPARE_ROWS = 3


class BaselineDialog(FormDialog):
    """One baseline of one specimen at a time."""

    def __init__(
        self,
        project: Project,
        shelf: PhotoShelf,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(
            "Baseline",
            "Note it before anything is touched, and again at the end: then nobody asks who broke what.",
            "Set baseline",
            parent,
        )
        self._project = project
        self.specimen = ChoiceBox(self)
        for one in project.specimens:
            self.specimen.addItem(f"{one.name} ({one.kind})", one.id)
        self.when: dict[When, QRadioButton] = {
            "before": QRadioButton("Before the work", self),
            "after": QRadioButton("After the work", self),
        }
        self.on, self.sleep = QLineEdit(self), QLineEdit(self)
        self.codes, self.note = QPlainTextEdit(self), QPlainTextEdit(self)
        self.functions = QTableWidget(0, 3, self)
        self.photos = PhotoShelfRow(
            shelf, lambda: f"{self.specimen.currentText()}, {self._when}", self
        )
        self.compared = QLabel(self)
        self._build()
        self.when["before"].setChecked(True)
        self._show()
        for button in self.when.values():
            button.toggled.connect(self._show)
        self.specimen.currentIndexChanged.connect(self._show)
        self.codes.textChanged.connect(self._compare)
        self.sleep.textChanged.connect(self._compare)
        self.makes(self._step)
        self.resize(620, 760)

    def _build(self) -> None:
        form = fields_of(self)
        row = QHBoxLayout()
        for button in self.when.values():
            row.addWidget(button)
        row.addStretch(1)
        self.on.setPlaceholderText("year-month-day, such as 2024-04-16")
        self.sleep.setPlaceholderText("mA, once everything has gone to sleep")
        self.codes.setPlaceholderText("one a line: code, module, what it says")
        for text in (self.codes, self.note):
            text.setTabChangesFocus(True)
            text.setFixedHeight(60)
        self.functions.setHorizontalHeaderLabels(["Function", "Tried", "Note"])
        header = self.functions.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        for column in (0, 2):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Stretch)
        self.functions.setColumnWidth(1, 160)
        self.functions.verticalHeader().hide()
        self.functions.verticalHeader().setDefaultSectionSize(34)
        self.functions.setMinimumHeight(200)
        self.compared.setWordWrap(True)
        for label, field in (
            ("Specimen", self.specimen),
            ("", row),
            ("On", self.on),
            ("Fault codes", self.codes),
            ("Sleep current", self.sleep),
            ("Note", self.note),
        ):
            form.addRow(label, field)
        self.body.addWidget(self.functions, 1)
        self.body.addWidget(self.photos)
        self.body.addWidget(self.compared)

    # ---------------------------------------------------------------------------------------- shown

    @property
    def _when(self) -> When:
        return "before" if self.when["before"].isChecked() else "after"

    def _kept(self, when: When) -> Baseline | None:
        specimen = self.specimen.currentData()
        for one in self._project.baselines:
            if (one.specimen, one.when) == (specimen, when):
                return one
        return None

    def _show(self) -> None:
        kept, before = self._kept(self._when), self._kept("before")
        self.on.setText(str(kept.on or "") if kept else "")
        sleep = kept.sleep_current_ma if kept else None
        self.sleep.setText(f"{sleep:g}" if sleep is not None else "")
        codes = kept.fault_codes if kept else ()
        words = (", ".join(w for w in (c.code, c.module, c.text) if w) for c in codes)
        self.codes.setPlainText("\n".join(words))
        self.note.setPlainText(kept.note if kept else "")
        self.photos.strip.show_photos(kept.photos if kept else ())
        tried = {f.name: f for f in kept.functions} if kept else {}
        asked = [f.name for f in before.functions] if before else []
        self._show_functions([*dict.fromkeys([*asked, *tried])], tried)
        self._compare()

    def _show_functions(self, names: list[str], tried: dict[str, FunctionCheck]) -> None:
        self.functions.setRowCount(len(names) + _SPARE_ROWS)
        for row in range(self.functions.rowCount()):
            name = names[row] if row < len(names) else ""
            self.functions.setItem(row, 0, QTableWidgetItem(name))
            found = tried.get(name)
            words = NOT_TRIED if found is None else WORKS if found.works else FAILS
            self.functions.setItem(row, 2, QTableWidgetItem(found.note if found else ""))
            self._box(row).setCurrentText(words)

    def _box(self, row: int) -> ChoiceBox:
        """The choice in a row, made where there is none yet."""
        box = self.functions.cellWidget(row, 1)
        if not isinstance(box, ChoiceBox):
            box = ChoiceBox(self.functions)
            box.addItems([NOT_TRIED, WORKS, FAILS])
            box.currentIndexChanged.connect(self._compare)
            self.functions.setCellWidget(row, 1, box)
        return box

    def _compare(self) -> None:
        before, after = self._kept("before"), self._kept("after")
        try:
            typed = self._typed()
        except LoomfolioError:
            self.compared.setText("")
            return
        if self._when == "before":
            before = typed
        else:
            after = typed
        if before is None or after is None:
            self.compared.setText("")
            return
        found = compare_baselines(before, after)
        lines = "".join(f"<br>{sentence}." for sentence in found.sentences)
        mended = "".join(f"<br>{one.name} works again." for one in found.mended)
        gone = "".join(f"<br>Fault code {one.code} is gone." for one in found.gone_fault_codes)
        head = (
            "As before: everything that worked was tried and works."
            if not lines
            else "Not as before:"
        )
        self.compared.setText(f"<b>{head}</b>{lines}{mended}{gone}")

    # --------------------------------------------------------------------------------------- typed

    def _typed(self) -> Baseline:
        specimen = self.specimen.currentData()
        return Baseline(
            id="baseline-0",
            specimen=specimen,
            when=self._when,
            on=day_of(self.on.text()),
            fault_codes=tuple(
                _code(line) for line in self.codes.toPlainText().splitlines() if line.strip()
            ),
            functions=self._functions(),
            sleep_current_ma=_current_ma(self.sleep.text()),
            note=self.note.toPlainText().strip(),
            photos=self.photos.strip.photos,
        )

    def _functions(self) -> tuple[FunctionCheck, ...]:
        found: list[FunctionCheck] = []
        for row in range(self.functions.rowCount()):
            name, note = self._text(row, 0), self._text(row, 2)
            tried = self._box(row).currentText()
            if name and tried != NOT_TRIED:
                found.append(FunctionCheck(name=name, works=tried == WORKS, note=note))
        return tuple(found)

    def _text(self, row: int, column: int) -> str:
        item = self.functions.item(row, column)
        return item.text().strip() if item is not None else ""

    def _step(self) -> Step:
        typed, kept = self._typed(), self._kept(self._when)
        title = f"Baseline {typed.when} the work"
        if kept is not None:
            changed = typed.model_copy(update={"id": kept.id})
            return Step(title, edits.change_baseline(self._project, changed))
        made = edits.add_baseline(
            self._project,
            specimen=typed.specimen,
            when=typed.when,
            on=typed.on,
            fault_codes=typed.fault_codes,
            functions=typed.functions,
            sleep_current_ma=typed.sleep_current_ma,
            note=typed.note,
            photos=typed.photos,
        )
        return Step(title, made.project)


def _code(line: str) -> FaultCode:
    code, module, text = (word.strip() for word in (*line.split(",", 2), "", "")[:3])
    if not code:
        raise EditError(f"{line.strip()!r} has no code; type code, module, what it says.")
    return FaultCode(code=code[:40], module=module, text=text)


def _current_ma(text: str) -> float | None:
    words = text.strip().removesuffix("mA").strip().replace(",", ".")
    if not words:
        return None
    try:
        current_ma = float(words)
    except ValueError:
        current_ma = -1.0
    if not 0 <= current_ma < 1e6:
        raise EditError(
            f"{text.strip()!r} is no current; type it in mA, such as 12.5, or leave it."
        )
    return current_ma
