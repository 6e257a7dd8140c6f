"""How the cavities of a connector lie: typed once, row by row, as the connector sheet or the housing shows."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPlainTextEdit, QPushButton, QVBoxLayout, QWidget

from loomfolio.desk.survey.steps import text_of
from loomfolio.desk.theme import Theme
from loomfolio.project import Face, FaceSide, HalfState

_GONE: tuple[HalfState, ...] = ("not there", "dummy plug", "bridge plug")


class FaceEditor(QWidget):
    """Rows of cavities and the side that they are drawn from; `typed` once both are said.

    A connector that is not there, or closed by a plug, needs no rows: `half_asked` with its state.
    """

    typed = Signal(str, str)
    half_asked = Signal(str)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.head = QLabel(self)
        self.head.setObjectName("head")
        words = QLabel(
            "How do its cavities lie? Type them as the connector sheet or the housing shows them: one "
            "line for each row, from left to right, cavities between spaces, - where there is none. "
            "Then say from which side they are shown.",
            self,
        )
        words.setObjectName("second")
        words.setWordWrap(True)
        self.rows = QPlainTextEdit(self)
        self.rows.setFont(theme.font("body", is_mono=True))
        self.rows.setTabChangesFocus(True)
        self.sides: dict[FaceSide, QPushButton] = {}
        row = QHBoxLayout()
        self.gone: dict[HalfState, QPushButton] = {}
        for state in _GONE:
            button = QPushButton(state.capitalize(), self)
            button.setAutoDefault(False)
            button.setToolTip(f"The connector: {state}; then nothing has to be typed")
            button.clicked.connect(lambda _=False, chosen=state: self.half_asked.emit(chosen))
            row.addWidget(button)
            self.gone[state] = button
        row.addStretch(1)
        for side in ("wire side", "mating side"):
            button = QPushButton(f"Shown from the {side}", self)
            button.setAutoDefault(False)
            button.clicked.connect(lambda _=False, chosen=side: self._tell(chosen))
            row.addWidget(button)
            self.sides[side] = button
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(self.head)
        column.addWidget(words)
        column.addWidget(self.rows, 1)
        column.addLayout(row)

    def show_face(self, head: str, face: Face | None, cavities: tuple[str, ...]) -> None:
        """Begin with the face as it is known, else with the known cavities in one row."""
        self.head.setText(head)
        self.rows.setPlainText(text_of(face.rows if face else [cavities]))

    def _tell(self, side: str) -> None:
        self.typed.emit(self.rows.toPlainText(), side)
