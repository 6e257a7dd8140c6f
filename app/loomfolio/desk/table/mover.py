"""Moves the view: at once, or in 150 ms where moves are wished for."""

from __future__ import annotations

from PySide6.QtCore import QAbstractAnimation, QEasingCurve, QObject, QVariantAnimation, Signal

from loomfolio.desk.table.view import View

MOVE_MS = 150


class Mover(QObject):
    """Holds the view and the one that it is on the way to. `moved(View)` tells each step."""

    moved = Signal(object)
    settled = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.is_animated = True
        self._view = self._start = self._target = View()
        self._animation = QVariantAnimation(self)
        self._animation.setDuration(MOVE_MS)
        self._animation.setStartValue(0.0)
        self._animation.setEndValue(1.0)
        self._animation.setEasingCurve(QEasingCurve.Type.OutCubic)
        self._animation.valueChanged.connect(self._step)
        self._animation.finished.connect(self.settled)

    @property
    def view(self) -> View:
        """The view just now."""
        return self._view

    @property
    def target(self) -> View:
        """The view that a running move ends in; the present one when none runs."""
        return self._target if self.is_moving else self._view

    @property
    def is_moving(self) -> bool:
        """Whether a move is running."""
        return self._animation.state() == QAbstractAnimation.State.Running

    def jump(self, view: View) -> None:
        """Take a view at once; a running move ends."""
        self._animation.stop()
        self._take(view)
        self.settled.emit()

    def go(self, view: View) -> None:
        """Move to a view, in 150 ms where moves are animated."""
        if not self.is_animated:
            self.jump(view)
            return
        self._start, self._target = self._view, view
        self._animation.stop()
        self._animation.start()

    def stop(self) -> None:
        """End a running move where it is."""
        self._animation.stop()

    def _step(self, share: float) -> None:
        self._take(self._start.towards(self._target, share))

    def _take(self, view: View) -> None:
        self._view = view
        self.moved.emit(view)
