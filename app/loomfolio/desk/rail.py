"""The rail: the stages of the job from top to bottom, each with the count of what is still open."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QFrame, QVBoxLayout, QWidget

from loomfolio.desk.icons import paint_icon
from loomfolio.desk.stages import STAGES, Stage, StageId
from loomfolio.desk.theme import Theme

RAIL_PX = 76
BUTTON_PX = 68


class Rail(QFrame):
    """One button per stage; says which was picked."""

    picked = Signal(str)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("rail")
        self.buttons: dict[StageId, StageButton] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(4, 8, 4, 8)
        column.setSpacing(4)
        for stage in STAGES:
            if stage.id == "doubts":
                column.addStretch(1)
            button = StageButton(stage, theme, self)
            button.clicked.connect(lambda _=False, name=stage.id: self.picked.emit(name))
            column.addWidget(button)
            self.buttons[stage.id] = button
        self.set_theme(theme)

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        self.setFixedWidth(theme.px(RAIL_PX))
        for button in self.buttons.values():
            button.set_theme(theme)

    def show_counts(self, counts: Mapping[StageId, int]) -> None:
        """Show how much is still open in each stage."""
        for name, button in self.buttons.items():
            button.set_count(counts.get(name, 0))

    def show_stage(self, stage_id: StageId | None) -> None:
        """Mark the stage whose ledger is shown; None while no ledger is."""
        for name, button in self.buttons.items():
            button.setChecked(name == stage_id)


class StageButton(QAbstractButton):
    """Icon, word and count of one stage."""

    def __init__(self, stage: Stage, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._stage, self._theme, self._count = stage, theme, 0
        self.setCheckable(True)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.set_count(0)

    @property
    def count(self) -> int:
        """How much is still open."""
        return self._count

    def set_count(self, count: int) -> None:
        """Show another count; none is shown as none, not as a zero."""
        self._count = count
        stands = f"{count} still open" if count else "nothing open"
        self.setToolTip(f"{self._stage.head}: {stands} (Alt+{self._stage.key})")
        self.setAccessibleName(f"{self._stage.title}, {stands}")
        self.update()

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        self._theme = theme
        self.setFixedHeight(self.sizeHint().height())
        self.update()

    def sizeHint(self) -> QSize:
        """Return the size of a button of the rail."""
        return QSize(self._theme.px(RAIL_PX - 8), self._theme.px(BUTTON_PX))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw icon, word and count."""
        del event
        theme = self._theme
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        body = QRectF(self.rect())
        if self.isChecked() or self.underMouse():
            share = 0.18 if self.isChecked() else 0.07
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(theme.tint("panel", "followed", share))
            painter.drawRoundedRect(body, 6, 6)
        if self.isChecked():
            painter.fillRect(QRectF(0, 12, 3, body.height() - 24), theme.colour("followed"))
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(theme.colour("followed"), 2))
            painter.drawRoundedRect(body.adjusted(1, 1, -1, -1), 6, 6)
        size = float(theme.px(24))
        box = QRectF(body.center().x() - size / 2, theme.px(12), size, size)
        paint_icon(painter, self._stage.icon, box, theme.colour("text"))
        painter.setFont(theme.font("small"))
        painter.setPen(theme.colour("text"))
        words = QRectF(0, theme.px(42), body.width(), theme.px(18))
        painter.drawText(words, Qt.AlignmentFlag.AlignCenter, self._stage.title)
        self._paint_count(painter, box)
        painter.end()

    def _paint_count(self, painter: QPainter, icon: QRectF) -> None:
        if not self._count:
            return
        theme = self._theme
        font = theme.font("small", is_bold=True)
        text = str(self._count) if self._count < 1000 else "999+"
        high = float(theme.px(18))
        wide = max(high, QFontMetrics(font).horizontalAdvance(text) + theme.px(10))
        right = min(icon.right() + wide * 0.6, self.width() - 2.0)
        pill = QRectF(right - wide, icon.top() - theme.px(8), wide, high)
        painter.setPen(QPen(theme.colour("panel"), 2))
        painter.setBrush(theme.colour("doubt"))
        painter.drawRoundedRect(pill, high / 2, high / 2)
        painter.setFont(font)
        painter.setPen(theme.colour("panel"))
        painter.drawText(pill, Qt.AlignmentFlag.AlignCenter, text)
