"""One photo with its arrows and names: drag an arrow from its name to what it shows, and type the name.

Marks are kept as shares of the upright picture, so they lie right at every size. A mark is drawn over a
light seam and its name on a small panel: both can be read on any picture.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin
from pathlib import Path
from typing import Literal

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import QLineEdit, QSizePolicy, QWidget

from loomfolio.desk.theme import Theme
from loomfolio.project import Photo, PhotoMark, PicturePoint

DRAG_PX = 5.0
"""A press that moves less is a click: a name without an arrow."""
REACH_PX = 9.0
"""So near to an arrow's head a press takes hold of it."""
HEAD_PX, LINE_PX, SEAM_PX = 15.0, 3.0, 6.0
NUDGE = 0.01
"""What one arrow key moves a mark by, as a share of the picture."""
_STEPS = {
    Qt.Key.Key_Left: (-NUDGE, 0.0),
    Qt.Key.Key_Right: (NUDGE, 0.0),
    Qt.Key.Key_Up: (0.0, -NUDGE),
    Qt.Key.Key_Down: (0.0, NUDGE),
}
Grip = Literal["name", "head"]


@dataclass(slots=True)
class _Drag:
    """What the mouse has hold of: a new mark, or the name or head of one that is there."""

    start: QPointF
    now: QPointF
    which: int | None = None
    grip: Grip = "head"

    @property
    def is_far(self) -> bool:
        way = self.now - self.start
        return hypot(way.x(), way.y()) > DRAG_PX


class MarkField(QLineEdit):
    """The name of a mark while it is typed: `taken` on Enter, `left` on Escape."""

    taken = Signal()
    left = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setPlaceholderText("name; Enter takes it, Esc leaves")
        self.setMaxLength(200)
        self.hide()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keep Enter and Escape from the dialog."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.taken.emit()
        elif event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)


class PhotoView(QWidget):
    """Shows one photo. `drawn(mark)` is a new mark, `changed(which, mark)` another state of one, `removed(which)`."""

    drawn = Signal(object)
    changed = Signal(int, object)
    removed = Signal(int)

    def __init__(self, theme: Theme, folder: Path, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme, self._folder = theme, folder
        self._photo: Photo | None = None
        self._picture = QPixmap()
        self._drag: _Drag | None = None
        self._typed_for: PhotoMark | None = None
        self.chosen: int | None = None
        self.field = MarkField(self)
        self.field.taken.connect(self._take_name)
        self.field.left.connect(self._leave_name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Photo with its marks")

    def show_photo(self, photo: Photo | None) -> None:
        """Show another photo, or another state of it; None shows that there is none."""
        if photo is None or self._photo is None or photo.file != self._photo.file:
            self._picture = QPixmap(str(self._folder / photo.file)) if photo else QPixmap()
            self.chosen = None
        self._photo = photo
        if self.chosen is not None and self.chosen >= len(self.marks):
            self.chosen = None
        self.update()

    @property
    def marks(self) -> tuple[PhotoMark, ...]:
        """The marks of the photo that is shown."""
        return self._photo.marks if self._photo is not None else ()

    def sizeHint(self) -> QSize:
        """Return a size at which a photo can be looked at."""
        return QSize(self._theme.px(760), self._theme.px(480))

    # ------------------------------------------------------------------------------------- places

    def _frame(self) -> QRectF:
        """Where the picture lies in the widget."""
        room = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        size = self._picture.size().scaled(room.size().toSize(), Qt.AspectRatioMode.KeepAspectRatio)
        corner = room.center() - QPointF(size.width() / 2, size.height() / 2)
        return QRectF(corner, size)

    def px(self, point: PicturePoint) -> QPointF:
        """Return where a place of the picture is seen."""
        frame = self._frame()
        return QPointF(
            frame.left() + point.x * frame.width(), frame.top() + point.y * frame.height()
        )

    def point(self, at: QPointF) -> PicturePoint:
        """Return the place of the picture under a px, kept on the picture."""
        frame = self._frame()
        return PicturePoint(
            min(max((at.x() - frame.left()) / max(frame.width(), 1.0), 0.0), 1.0),
            min(max((at.y() - frame.top()) / max(frame.height(), 1.0), 0.0), 1.0),
        )

    def _label(self, mark: PhotoMark) -> QRectF:
        """Where the panel with a mark's name lies: around its place, inside the widget."""
        font = self._theme.font("body", is_bold=True)
        wide = QFontMetricsF(font).horizontalAdvance(mark.text or "…") + 14
        high = self._theme.px(24)
        box = QRectF(0, 0, wide, high)
        box.moveCenter(self.px(mark.at))
        box.moveLeft(min(max(box.left(), 2.0), max(self.width() - wide - 2.0, 2.0)))
        box.moveTop(min(max(box.top(), 2.0), max(self.height() - high - 2.0, 2.0)))
        return box

    def _under(self, at: QPointF) -> tuple[int, Grip] | None:
        """The mark under a px, the one drawn last first."""
        for which in reversed(range(len(self.marks))):
            mark = self.marks[which]
            if mark.points_at is not None:
                way = self.px(mark.points_at) - at
                if hypot(way.x(), way.y()) <= REACH_PX:
                    return which, "head"
            if self._label(mark).contains(at):
                return which, "name"
        return None

    # ----------------------------------------------------------------------------------- painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the picture, then its marks, then what is being drawn."""
        del event
        theme = self._theme
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.fillRect(self.rect(), theme.colour("table"))
            if self._picture.isNull():
                painter.setPen(theme.colour("second text"))
                painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, self._why_nothing())
                return
            painter.drawPixmap(self._frame(), self._picture, QRectF(self._picture.rect()))
            for which, mark in enumerate(self.marks):
                self._paint_mark(painter, self._moved(which, mark), is_chosen=which == self.chosen)
            new = self._new_mark()
            if new is not None:
                self._paint_mark(painter, new, is_chosen=True)

    def _why_nothing(self) -> str:
        if self._photo is None:
            return "No photo yet."
        return (
            f"{self._photo.file} cannot be shown; put the picture back into the project's folder."
        )

    def _moved(self, which: int, mark: PhotoMark) -> PhotoMark:
        """A mark as it is while the mouse moves it."""
        drag = self._drag
        if drag is None or drag.which != which or not drag.is_far:
            return mark
        place = "points_at" if drag.grip == "head" else "at"
        return mark.model_copy(update={place: self.point(drag.now)})

    def _new_mark(self) -> PhotoMark | None:
        """The mark that is being drawn or named; None where none is."""
        if self._drag is not None and self._drag.which is None and self._drag.is_far:
            start, end = self.point(self._drag.start), self.point(self._drag.now)
            return PhotoMark(at=start, points_at=end)
        return self._typed_for if self.chosen is None else None

    def _paint_mark(self, painter: QPainter, mark: PhotoMark, *, is_chosen: bool) -> None:
        theme = self._theme
        ink, seam = theme.on_paper("followed"), theme.on_paper("paper")
        label = self._label(mark)
        if mark.points_at is not None:
            end = self.px(mark.points_at)
            for colour, width in ((seam, LINE_PX + SEAM_PX), (ink, LINE_PX)):
                _paint_arrow(painter, label.center(), end, QPen(colour, width))
        painter.setPen(
            QPen(ink if is_chosen else theme.on_paper("hairline"), 2.5 if is_chosen else 1)
        )
        painter.setBrush(seam)
        painter.drawRoundedRect(label, 4, 4)
        painter.setPen(theme.on_paper("text"))
        painter.setFont(theme.font("body", is_bold=True))
        painter.drawText(label, Qt.AlignmentFlag.AlignCenter, mark.text or "…")

    # -------------------------------------------------------------------------------- mouse, keys

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of a mark, or begin a new one."""
        self._take_name()
        self.setFocus()
        if event.button() != Qt.MouseButton.LeftButton or self._picture.isNull():
            return
        at = event.position()
        under = self._under(at)
        self.chosen = under[0] if under else None
        if under is not None:
            self._drag = _Drag(at, at, *under)
        elif self._frame().contains(at):
            self._drag = _Drag(at, at)
        self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Draw on."""
        if self._drag is not None:
            self._drag.now = event.position()
            self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End the arrow, and ask for its name; or lay a mark where it was moved to."""
        drag, self._drag = self._drag, None
        if drag is None:
            return
        drag.now = event.position()
        if drag.which is None:
            end = self.point(drag.now) if drag.is_far else None
            self._ask_name(PhotoMark(at=self.point(drag.start), points_at=end))
        elif drag.is_far:
            place = "points_at" if drag.grip == "head" else "at"
            update = {place: self.point(drag.now)}
            self.changed.emit(drag.which, self.marks[drag.which].model_copy(update=update))
        self.update()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Type the name of a mark anew."""
        under = self._under(event.position())
        if under is not None:
            self.chosen = under[0]
            self._ask_name(self.marks[under[0]])

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """N begins an arrow; arrow keys move the chosen one, F2 names it, Delete takes it off."""
        key = event.key()
        if key == Qt.Key.Key_N and not self._picture.isNull():
            self.chosen = None
            self._ask_name(PhotoMark(at=PicturePoint(0.3, 0.3), points_at=PicturePoint(0.5, 0.5)))
        elif self.chosen is None:
            super().keyPressEvent(event)
        elif key in {Qt.Key.Key_Delete, Qt.Key.Key_Backspace}:
            self.removed.emit(self.chosen)
        elif key in {Qt.Key.Key_F2, Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self._ask_name(self.marks[self.chosen])
        elif key in _STEPS:
            is_name = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            nudged = _nudged(self.marks[self.chosen], *_STEPS[Qt.Key(key)], is_name=is_name)
            self.changed.emit(self.chosen, nudged)
        elif key == Qt.Key.Key_Escape:
            self.chosen = self._drag = None
        else:
            super().keyPressEvent(event)
        self.update()

    def focusNextPrevChild(self, is_next: bool) -> bool:  # noqa: FBT001 - Qt's own signature
        """Tab goes from mark to mark first, and out of the photo after the last."""
        is_last = self.chosen is not None and self.chosen == len(self.marks) - 1
        if is_next and self.marks and not is_last:
            self.chosen = 0 if self.chosen is None else self.chosen + 1
            self.update()
            return True
        return super().focusNextPrevChild(is_next)

    # -------------------------------------------------------------------------------------- names

    def _ask_name(self, mark: PhotoMark) -> None:
        """Ask for a name where it will stand."""
        self._typed_for = mark
        self.field.setText(mark.text)
        self.field.selectAll()
        self._place_field()
        self.field.show()
        self.field.setFocus()
        self.update()

    def _place_field(self) -> None:
        if self._typed_for is None:
            return
        wide, high = self._theme.px(240), self.field.sizeHint().height()
        at = self.px(self._typed_for.at)
        x = min(max(at.x() - wide / 2, 4.0), max(self.width() - wide - 4.0, 4.0))
        y = min(max(at.y() - high / 2, 4.0), max(self.height() - high - 4.0, 4.0))
        self.field.setGeometry(round(x), round(y), wide, high)

    def _take_name(self) -> None:
        """Take the typed name; an arrow may go without one, a name alone may not."""
        mark, self._typed_for = self._typed_for, None
        if mark is None:
            return
        self.field.hide()
        self.setFocus()
        named = mark.model_copy(update={"text": self.field.text().strip()})
        if self.chosen is not None:
            self.changed.emit(self.chosen, named)
        elif named.text or named.points_at is not None:
            self.drawn.emit(named)
        self.update()

    def _leave_name(self) -> None:
        self._typed_for = None
        self.field.hide()
        self.setFocus()
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the field where its mark is."""
        super().resizeEvent(event)
        self._place_field()


def _nudged(mark: PhotoMark, dx: float, dy: float, *, is_name: bool) -> PhotoMark:
    """A mark with its head, or its name, moved by a share of the picture."""
    place = "at" if is_name or mark.points_at is None else "points_at"
    old: PicturePoint = getattr(mark, place)
    new = PicturePoint(min(max(old.x + dx, 0.0), 1.0), min(max(old.y + dy, 0.0), 1.0))
    return mark.model_copy(update={place: new})


def _paint_arrow(painter: QPainter, start: QPointF, end: QPointF, pen: QPen) -> None:
    """Draw a line with a filled head at its end."""
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(pen.color())
    turn = atan2(end.y() - start.y(), end.x() - start.x())
    wings = [
        end - QPointF(cos(turn + side * pi / 7), sin(turn + side * pi / 7)) * HEAD_PX
        for side in (-1, 1)
    ]
    painter.drawLine(start, (wings[0] + wings[1]) / 2)
    painter.drawPolygon(QPolygonF([end, *wings]))
