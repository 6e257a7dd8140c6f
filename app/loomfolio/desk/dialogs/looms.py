"""The looms of the documents: name, part number, and the connectors at their ends."""

from __future__ import annotations

from PySide6.QtWidgets import QLabel, QLineEdit, QPushButton, QWidget

from loomfolio.basics import EditError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.dialogs.half_list import HalfList
from loomfolio.desk.gestures import Step
from loomfolio.project import Harness, Project, edits, parse

_NEW = "New loom"


class LoomsDialog(FormDialog):
    """One loom at a time."""

    def __init__(self, project: Project, parent: QWidget | None = None) -> None:
        super().__init__(
            "Looms",
            "A loom has a part number and the connectors at its ends; leads between these are its own. A donor loom "
            "is an example of one, and swapping one shows which others must follow.",
            "Set loom",
            parent,
        )
        self._project = project
        form = fields_of(self)
        self.loom = ChoiceBox(self)
        self.loom.addItem(_NEW)
        for one in project.harnesses:
            self.loom.addItem(one.name, one.id)
        self.name, self.number, self.when = (QLineEdit(self) for _ in range(3))
        self.when.setPlaceholderText("options, such as towing; nothing: always")
        for label, field in (
            ("Loom", self.loom),
            ("Its name", self.name),
            ("Part number", self.number),
            ("Only with", self.when),
        ):
            form.addRow(label, field)
        self.ends = HalfList(project, self)
        self.remove = QPushButton("Remove this loom", self)
        self.remove.setAutoDefault(False)
        self.remove.clicked.connect(self._remove)
        self.body.addWidget(QLabel("Connectors at its ends", self))
        self.body.addWidget(self.ends, 1)
        self.body.addWidget(self.remove)
        self.loom.currentIndexChanged.connect(self._show)
        self.loom.setCurrentIndex(1 if project.harnesses else 0)
        self._show()
        self.makes(self._step)
        self.resize(520, 640)

    @property
    def _chosen(self) -> Harness | None:
        loom_id = self.loom.currentData()
        return next((one for one in self._project.harnesses if one.id == loom_id), None)

    def _show(self) -> None:
        one = self._chosen
        self.name.setText(one.name if one else "")
        self.number.setText(one.part_number if one else "")
        self.when.setText(one.when if one else "")
        self.ends.tick(one.ends if one else ())
        self.remove.setEnabled(one is not None)

    def _remove(self) -> None:
        one = self._chosen
        if one is not None:
            self.step = Step(f"Remove loom {one.name}", edits.remove_harness(self._project, one.id))
            self.accept()

    def _step(self) -> Step:
        name, ends, when = self.name.text().strip(), self.ends.halves, self.when.text().strip()
        if not name:
            raise EditError("A loom needs a name, such as Rear loom; type one.")
        if not ends:
            raise EditError("Tick the connectors at the loom's ends; without them it has no leads.")
        parse(when)
        number, chosen = self.number.text().strip(), self._chosen
        if chosen is None:
            made = edits.add_harness(
                self._project, name=name, part_number=number, ends=ends, when=when
            )
            return Step(f"Add loom {name}", made.project)
        update = {"name": name, "part_number": number, "ends": ends, "when": when}
        changed = edits.change_harness(self._project, chosen.model_copy(update=update))
        return Step(f"Change loom {name}", changed)
