"""The face of a connector as it is looked at: its cavities, what was seen in each, and the cursor.

Each state is a form of its own: filled is a full disc, empty a ring, and so on; the letter beside it and
the sentence below say it again.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from loomfolio.desk.ledgers.columns import Wire
from loomfolio.desk.survey.face_run import FaceRun, Place
from loomfolio.desk.survey.letters import OTHER_COLOUR
from loomfolio.desk.theme import Theme
from loomfolio.desk.wire_picture import paint_wire
from loomfolio.retrofit import SeenPlace

LARGEST_CELL_PX, SMALLEST_CELL_PX, CELL_GAP_PX = 84, 40, 6
TALL_SHARE = 1.1
ROOMY_PX = 60
"""From this width on a cell has room for the piece of wire below its number."""

Moves = Mapping[int, Callable[[FaceRun], None]]
_MOVES: Moves = {
    Qt.Key.Key_Left: lambda run: run.move(0, -1),
    Qt.Key.Key_Right: lambda run: run.move(0, 1),
    Qt.Key.Key_Up: lambda run: run.move(-1, 0),
    Qt.Key.Key_Down: lambda run: run.move(1, 0),
    Qt.Key.Key_Home: lambda run: run.to_row_end(is_last=False),
    Qt.Key.Key_End: lambda run: run.to_row_end(is_last=True),
    Qt.Key.Key_Backspace: lambda run: run.clear(),
    Qt.Key.Key_Delete: lambda run: run.clear(),
}


class FaceView(QWidget):
    """Shows one run; keys go to it. `changed` after each of them, `colour_asked` on the letter for a colour."""

    changed = Signal()
    colour_asked = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.run: FaceRun | None = None
        self._drawn: Mapping[str, Wire | None] = {}
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Face of the connector")

    def show_run(self, run: FaceRun, drawn: Mapping[str, Wire | None]) -> None:
        """Show another run; `drawn` are the colours that the sheets give for its cavities."""
        self.run, self._drawn = run, drawn
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Return the size at which all cells are as large as they get."""
        rows = self.run.rows if self.run else ()
        wide = max((len(row) for row in rows), default=1)
        cell = self._theme.px(LARGEST_CELL_PX)
        return QSize(
            min(wide * (cell + CELL_GAP_PX), 720), max(len(rows), 1) * round(cell * TALL_SHARE)
        )

    def minimumSizeHint(self) -> QSize:
        """Return the size below which cells cannot be read."""
        return QSize(240, 120)

    # ------------------------------------------------------------------------------------- places

    def cell(self, place: Place) -> QRectF:
        """Return where a place lies, px."""
        size, tall, corner = self._layout()
        row, column = place
        x = corner.x() + column * (size + CELL_GAP_PX)
        y = corner.y() + row * (tall + CELL_GAP_PX)
        return QRectF(x, y, size, tall)

    def _layout(self) -> tuple[float, float, QPointF]:
        """The width and height of a cell, and where the first one lies."""
        rows = self.run.rows if self.run else ()
        wide, high = max((len(row) for row in rows), default=1), max(len(rows), 1)
        across = (self.width() - 24) / wide - CELL_GAP_PX
        down = ((self.height() - 24) / high - CELL_GAP_PX) / TALL_SHARE
        largest, smallest = (self._theme.px(px) for px in (LARGEST_CELL_PX, SMALLEST_CELL_PX))
        size = max(min(across, down, largest), smallest / 2)
        tall = size * TALL_SHARE
        x = (self.width() - wide * (size + CELL_GAP_PX) + CELL_GAP_PX) / 2
        y = (self.height() - high * (tall + CELL_GAP_PX) + CELL_GAP_PX) / 2
        return size, tall, QPointF(x, y)

    # ---------------------------------------------------------------------------------- painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the housing and its cavities."""
        del event
        if self.run is None:
            return
        theme = self._theme
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            first, last = self.cell((0, 0)), self.cell(self._last())
            housing = first.united(last).adjusted(-9, -9, 9, 9)
            painter.setPen(QPen(theme.colour("hairline"), 1.5))
            painter.setBrush(theme.field)
            painter.drawRoundedRect(housing, 8, 8)
            for place in self.run.places():
                self._paint_cavity(painter, self.run, place)

    def _last(self) -> Place:
        rows = self.run.rows if self.run else ()
        return max(len(rows) - 1, 0), max((len(row) for row in rows), default=1) - 1

    def _paint_cavity(self, painter: QPainter, run: FaceRun, place: Place) -> None:
        theme, box = self._theme, self.cell(place)
        is_asked, seen = run.pin_at(place) in run.asked, run.seen.get(place)
        is_cursor = place == run.cursor and run.is_ready
        painter.setOpacity(1.0 if is_asked or seen or is_cursor else 0.4)
        ground = theme.tint("panel", "followed", 0.18) if is_cursor else theme.colour("panel")
        edge = theme.colour("followed") if is_cursor else theme.tint("panel", "hairline", 0.8)
        painter.setBrush(ground)
        painter.setPen(QPen(edge, 2.5 if is_cursor and self.hasFocus() else 1.25))
        painter.drawRoundedRect(box.adjusted(1, 1, -1, -1), 5, 5)
        inner = box.adjusted(7, 5, -7, -5)
        painter.setPen(theme.colour("text"))
        painter.setFont(theme.font("body", is_mono=True, is_bold=True))
        corner = Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft
        painter.drawText(inner, corner, run.pin_at(place))
        self._paint_letter(painter, inner, self._letter(run, place))
        if seen is not None:
            radius = min(box.width(), box.height()) * 0.15
            paint_state(painter, box.center() + QPointF(0, 1), radius, seen.state, theme)
        if box.width() >= ROOMY_PX:
            self._paint_colour(painter, inner, run.pin_at(place), seen)
        painter.setOpacity(1.0)

    def _letter(self, run: FaceRun, place: Place) -> str:
        """The letter of what was seen; that of another colour where the sheets have another one."""
        seen = run.seen.get(place)
        drawn = self._drawn.get(run.pin_at(place))
        if seen is None or seen.colour is None or seen.state != "filled":
            return run.letter_at(place)
        is_as_drawn = drawn is not None and drawn.letters == seen.colour.text
        return run.letter_at(place) if is_as_drawn else OTHER_COLOUR

    def _paint_letter(self, painter: QPainter, box: QRectF, letter: str) -> None:
        painter.setFont(self._theme.font("small", is_mono=True, is_bold=True))
        painter.setPen(self._theme.colour("second text"))
        painter.drawText(box, Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignRight, letter)

    def _paint_colour(
        self, painter: QPainter, box: QRectF, pin: str, seen: SeenPlace | None
    ) -> None:
        """The lead's colour below: as seen, else as the sheets have it, paler."""
        theme = self._theme
        own = Wire.of(seen.colour) if seen is not None else None
        wire = own or self._drawn.get(pin)
        if wire is None:
            return
        painter.save()
        if own is None:
            painter.setOpacity(painter.opacity() * 0.6)
        line = QRectF(box.left(), box.bottom() - theme.px(14), box.width(), theme.px(14))
        painter.setFont(theme.font("small", is_mono=True))
        painter.setPen(theme.colour("text"))
        words = QRectF(line.left() + 24, line.top() - 2, line.width() - 22, line.height() + 4)
        painter.drawText(
            words, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, wire.letters
        )
        paint_wire(painter, QRectF(line.left(), line.top() + 3, 20, 8), wire, theme)
        painter.restore()

    # --------------------------------------------------------------------------------- keys, mouse

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the cursor, or enter what a letter says."""
        run = self.run
        if run is None:
            super().keyPressEvent(event)
            return
        move = _MOVES.get(event.key())
        is_shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if move is not None:
            move(run)
        elif event.text().upper() == OTHER_COLOUR and run.is_ready:
            self.colour_asked.emit()
        elif not run.press(event.text(), is_rest_of_row=is_shift):
            super().keyPressEvent(event)
            return
        self.changed.emit()
        self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Put the cursor where one clicks."""
        if self.run is None:
            return
        for place in self.run.places():
            if self.cell(place).contains(event.position()):
                self.run.stand_at(place)
        self.setFocus()
        self.changed.emit()
        self.update()


def paint_state(painter: QPainter, at: QPointF, radius: float, state: str, theme: Theme) -> None:
    """Draw the form of a cavity's state around a place."""
    ink = theme.colour("text")
    pen = QPen(ink, 1.75)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.setBrush(ink if state == "filled" else Qt.BrushStyle.NoBrush)
    if state == "not there":
        pen.setStyle(Qt.PenStyle.DotLine)
        painter.setPen(pen)
    painter.drawEllipse(at, radius, radius)
    bar = QPointF(radius, radius) * 0.72
    if state == "plugged":
        painter.setBrush(ink)
        side = radius * 0.55
        painter.drawRect(QRectF(at.x() - side, at.y() - side, 2 * side, 2 * side))
    elif state == "terminal without lead":
        painter.setBrush(ink)
        painter.drawEllipse(at, radius * 0.3, radius * 0.3)
    elif state == "cut":
        painter.drawLine(at - bar, at + bar)
    elif state == "corroded":
        for shift in (-0.45, 0.0, 0.45):
            middle = at + QPointF(radius * shift, 0)
            half = QPointF(0, radius * (0.85 if shift == 0 else 0.7))
            painter.drawLine(middle - half, middle + half)
