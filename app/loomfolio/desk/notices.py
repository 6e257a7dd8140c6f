"""The bars under the head of the window: cautions, read-only, and one sentence at a time."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from loomfolio.desk.icons import ICON_SIZE, theme_icon
from loomfolio.desk.theme import Theme

Tone = Literal["note", "stop"]


class Bar(QFrame):
    """One line over the width of the window: an icon, a sentence, and a cross where it can go."""

    changed = Signal()

    def __init__(self, name: str, icon: str, *, can_close: bool, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self._icon_name = icon
        self._icon = QLabel(self)
        self._words = QLabel(self)
        self._words.setWordWrap(True)
        self._words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._close = QToolButton(self)
        self._close.setToolTip("Put this away")
        self._close.setAccessibleName("Put this away")
        self._close.setVisible(can_close)
        self._close.clicked.connect(lambda: self.say(""))
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 4, 8, 4)
        row.setSpacing(8)
        row.addWidget(self._icon)
        row.addWidget(self._words, 1)
        row.addWidget(self._close)
        self.hide()

    @property
    def sentence(self) -> str:
        """What stands on the bar."""
        return self._words.text()

    def say(self, sentence: str) -> None:
        """Show a sentence; an empty one puts the bar away."""
        self._words.setText(sentence)
        self.setVisible(bool(sentence))
        self.changed.emit()

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        size = theme.px(20)
        self._icon.setPixmap(
            theme_icon(self._icon_name, theme).pixmap(QSize(size, size), self.devicePixelRatio())
        )
        self._close.setIcon(theme_icon("cancel", theme))
        self._close.setIconSize(ICON_SIZE)


class CautionBar(Bar):
    """The cautions of the job, dark on yellow in both themes."""

    def set_theme(self, theme: Theme) -> None:
        """Take the light icon in both themes: the bar stays yellow."""
        from loomfolio.desk.theme import make_theme

        super().set_theme(make_theme("light", scale=theme.scale))


class Notices(QWidget):
    """The stack of bars."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.cautions = CautionBar("caution", "caution", can_close=False, parent=self)
        self.read_only = Bar("notice", "lock", can_close=False, parent=self)
        self.note = Bar("notice", "note", can_close=True, parent=self)
        self.stop = Bar("notice", "caution", can_close=True, parent=self)
        self.stop.setProperty("tone", "stop")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for bar in self._bars:
            column.addWidget(bar)
            bar.changed.connect(self._fit)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self.hide()
        self.set_theme(theme)

    @property
    def _bars(self) -> tuple[Bar, ...]:
        return (self.cautions, self.read_only, self.note, self.stop)

    def _fit(self) -> None:
        """Take no room while nothing is said."""
        self.setVisible(any(bar.sentence for bar in self._bars))

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        for bar in self._bars:
            bar.set_theme(theme)

    def show_cautions(self, cautions: Sequence[str]) -> None:
        """Show the cautions of the job as long as there are any."""
        self.cautions.say("   ·   ".join(cautions))

    def tell(self, sentence: str, tone: Tone = "note") -> None:
        """Say one sentence; it replaces the one before of the same tone."""
        (self.stop if tone == "stop" else self.note).say(sentence)

    def settle(self) -> None:
        """Put what was said about an earlier action away."""
        self.note.say("")
        self.stop.say("")
