"""A ring that closes in on a place and goes: the call for attention after a jump."""

from __future__ import annotations

from PySide6.QtCore import QAbstractAnimation, QObject, QVariantAnimation, Signal

from loomfolio.project import Anchor

FLASH_MS, STILL_MS = 600, 900


class Flash(QObject):
    """Where the eye is drawn to just now; `changed` tells each step and the end."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.is_animated = True
        self._place: Anchor | None = None
        self._share = 1.0
        self._animation = QVariantAnimation(self)
        self._animation.setStartValue(0.0)
        self._animation.setEndValue(1.0)
        self._animation.valueChanged.connect(self._step)
        self._animation.finished.connect(self._end)

    @property
    def now(self) -> tuple[Anchor, float] | None:
        """The place and how far the call has run; None at rest. Without moves it stands still."""
        if self._place is None:
            return None
        return self._place, (self._share if self.is_animated else 0.5)

    def start(self, place: Anchor) -> None:
        """Draw the eye to a place; an earlier call ends."""
        if self._animation.state() == QAbstractAnimation.State.Running:
            self._animation.stop()
        self._place = place
        self._animation.setDuration(FLASH_MS if self.is_animated else STILL_MS)
        self._animation.start()
        self.changed.emit()

    def _step(self, share: float) -> None:
        self._share = share
        if self.is_animated:
            self.changed.emit()

    def _end(self) -> None:
        self._place = None
        self.changed.emit()
