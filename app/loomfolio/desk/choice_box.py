"""A combo box with our own arrow, since a style sheet cannot colour one."""

from __future__ import annotations

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QComboBox

from loomfolio.desk.icons import paint_icon

ARROW_PX = 12


class ChoiceBox(QComboBox):
    """One of several, chosen from a list."""

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the box as Qt does, and the arrow over it."""
        super().paintEvent(event)
        painter = QPainter(self)
        middle = (self.height() - ARROW_PX) / 2
        box = QRectF(self.width() - ARROW_PX - 8, middle, ARROW_PX, ARROW_PX)
        paint_icon(painter, "open_list", box, self.palette().color(QPalette.ColorRole.Text))
        painter.end()
