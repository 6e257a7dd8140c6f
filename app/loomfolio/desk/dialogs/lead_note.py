"""Colour and size of a lead, as they are printed beside it or seen."""

from __future__ import annotations

from PySide6.QtWidgets import QLineEdit, QWidget

from loomfolio.basics import EditError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.dialogs.only_with import PLACEHOLDER
from loomfolio.desk.gestures import Step
from loomfolio.project import Anchor, Known, LeadColour, LeadMark, Project, edits, parse

CODE_SETS = ("IEC 60757", "as printed")
_HOWS = {"Printed beside it": Known(how="printed"), "I say so": Known()}


class LeadNoteDialog(FormDialog):
    """A new note at a place of a conductor, or another text for one that is there."""

    def __init__(
        self,
        project: Project,
        place: Anchor,
        mark: LeadMark | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(
            "Colour and size of this lead",
            "The colour by its letters, base before stripe, such as RD/WH; the area of its conductor in mm².",
            "Set note",
            parent,
        )
        self._project, self._place, self._mark = project, place, mark
        form = fields_of(self)
        self.colour = QLineEdit(mark.colour.text if mark and mark.colour else "", self)
        self.area = QLineEdit(f"{mark.area_mm2:g}" if mark and mark.area_mm2 else "", self)
        self.code, self.how = ChoiceBox(self), ChoiceBox(self)
        self.code.addItems(list(CODE_SETS))
        self.how.addItems(list(_HOWS))
        self.when = QLineEdit(mark.when if mark else "", self)
        self.when.setPlaceholderText(PLACEHOLDER)
        for label, field in (
            ("Colour", self.colour),
            ("Letters of", self.code),
            ("Area, mm²", self.area),
            ("Known", self.how),
            ("Only with", self.when),
        ):
            form.addRow(label, field)
        self.makes(self._step)
        self.resize(500, self.sizeHint().height())

    def _step(self) -> Step:
        colour, area_mm2 = colour_of(self.colour.text(), self.code.currentText()), self._area_mm2()
        known, when = _HOWS[self.how.currentText()], self.when.text().strip()
        parse(when)
        words = " ".join(
            word
            for word in (colour.text if colour else "", f"{area_mm2:g} mm²" if area_mm2 else "")
            if word
        )
        if self._mark is None:
            made = edits.put_lead_note(
                self._project,
                sheet=self._place.sheet,
                at=self._place.at,
                colour=colour,
                area_mm2=area_mm2,
                when=when,
                known=known,
            )
            return Step(f"Note lead {words}", made.project)
        if colour is None and area_mm2 is None:
            return Step("Remove lead note", edits.remove_marks(self._project, [self._mark.id]))
        update = {"colour": colour, "area_mm2": area_mm2, "when": when, "known": known}
        changed = edits.change_mark(self._project, self._mark.model_copy(update=update))
        return Step(f"Note lead {words}", changed)

    def _area_mm2(self) -> float | None:
        return area_of(self.area.text())


def colour_of(text: str, code_set: str = "") -> LeadColour | None:
    """Return a colour from its letters, base before stripe; None for nothing."""
    letters = text.strip().upper()
    if not letters:
        return None
    base, _, stripe = letters.partition("/")
    is_standard = code_set == CODE_SETS[0]
    return LeadColour(
        text=letters,
        base=base if is_standard else "",
        stripe=stripe if is_standard else "",
        code_set=code_set if is_standard else "",
    )


def area_of(text: str) -> float | None:
    """Return an area as it is typed, mm²; None for nothing, `EditError` for what is none."""
    words = text.strip().removesuffix("mm²").strip().replace(",", ".")
    if not words:
        return None
    try:
        area_mm2 = float(words)
    except ValueError:
        area_mm2 = 0.0
    if not 0 < area_mm2 < 1000:
        raise EditError(
            f"{text.strip()!r} is no area; type it in mm², such as 0.75, or leave it empty."
        )
    return area_mm2
