"""The ways to close one gap, best first, with what speaks for and against each; and what is set by hand."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QLabel, QLineEdit, QListWidget, QListWidgetItem, QWidget

from loomfolio.basics import EditError
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.dialogs.numbers import number_of
from loomfolio.desk.gestures import Step
from loomfolio.project import Project, edits
from loomfolio.retrofit import Gap, Offer


def offer_text(offer: Offer) -> str:
    """Return everything that is known of a way, a line each."""
    length = f"Lead of {offer.length_m}" if offer.length_m is not None else ""
    hours = (
        f"{offer.effort_h.least:.1f} to {offer.effort_h.most:.1f} h" if offer.effort_h.most else ""
    )
    count = f"{offer.cuts} leads of the vehicle cut or opened, {offer.joints} joints"
    lines = (
        f"Must not be: {offer.forbidden}" if offer.forbidden else "",
        f"Allowed once you state in writing: {offer.treatment}" if offer.treatment else "",
        *offer.reasons,
        *(f"Against it: {one}" for one in offer.against),
        f"Risk: {offer.risk}" if offer.risk else "",
        f"Picked up {offer.pick_up.where}; reach: {offer.pick_up.reach}" if offer.pick_up else "",
        ". ".join(one for one in (count, length, hours) if one) + ".",
        *(f"{place}. {step}" for place, step in enumerate(offer.steps, 1)),
    )
    return "\n".join(line for line in lines if line)


class OffersDialog(FormDialog):
    """One gap, the ways to close it, and what the person sets by hand for the one that is taken."""

    def __init__(
        self, project: Project, gap: Gap, offers: Sequence[Offer], parent: QWidget | None = None
    ) -> None:
        super().__init__(
            "Ways to close this gap",
            f"{gap.sentence}. The first cuts least; the choice is yours.",
            "Take this way",
            parent,
        )
        self._project, self._gap, self._offers = project, gap, tuple(offers)
        self._chosen = next((one for one in project.operations if one.gap == gap.key), None)
        self.ways = QListWidget(self)
        self.ways.setWordWrap(True)
        for offer in self._offers:
            refused = "  (must not be)" if offer.forbidden else ""
            self.ways.addItem(QListWidgetItem(f"{offer.title}{refused}"))
        self.told = QLabel(self)
        self.told.setWordWrap(True)
        self.told.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.body.addWidget(self.ways, 2)
        self.body.addWidget(self.told, 1)
        self._add_fields()
        self.ways.currentRowChanged.connect(self._show)
        self.ways.itemDoubleClicked.connect(lambda *_: self.go.click())
        self.makes(self._step)
        rows = [one.key for one in self._offers]
        known = self._chosen is not None and self._chosen.offer in rows
        self.ways.setCurrentRow(rows.index(self._chosen.offer) if known and self._chosen else 0)
        self.go.setEnabled(bool(self._offers))
        self.resize(720, 640)
        self.ways.setFocus()

    def _add_fields(self) -> None:
        old = self._chosen
        form = fields_of(self)
        self.wire_size = QLineEdit(old.size if old else "", self)
        self.wire_size.setPlaceholderText("left to the reckoning")
        self.length_m = QLineEdit(f"{old.length_m:g}" if old and old.length_m else "", self)
        self.length_m.setPlaceholderText("from the zones")
        self.is_measured = QCheckBox("Measure on the vehicle", self)
        self.is_measured.setChecked(bool(old and old.is_measured_on_vehicle))
        self.distance_mm = QLineEdit(
            f"{old.distance_mm:g}" if old and old.distance_mm else "", self
        )
        self.distance_mm.setPlaceholderText("as usual")
        self.in_spite_of = QLineEdit(old.in_spite_of if old else "", self)
        self.in_spite_of.setPlaceholderText("your reason, where a rule speaks against it")
        form.addRow("Size", self.wire_size)
        form.addRow("Length, m", self.length_m)
        form.addRow("", self.is_measured)
        form.addRow("Joint from the connector, mm", self.distance_mm)
        form.addRow("In spite of", self.in_spite_of)

    @property
    def offer(self) -> Offer | None:
        """The way that is chosen in the list."""
        row = self.ways.currentRow()
        return self._offers[row] if 0 <= row < len(self._offers) else None

    def _show(self) -> None:
        offer = self.offer
        self.told.setText(offer_text(offer) if offer is not None else "No way is known.")

    def _step(self) -> Step:
        offer = self.offer
        if offer is None:
            raise EditError("Choose one of the ways.")
        reason = self.in_spite_of.text().strip()
        if offer.forbidden and not (offer.treatment and reason):
            raise EditError(
                f"{offer.forbidden} "
                + (
                    "State the treatment in the last field."
                    if offer.treatment
                    else "Choose another way."
                )
            )
        made = edits.choose_operation(
            self._project,
            gap=self._gap.key,
            offer=offer.key,
            kind=offer.kind,
            size=self.wire_size.text().strip(),
            length_m=number_of(self.length_m.text(), "length"),
            is_measured_on_vehicle=self.is_measured.isChecked(),
            distance_mm=number_of(self.distance_mm.text(), "distance"),
            in_spite_of=reason,
        )
        return Step(f"Close by: {offer.title}", made.project)
