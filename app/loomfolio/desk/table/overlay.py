"""Two fits over each other on the sheets: each lead by its sign, and the legend that says what they mean.

Forms first: the same is one thin line; only in the first is dashed with minus signs; only in the second is
solid with plus signs; what goes elsewhere is dotted with arrows.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QFrame, QToolButton, QWidget

from loomfolio.desk.colours import Role
from loomfolio.desk.icons import ICON_SIZE, theme_icon
from loomfolio.desk.table import forms
from loomfolio.desk.table.geometry import points_along
from loomfolio.desk.table.lit import Bench
from loomfolio.desk.table.signs import Sign, SignedRun
from loomfolio.desk.theme import Theme

SIGN_EVERY_MM, SIGN_APART_PX = 40.0, 120.0
SIGN_PX = 7.0
ROLES: dict[Sign, Role] = {
    "same": "second text",
    "only a": "doubt",
    "only b": "followed",
    "elsewhere": "gap",
}
WIDTHS_PX: dict[Sign, float] = {"same": 2.0, "only a": 4.0, "only b": 4.0, "elsewhere": 4.0}
DASHES: dict[Sign, list[float]] = {"only a": [3.0, 2.0], "elsewhere": [0.1, 1.9]}
PAD_PX, SAMPLE_PX = 12, 56


def paint_overlay(painter: QPainter, bench: Bench, runs: Sequence[SignedRun]) -> None:
    """Paint the runs of two fits, the same ones below the others."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    ink = bench.ink
    by_id = {laid.id: laid for laid in bench.sheets}
    for run in sorted(runs, key=lambda one: one.sign != "same"):
        laid = by_id.get(run.sheet)
        if laid is None:
            continue
        points = [bench.canvas.px(laid, at) for at in run.points]
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if run.sign != "same":
            painter.setPen(forms.stroke(ink.paper, WIDTHS_PX[run.sign] + 3.0))
            painter.drawPolyline(points)
        painter.setPen(_pen(run.sign, ink.of(ROLES[run.sign])))
        painter.drawPolyline(points)
    for run in runs:
        laid = by_id.get(run.sheet)
        if laid is not None and run.sign != "same":
            length = sum(a.distance_mm(b) for a, b in pairwise(run.points))
            every = max(SIGN_EVERY_MM, SIGN_APART_PX / bench.canvas.view.px_per_mm)
            for at, angle in points_along(run.points, every, min(every, length) / 2):
                spot = bench.canvas.px(laid, at)
                paint_sign(painter, spot, run.sign, angle, ink.of(ROLES[run.sign]), ink.paper)


def _pen(sign: Sign, colour: QColor) -> QPen:
    pen = forms.stroke(colour, WIDTHS_PX[sign])
    if sign in DASHES:
        pen.setDashPattern(DASHES[sign])
        if sign == "only a":
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    return pen


def paint_sign(
    painter: QPainter, at: QPointF, sign: Sign, angle: float, ink: QColor, paper: QColor
) -> None:
    """Draw the sign of a run around a place: a disc with minus, plus or an arrow along the run."""
    painter.setPen(QPen(ink, 1.5))
    painter.setBrush(paper)
    painter.drawEllipse(at, SIGN_PX + 1, SIGN_PX + 1)
    painter.setPen(forms.stroke(ink, 2.0))
    arm = SIGN_PX * 0.55
    if sign == "elsewhere":
        forms.paint_chevron(painter, at, angle, SIGN_PX * 1.3, ink, paper)
        return
    painter.drawLine(QLineF(at.x() - arm, at.y(), at.x() + arm, at.y()))
    if sign == "only b":
        painter.drawLine(QLineF(at.x(), at.y() - arm, at.x(), at.y() + arm))


class FitsLegend(QFrame):
    """What the signs mean and how many leads have each; its cross takes the two fits apart."""

    closed = Signal()

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("finder")
        self._theme = theme
        self.lines: list[tuple[Sign, str]] = []
        self._close = QToolButton(self)
        self._close.setToolTip("Take the two fits apart")
        self._close.setAccessibleName("Take the two fits apart")
        self._close.clicked.connect(self.closed)
        self.set_theme(theme)
        self.hide()

    def set_theme(self, theme: Theme) -> None:
        """Take other colours or another text scale."""
        self._theme = theme
        self._close.setIcon(theme_icon("cancel", theme))
        self._close.setIconSize(ICON_SIZE)
        self._place()

    def show_lines(self, lines: Sequence[tuple[Sign, str]]) -> None:
        """Say what each sign means; none puts the legend away."""
        self.lines = list(lines)
        self.setVisible(bool(lines))
        self.setAccessibleName("; ".join(text for _, text in lines))
        self._place()
        self.raise_()
        self.update()

    def _place(self) -> None:
        self.resize(self.sizeHint())
        self.move(16, 16)
        self._close.adjustSize()
        self._close.move(self.width() - self._close.width() - 4, 4)

    def sizeHint(self) -> QSize:
        """Return the size that the words want."""
        metrics = QFontMetrics(self._theme.font())
        widest = max((metrics.horizontalAdvance(text) for _, text in self.lines), default=0)
        row = self._theme.px(28)
        wide = widest + self._theme.px(SAMPLE_PX) + 3 * PAD_PX + self._theme.px(32)
        return QSize(wide, row * max(len(self.lines), 1) + 2 * PAD_PX)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw a sample of each run and its words."""
        super().paintEvent(event)
        theme, row = self._theme, self._theme.px(28)
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            for number, (sign, text) in enumerate(self.lines):
                y = PAD_PX + row * (number + 0.5)
                left, right = QPointF(PAD_PX, y), QPointF(PAD_PX + theme.px(SAMPLE_PX), y)
                painter.setPen(_pen(sign, theme.colour(ROLES[sign])))
                painter.drawLine(left, right)
                if sign != "same":
                    ink, paper = theme.colour(ROLES[sign]), theme.colour("panel")
                    paint_sign(painter, (left + right) / 2, sign, 0.0, ink, paper)
                painter.setFont(theme.font())
                painter.setPen(theme.colour("text"))
                box = QRectF(right.x() + PAD_PX, y - row / 2, self.width() - right.x(), row)
                painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, text)
