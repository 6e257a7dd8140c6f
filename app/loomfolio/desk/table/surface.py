"""The bare surface: a window onto the table that is panned and zoomed, and knows nothing of sheets.

Wheel zooms about the pointer; middle or right button, Space with the left one, arrows, and two fingers
on a touch pad pan; pinching zooms. What lies under the pointer while zooming stays there.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QInputDevice, QKeyEvent, QMouseEvent, QNativeGestureEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.layout import TableBox
from loomfolio.desk.table.mover import Mover
from loomfolio.desk.table.view import View
from loomfolio.desk.theme import Theme

NOTCH = 120.0
ZOOM_PER_NOTCH = 1.25
ZOOM_PER_KEY = 1.5
PAN_PER_KEY_PX = 96.0
CLICK_SLACK_PX = 4.0

_ARROWS = {
    Qt.Key.Key_Left: (1.0, 0.0),
    Qt.Key.Key_Right: (-1.0, 0.0),
    Qt.Key.Key_Up: (0.0, 1.0),
    Qt.Key.Key_Down: (0.0, -1.0),
}


class TableSurface(QWidget):
    """A widget with a view. `view_moved(View)` tells each move, `settled` the end of one."""

    view_moved = Signal(object)
    settled = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._mover = Mover(self)
        self._mover.moved.connect(self._on_moved)
        self._mover.settled.connect(self.settled)
        self._mover.settled.connect(self.update)
        self._panned_from: QPointF | None = None
        self._last_pan = QPointF()
        self._is_space_down = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    # ------------------------------------------------------------------ view
    @property
    def view(self) -> View:
        """What the window shows just now."""
        return self._mover.view

    @property
    def theme(self) -> Theme:
        """The theme that is painted in."""
        return self._theme

    def canvas(self) -> Canvas:
        """Return the window as painters see it now."""
        size, ratio = self.size(), self.devicePixelRatioF()
        return Canvas.of(self.view, size.width(), size.height(), ratio, self._theme)

    def set_moves_animated(self, is_animated: bool) -> None:  # noqa: FBT001  a Qt-like setter
        """Switch the 150-ms moves on or off."""
        self._mover.is_animated = is_animated

    def go_to(self, view: View) -> None:
        """Move to a view."""
        self._mover.go(view)

    def show_box(self, box: TableBox, *, at_most: float = 12.0) -> None:
        """Show a box on the table in the middle of the window, not above a scale (px per mm)."""
        self.go_to(View.fitting(box, self.width(), self.height(), at_most=at_most))

    def zoom_by(self, factor: float, about: QPointF | None = None) -> None:
        """Zoom about a px of the window, the pointer where none is given, else the middle."""
        at = about if about is not None else self._pointer()
        self.go_to(self._mover.target.zoomed(factor, at.x(), at.y()))

    def _pointer(self) -> QPointF:
        at = QPointF(self.mapFromGlobal(self.cursor().pos()))
        return at if self.rect().contains(at.toPoint()) else QPointF(self.rect().center())

    def _on_moved(self, view: View) -> None:
        self.view_moved.emit(view)
        self.update()

    # ------------------------------------------------------------------ wheel and touch pad
    def wheelEvent(self, event: QWheelEvent) -> None:
        is_pad = event.device().type() == QInputDevice.DeviceType.TouchPad
        is_zoom = not is_pad or bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if not is_zoom:
            fingers = (
                event.pixelDelta() if not event.pixelDelta().isNull() else event.angleDelta() / 2
            )
            self._mover.jump(self.view.panned(fingers.x(), fingers.y()))
        elif event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            step = (event.angleDelta().y() or event.angleDelta().x()) / NOTCH * PAN_PER_KEY_PX
            self._mover.jump(self.view.panned(step, 0.0))
        else:
            notches = event.angleDelta().y() / NOTCH
            at = event.position()
            view = self._mover.target.zoomed(ZOOM_PER_NOTCH**notches, at.x(), at.y())
            self.go_to(view)
        event.accept()

    def event(self, event: QEvent) -> bool:
        """Take pinching on a touch pad, which comes as no event of its own."""
        if isinstance(event, QNativeGestureEvent) and (
            event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture
        ):
            at = event.position()
            self._mover.jump(self.view.zoomed(1.0 + event.value(), at.x(), at.y()))
            return True
        return super().event(event)

    # ------------------------------------------------------------------ panning
    @property
    def is_panning(self) -> bool:
        """Whether the table is being pushed about."""
        return self._panned_from is not None

    def begins_pan(self, event: QMouseEvent) -> bool:
        """Tell whether a press pans whatever lies under it."""
        button = event.button()
        return button in (Qt.MouseButton.MiddleButton, Qt.MouseButton.RightButton) or (
            button == Qt.MouseButton.LeftButton and self._is_space_down
        )

    def begin_pan(self, at: QPointF) -> None:
        """Take hold of the table at a px."""
        self._mover.stop()
        self._panned_from = self._last_pan = at

    def pan_to(self, at: QPointF) -> None:
        """Push the table so that what was taken hold of lies under a px."""
        if self._panned_from is None:
            return
        across = at - self._last_pan
        self._last_pan = at
        if (at - self._panned_from).manhattanLength() > CLICK_SLACK_PX:
            self.setCursor(Qt.CursorShape.ClosedHandCursor)
        self._mover.jump(self.view.panned(across.x(), across.y()))

    def end_pan(self, at: QPointF) -> bool:
        """Let go; return whether it was only a click."""
        start, self._panned_from = self._panned_from, None
        self.unsetCursor()
        return start is not None and (at - start).manhattanLength() <= CLICK_SLACK_PX

    # ------------------------------------------------------------------ keys
    def navigate(self, event: QKeyEvent) -> bool:
        """Pan or zoom by a key that means nothing else here; return whether it did."""
        key = Qt.Key(event.key())
        if key in _ARROWS:
            dx, dy = _ARROWS[key]
            step = PAN_PER_KEY_PX * (
                4 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
            )
            self.go_to(self._mover.target.panned(dx * step, dy * step))
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.zoom_by(ZOOM_PER_KEY)
        elif key in (Qt.Key.Key_PageDown, Qt.Key.Key_Minus):
            self.zoom_by(1 / ZOOM_PER_KEY)
        elif key == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._is_space_down = True
            self.setCursor(Qt.CursorShape.OpenHandCursor)
        else:
            return False
        return True

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._is_space_down = False
            self.unsetCursor()
        else:
            super().keyReleaseEvent(event)
