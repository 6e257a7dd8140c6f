"""Our colours, fonts and sizes on the paper at one zoom."""

from __future__ import annotations

from PySide6.QtGui import QColor, QFont

from loomfolio.desk.colours import Role
from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.paper_ink import PaperInk

TEXT_MM = 4.5
"""Texts of ours are as high as this on the paper until they have their full size on screen."""
SMALLEST_NUMBER_PX = 8


class Ink:
    """What painters of marks draw with."""

    def __init__(self, canvas: Canvas) -> None:
        self._theme = canvas.theme
        self.ratio = canvas.ratio
        self.px_per_mm = canvas.view.px_per_mm
        self.paper = PaperInk.of(canvas.theme).paper
        self.small = canvas.theme.font("small")
        self.bold = self._fitted(canvas.theme.font("small", is_bold=True))
        self.mono = self._fitted(canvas.theme.font("small", is_mono=True))

    def of(self, role: Role) -> QColor:
        """Return the colour of a role on the paper."""
        return self._theme.on_paper(role)

    def quiet(self, role: Role) -> QColor:
        """Return a role's colour thinned with paper, for outlines that are always there."""
        return QColor(self._theme.paper_colours.mixed("paper", role, 0.65))

    def sheer(self, role: Role, share: float) -> QColor:
        """Return a role's colour so opaque (0 to 1)."""
        colour = self.of(role)
        colour.setAlphaF(share)
        return colour

    def size(self, mm: float, smallest: float, largest: float) -> float:
        """Return a size that grows with the zoom between two limits, px."""
        return min(max(mm * self.px_per_mm, smallest), largest)

    @property
    def number_font(self) -> QFont:
        """The font of pin numbers: at most as high as the space between two pins allows."""
        font = QFont(self.mono)
        font.setPixelSize(round(self.size(3.0, SMALLEST_NUMBER_PX, font.pixelSize())))
        return font

    def _fitted(self, font: QFont) -> QFont:
        """The font made smaller where the print itself is small on screen."""
        full = font.pixelSize()
        font.setPixelSize(round(self.size(TEXT_MM, 0.7 * full, full)))
        return font
