"""The narrow line at the foot: what the table hints at, what was done last, and slow work."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QProgressBar, QToolButton, QWidget

from loomfolio.desk.icons import ICON_SIZE, theme_icon
from loomfolio.desk.theme import Theme
from loomfolio.desk.work import Standing


class StatusLine(QFrame):
    """Hint on the left, the last step in the middle, progress with cancel on the right."""

    cancelled = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("status")
        self._hint = QLabel(self)
        self._done = QLabel(self)
        self._work = QLabel(self)
        self._bar = QProgressBar(self)
        self._bar.setRange(0, 1000)
        self._bar.setTextVisible(False)
        self._bar.setFixedWidth(120)
        self._cancel = QToolButton(self)
        self._cancel.setToolTip("Cancel this work")
        self._cancel.setAccessibleName("Cancel this work")
        self._cancel.clicked.connect(self.cancelled)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 0, 4, 0)
        row.setSpacing(12)
        row.addWidget(self._hint, 1)
        row.addWidget(self._done, 0, Qt.AlignmentFlag.AlignRight)
        row.addWidget(self._work)
        row.addWidget(self._bar)
        row.addWidget(self._cancel)
        self.show_work(())
        self.set_theme(theme)

    @property
    def done(self) -> str:
        """What was done last, as it stands on the line."""
        return self._done.text()

    @property
    def work(self) -> str:
        """The slow work that is shown; empty while there is none."""
        return self._work.text() if self._bar.isVisibleTo(self) else ""

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        self.setFixedHeight(theme.px(32))
        self._cancel.setIcon(theme_icon("cancel", theme))
        self._cancel.setIconSize(ICON_SIZE * 0.8)
        for label in (self._hint, self._done, self._work):
            label.setFont(theme.font("small"))

    def hint(self, text: str) -> None:
        """Show what can be done where the pointer is."""
        self._hint.setText(text)

    def show_done(self, text: str) -> None:
        """Show what was done last."""
        self._done.setText(text)

    def show_work(self, standing: Sequence[Standing]) -> None:
        """Show the job that runs, and how many wait."""
        for widget in (self._work, self._bar, self._cancel):
            widget.setVisible(bool(standing))
        if standing:
            waiting = f", {len(standing) - 1} waiting" if len(standing) > 1 else ""
            self._work.setText(f"{standing[0].title}{waiting}")
            self._bar.setValue(round(standing[0].share * 1000))
