"""What stands on an empty table: one calm sentence of what to do."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from loomfolio.desk.icons import paint_icon
from loomfolio.desk.theme import Theme

HEAD = "Drop your sheets here"
SENTENCE = (
    "Pictures or PDF pages of wiring diagrams, or a whole project.\nCtrl+Shift+O asks for them. "
    "To try it first: File, Open a demo project."
)


class EmptyState(QWidget):
    """Lies over the table while no sheet does; the mouse goes through it."""

    def __init__(self, theme: Theme, table: QWidget) -> None:
        super().__init__(table)
        self._theme = theme
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAccessibleName(f"{HEAD}. {SENTENCE}")
        table.installEventFilter(self)
        self.setGeometry(table.rect())

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        self._theme = theme
        self.update()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay as large as the table."""
        if event.type() == QEvent.Type.Resize and isinstance(watched, QWidget):
            self.setGeometry(watched.rect())
        return super().eventFilter(watched, event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw a sheet's outline, dotted as a proposal is, with the sentence in it."""
        del event
        theme = self._theme
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        wide, high = min(self.width() - 64.0, theme.px(560)), theme.px(256)
        middle = QRectF(self.rect()).center()
        box = QRectF(middle.x() - wide / 2, middle.y() - high / 2, wide, high)
        pen = QPen(theme.colour("hairline"), 1.5)
        pen.setDashPattern([4.0, 4.0])
        painter.setPen(pen)
        painter.drawRoundedRect(box, 8, 8)
        size = float(theme.px(40))
        place = QRectF(middle.x() - size / 2, box.top() + theme.px(40), size, size)
        paint_icon(painter, "add_sheet", place, theme.colour("second text"))
        painter.setPen(theme.colour("text"))
        painter.setFont(theme.font("title", is_bold=True))
        line = QRectF(box.left(), place.bottom() + theme.px(12), wide, theme.px(36))
        painter.drawText(line, Qt.AlignmentFlag.AlignCenter, HEAD)
        painter.setPen(theme.colour("second text"))
        painter.setFont(theme.font())
        words = QRectF(box.left() + 32, line.bottom() + 4, wide - 64, theme.px(76))
        flags = Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop
        painter.drawText(words, int(flags | Qt.TextFlag.TextWordWrap), SENTENCE)
        painter.end()
