"""The path strip widget: a head line with the choice of ways, and the pieces in a row."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.following import Following
from loomfolio.desk.icons import ICON_SIZE, theme_icon
from loomfolio.desk.strip.piece_button import HEIGHT_PX, PieceButton
from loomfolio.desk.strip.pieces import StripPiece, strip_pieces
from loomfolio.desk.theme import Theme
from loomfolio.nets import MapRow, Way


class PathStrip(QFrame):
    """Shows a `Following`; says what the person picked, and decides nothing."""

    step_chosen = Signal(int)
    way_chosen = Signal(int)
    confirm_asked = Signal()
    closed = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("strip")
        self._theme = theme
        self._pieces: tuple[StripPiece, ...] = ()
        self._buttons: list[PieceButton] = []
        self._build()
        self.set_theme(theme)

    def _build(self) -> None:
        self._title = QLabel(self)
        self._title.setObjectName("strip_title")
        self._ways = ChoiceBox(self)
        self._ways.setAccessibleName("Ways from this pin")
        self._ways.setSizeAdjustPolicy(ChoiceBox.SizeAdjustPolicy.AdjustToContents)
        self._ways.activated.connect(self.way_chosen)
        self._open = QLabel(self)
        self._open.setObjectName("second")
        self._confirm = QPushButton("Confirm   C", self)
        self._confirm.setToolTip("Confirm what is marked on the strip and go to the next (C)")
        self._confirm.clicked.connect(self.confirm_asked)
        self._close = QToolButton(self)
        self._close.setToolTip("Stop following (Esc)")
        self._close.setAccessibleName("Stop following")
        self._close.clicked.connect(self.closed)
        head = QHBoxLayout()
        head.setContentsMargins(12, 4, 4, 0)
        head.setSpacing(12)
        head.addWidget(self._title)
        head.addWidget(self._ways)
        head.addWidget(self._open)
        head.addStretch(1)
        head.addWidget(self._confirm)
        head.addWidget(self._close)
        self._row = QWidget()
        self._row.setObjectName("strip_row")
        self._line = QHBoxLayout(self._row)
        self._line.setContentsMargins(8, 0, 8, 0)
        self._line.setSizeConstraint(QHBoxLayout.SizeConstraint.SetMinimumSize)
        self._line.setSpacing(0)
        self._line.addStretch(1)
        self._area = QScrollArea(self)
        self._area.setWidget(self._row)
        self._area.setWidgetResizable(True)
        self._area.setFrameShape(QFrame.Shape.NoFrame)
        self._area.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._area.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 4)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(self._area)

    @property
    def pieces(self) -> tuple[StripPiece, ...]:
        """What stands on the strip now."""
        return self._pieces

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        self._theme = theme
        self._close.setIcon(theme_icon("cancel", theme))
        self._close.setIconSize(ICON_SIZE)
        self._title.setFont(theme.font(is_mono=True, is_bold=True))
        self._area.setFixedHeight(theme.px(HEIGHT_PX))
        pieces, self._pieces = self._pieces, ()
        self._lay(pieces)

    def show_following(self, following: Following, pin: str, rows: Sequence[MapRow]) -> None:
        """Show the chosen way of a followed pin, whose name is `pin`."""
        way = following.way
        self._title.setText(pin if way is None else f"{pin}  →  {_end(way)}")
        if way is None:
            self._open.setText("goes nowhere on these sheets")
        else:
            count = following.open_count
            self._open.setText(f"{count} to confirm" if count else "all confirmed")
        self._show_ways(following)
        self._confirm.setEnabled(following.open_count > 0)
        self._lay(strip_pieces(way, rows) if way else ())
        self._mark(following.step_number)

    def _show_ways(self, following: Following) -> None:
        self._ways.setVisible(len(following.ways) > 1)
        self._ways.clear()
        count = len(following.ways)
        for number, way in enumerate(following.ways, 1):
            left = len(way.open_pieces)
            rest = f", {left} to confirm" if left else ""
            self._ways.addItem(f"Way {number} of {count}: {_end(way)}{rest}")
        self._ways.setCurrentIndex(following.way_number)

    def _lay(self, pieces: tuple[StripPiece, ...]) -> None:
        """Put the pieces in a row; those that did not change stay as they are."""
        if pieces == self._pieces:
            return
        self._pieces = pieces
        for button in self._buttons:
            self._line.removeWidget(button)
            button.hide()
            button.deleteLater()
        self._buttons = []
        for number, piece in enumerate(pieces):
            is_last = number == len(pieces) - 1
            button = PieceButton(piece, self._theme, self._row, is_last=is_last)
            button.clicked.connect(lambda _=False, at=number: self.step_chosen.emit(at))
            self._line.insertWidget(number, button, 0, Qt.AlignmentFlag.AlignTop)
            button.show()
            self._buttons.append(button)

    def _mark(self, step: int) -> None:
        if 0 <= step < len(self._buttons):
            self._buttons[step].setChecked(True)
            self._line.activate()
            self._area.ensureWidgetVisible(self._buttons[step], 80, 0)


def _end(way: Way) -> str:
    return way.ends_at or (way.steps[-1].label if way.steps else "")
