"""The question next to its place: one sentence, and under it each answer with its key."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from loomfolio.desk.table.preview import Choice, Question
from loomfolio.desk.theme import Theme

PAD_PX, GAP_PX, KEY_PAD_PX = 10.0, 14.0, 6.0


class QuestionCard(QWidget):
    """Shows one question. `chosen(str)` is the key of the answer that was clicked.

    It never takes the focus: the keys printed in it go to the table.
    """

    chosen = Signal(str)

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._table = parent
        self._theme = theme
        self._question: Question | None = None
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setCursor(Qt.CursorShape.ArrowCursor)
        self.hide()

    @property
    def question(self) -> Question | None:
        """The question that is asked just now."""
        return self._question

    def set_theme(self, theme: Theme) -> None:
        """Paint in another theme."""
        self._theme = theme
        self.update()

    def ask(self, question: Question | None, at: QPointF) -> None:
        """Show a question beside a px of the table, or hide."""
        self._question = question
        if question is None:
            self.hide()
            return
        self.setAccessibleName(
            " ".join([question.text, *(f"{c.key}: {c.word}." for c in question.choices)])
        )
        self.resize(self.sizeHint())
        self._place(at)
        self.show()
        self.raise_()
        self.update()

    def _place(self, at: QPointF) -> None:
        """Above and to the right of the place, never over it, inside the table."""
        room = self._table.size()
        x = min(max(at.x() + 20, 4), room.width() - self.width() - 4)
        y = at.y() - 20 - self.height()
        if y < 4:
            y = at.y() + 20
        self.move(round(max(x, 4)), round(max(min(y, room.height() - self.height() - 4), 4)))

    def sizeHint(self) -> QSize:
        if self._question is None:
            return QSize(0, 0)
        font = self._theme.font("body")
        text = QFontMetricsF(font)
        choices = self._boxes()
        right = choices[-1][1].right() if choices else 0.0
        width = max(text.horizontalAdvance(self._question.text) + PAD_PX, right) + PAD_PX
        return QSize(round(width + 1), round(2 * PAD_PX + text.height() + 8 + self._row_height()))

    def _row_height(self) -> float:
        return QFontMetricsF(self._theme.font("small")).height() + 6

    def _boxes(self) -> list[tuple[Choice, QRectF, float]]:
        """Each choice with its box and the width of its key cap."""
        question = self._question
        if question is None:
            return []
        body, small = self._theme.font("body"), self._theme.font("small", is_mono=True)
        words, keys = QFontMetricsF(body), QFontMetricsF(small)
        top = PAD_PX + words.height() + 8
        x = PAD_PX
        found: list[tuple[Choice, QRectF, float]] = []
        for choice in question.choices:
            cap = max(keys.horizontalAdvance(choice.key) + 2 * KEY_PAD_PX, self._row_height())
            width = cap + 6 + words.horizontalAdvance(choice.word)
            found.append((choice, QRectF(x, top, width, self._row_height()), cap))
            x += width + GAP_PX
        return found

    def paintEvent(self, event: QPaintEvent) -> None:
        del event
        if self._question is None:
            return
        with QPainter(self) as painter:
            self._paint(painter, self._question)

    def _paint(self, painter: QPainter, question: Question) -> None:
        theme = self._theme
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(theme.colour("hairline"), 1.0))
        painter.setBrush(theme.colour("panel"))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), 4, 4)
        painter.setPen(theme.colour("text"))
        painter.setFont(theme.font("body"))
        line = QRectF(PAD_PX, PAD_PX, self.width(), QFontMetricsF(painter.font()).height())
        painter.drawText(line, Qt.AlignmentFlag.AlignVCenter, question.text)
        for choice, box, cap in self._boxes():
            key = QRectF(box.left() + 0.5, box.top() + 0.5, cap - 1, box.height() - 1)
            painter.setPen(QPen(theme.colour("hairline"), 1.0))
            painter.setBrush(theme.field)
            painter.drawRoundedRect(key, 3, 3)
            painter.setPen(theme.colour("text"))
            painter.setFont(theme.font("small", is_mono=True))
            painter.drawText(key, Qt.AlignmentFlag.AlignCenter, choice.key)
            painter.setFont(theme.font("body"))
            word = box.adjusted(cap + 6, 0, 4, 0)
            painter.drawText(word, Qt.AlignmentFlag.AlignVCenter, choice.word)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        for choice, box, _ in self._boxes():
            if box.contains(event.position()):
                self.chosen.emit(choice.key)
        event.accept()
