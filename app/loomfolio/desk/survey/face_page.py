"""One connector of the survey: first from which side, then a letter for each cavity, then it is stored.

The side stands in words above the face all the time. Where the entries agree better with the documents
mirrored, the page names the cavities that decide, and stores nothing until the side is settled.
"""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from loomfolio.desk.ledgers.columns import Wire
from loomfolio.desk.survey.face_run import FaceRun
from loomfolio.desk.survey.face_view import FaceView
from loomfolio.desk.survey.letters import CAVITY_LETTERS, OTHER_COLOUR, Letter
from loomfolio.desk.survey.things_page import letters_html
from loomfolio.desk.theme import Theme
from loomfolio.project import FaceSide, HalfState
from loomfolio.retrofit import Expected, SideVerdict, side_verdict

OTHER_SIDE: Mapping[FaceSide, FaceSide] = {
    "wire side": "mating side",
    "mating side": "wire side",
    "unknown": "unknown",
}
_SIDE_KEYS: Mapping[str, FaceSide] = {"W": "wire side", "M": "mating side"}
_SIDE_WORDS: Mapping[FaceSide, str] = {
    "wire side": "You look at the WIRE SIDE: the leads come towards you",
    "mating side": "You look at the MATING SIDE: into the openings, the leads go away from you",
    "unknown": "From which side do you look?",
}
_PLUG_KEYS: Mapping[str, HalfState] = {
    "N": "not there",
    "D": "dummy plug",
    "B": "bridge plug",
}


class FacePage(QWidget):
    """The side, the face, the letters, the warning, and the button that stores all of it as one step."""

    store_asked = Signal()
    half_asked = Signal(str)
    face_asked = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.run: FaceRun | None = None
        self._expected: Mapping[str, Expected] = {}
        self._drawn: Mapping[str, Wire | None] = {}
        self._settled: FaceSide = "unknown"
        self.head = QLabel(self)
        self.head.setObjectName("head")
        self.side = QLabel(self)
        self.side.setObjectName("side")
        self.side.setFont(theme.font("body", is_bold=True))
        self.side.setWordWrap(True)
        self.view = FaceView(theme, self)
        self.view.changed.connect(self.refresh)
        self.view.colour_asked.connect(self._ask_colour)
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self._letters = QLabel(self)
        self._letters.setObjectName("second")
        self._letters.setWordWrap(True)
        self._build()

    def _build(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        head = QHBoxLayout()
        head.addWidget(self.head, 1)
        self.lies = self._button("How it lies…", "Type the rows of cavities again")
        self.lies.clicked.connect(self.face_asked)
        head.addWidget(self.lies)
        column.addLayout(head)
        column.addLayout(self._side_row())
        column.addWidget(self.view, 1)
        column.addWidget(self.said)
        column.addWidget(self._letters)
        column.addWidget(self._colour_row())
        column.addWidget(self._warning())
        foot = QHBoxLayout()
        self.left = QLabel(self)
        self.left.setObjectName("second")
        self.store = self._button("Store this connector", "One step of undo (Ctrl+Return)")
        self.store.setShortcut("Ctrl+Return")
        self.store.clicked.connect(self.ask_to_store)
        foot.addWidget(self.left, 1)
        foot.addWidget(self.store)
        column.addLayout(foot)

    def _button(self, words: str, tip: str) -> QPushButton:
        button = QPushButton(words, self)
        button.setAutoDefault(False)
        button.setToolTip(tip)
        return button

    def _side_row(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.addWidget(self.side, 1)
        self.sides: dict[FaceSide, QPushButton] = {}
        for key, side in _SIDE_KEYS.items():
            button = self._button(f"{side.capitalize()}  {key}", f"I look at the {side}")
            button.setCheckable(True)
            button.clicked.connect(lambda _=False, chosen=side: self.look_from(chosen))
            row.addWidget(button)
            self.sides[side] = button
        self.plugs: dict[str, QPushButton] = {}
        for key, state in _PLUG_KEYS.items():
            button = self._button(f"{state.capitalize()}  {key}", f"The connector: {state}")
            button.clicked.connect(lambda _=False, chosen=state: self.half_asked.emit(chosen))
            row.addWidget(button)
            self.plugs[state] = button
        return row

    def _colour_row(self) -> QFrame:
        self.colour_row = QFrame(self)
        row = QHBoxLayout(self.colour_row)
        row.setContentsMargins(0, 0, 0, 0)
        self.colour = QLineEdit(self.colour_row)
        self.colour.setPlaceholderText("Colour as seen, such as RD/WH; Enter takes it")
        self.colour.setMaxLength(40)
        self.colour.returnPressed.connect(self._take_colour)
        row.addWidget(QLabel("Another colour", self.colour_row))
        row.addWidget(self.colour, 1)
        self.colour_row.hide()
        return self.colour_row

    def _warning(self) -> QFrame:
        self.warning = QFrame(self)
        self.warning.setObjectName("question")
        column = QVBoxLayout(self.warning)
        column.setContentsMargins(12, 8, 12, 8)
        self.warned = QLabel(self.warning)
        self.warned.setWordWrap(True)
        column.addWidget(self.warned)
        row = QHBoxLayout()
        self.turn = QPushButton(self.warning)
        self.stay = QPushButton(self.warning)
        for button, act in ((self.turn, self._turn), (self.stay, self._stay)):
            button.setAutoDefault(False)
            button.clicked.connect(act)
            row.addWidget(button)
        row.addStretch(1)
        column.addLayout(row)
        self.warning.hide()
        return self.warning

    # ------------------------------------------------------------------------------------- shown

    def show_run(
        self,
        head: str,
        run: FaceRun,
        expected: Mapping[str, Expected],
        drawn: Mapping[str, Wire | None],
    ) -> None:
        """Show another connector."""
        self.run, self._expected, self._drawn = run, expected, drawn
        self._settled = "unknown"
        self.head.setText(head)
        self.colour_row.hide()
        self.view.show_run(run, drawn)
        self.refresh()

    def refresh(self) -> None:
        """Show how the run stands."""
        run = self.run
        if run is None:
            return
        self.side.setText(_SIDE_WORDS[run.side])
        for side, button in self.sides.items():
            button.setChecked(side == run.side)
        for button in self.plugs.values():
            button.setVisible(not run.seen)
        self.said.setText(self._said(run))
        self._letters.setText(
            letters_html((*CAVITY_LETTERS, Letter(OTHER_COLOUR, "other colour")))
            + "&nbsp;&nbsp; with <b>Shift</b>&nbsp;the&nbsp;rest&nbsp;of&nbsp;the&nbsp;row"
            + "&nbsp;&nbsp; <b>Backspace</b>&nbsp;take&nbsp;back"
            if run.is_ready
            else "Nothing is asked before the side is said: a face read from the wrong side is a mirror image."
        )
        self.left.setText(
            f"{len(run.seen)} entered, {run.left} of {len(run.asked)} still to look at"
        )
        self._warn()
        self.view.update()

    def _said(self, run: FaceRun) -> str:
        if not run.is_ready:
            return "Press W for the wire side or M for the mating side."
        pin, seen = run.pin_at(run.cursor), run.seen.get(run.cursor)
        words: str = seen.state if seen else "not looked at"
        if seen is not None and seen.colour is not None:
            words += f", {seen.colour.text}"
        wire = self._drawn.get(pin)
        drawn = f"The sheets have {wire.letters} here." if wire is not None else ""
        scope = "" if pin in run.asked else "  (outside the scope)"
        return f"<b>Cavity {pin}</b>: {words}{scope}. {drawn}"

    # -------------------------------------------------------------------------------------- side

    def look_from(self, side: FaceSide) -> None:
        """Say from which side one looks."""
        if self.run is not None:
            self.run.look_from(side)
            self.refresh()
            self.view.setFocus()

    @property
    def verdict(self) -> SideVerdict | None:
        """Do the entries agree better as entered, or mirrored? None where there is nothing to compare."""
        run = self.run
        if run is None or not run.is_ready or not run.seen:
            return None
        return side_verdict(run.face, run.side, run.entries(), self._expected)

    @property
    def is_settled(self) -> bool:
        """May the entries be stored: do they agree as entered, or has the person said so after the warning?"""
        verdict = self.verdict
        if self.run is None or verdict is None:
            return False
        return verdict.is_settled or self._settled == self.run.side

    def _warn(self) -> None:
        run, verdict = self.run, self.verdict
        is_warned = run is not None and verdict is not None and not self.is_settled
        self.warning.setVisible(is_warned)
        self.store.setEnabled(self.is_settled)
        if run is None or verdict is None or not is_warned:
            return
        deciding = "".join(f"<br>{place.sentence}" for place in verdict.deciding)
        self.warned.setText(
            f"<b>{verdict.sentence}</b>{deciding}<br>Nothing is stored until you say which side it is."
        )
        self.turn.setText(f"It is the {OTHER_SIDE[run.side]}")
        self.stay.setText(f"I do look at the {run.side}")

    def _turn(self) -> None:
        if self.run is not None:
            self.look_from(OTHER_SIDE[self.run.side])

    def _stay(self) -> None:
        if self.run is not None:
            self._settled = self.run.side
            self.refresh()
            self.view.setFocus()

    def ask_to_store(self) -> None:
        """Store what was entered, where the side is settled."""
        if self.is_settled:
            self.store_asked.emit()

    # ------------------------------------------------------------------------------------ colour

    def _ask_colour(self) -> None:
        self.colour_row.show()
        self.colour.clear()
        self.colour.setFocus()

    def _take_colour(self) -> None:
        if self.run is not None:
            self.run.press_colour(self.colour.text())
        self.colour_row.hide()
        self.view.setFocus()
        self.refresh()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Answer the question of the side, or whether the connector is there at all."""
        key = event.text().upper()
        if event.key() == Qt.Key.Key_Escape and self.colour_row.isVisible():
            self.colour_row.hide()
            self.view.setFocus()
        elif self.run is not None and not self.run.is_ready and key in _SIDE_KEYS:
            self.look_from(_SIDE_KEYS[key])
        elif self.run is not None and not self.run.is_ready and key in _PLUG_KEYS:
            self.half_asked.emit(_PLUG_KEYS[key])
        else:
            super().keyPressEvent(event)
