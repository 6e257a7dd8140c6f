"""How a page looks on the table: its white is the colour of the paper, or light and dark swap.

Swapping keeps the hue: each colour's lightness is mirrored (c' = c + 255 - max - min), so a red lead
stays red on dark paper.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QColor, QImage, QPixmap

from loomfolio.desk.table.pyramid import Pixels
from loomfolio.desk.theme import Theme


@dataclass(frozen=True, slots=True)
class PaperInk:
    """What black and white of a page become, `#RRGGBB` each, and whether hues are mirrored for it."""

    black: str
    white: str
    is_mirrored: bool = False

    @staticmethod
    def plain() -> PaperInk:
        """Return black ink on white paper."""
        return PaperInk("#000000", "#ffffff")

    @staticmethod
    def of(theme: Theme) -> PaperInk:
        """Return the paper of a theme: its own tone, or the dark panel with light ink."""
        if theme.paper_colours.name == "dark":
            return PaperInk(
                theme.paper_colours.of("text"), theme.paper_colours.of("panel"), is_mirrored=True
            )
        return PaperInk("#000000", theme.colour("paper").name())

    @property
    def paper(self) -> QColor:
        """The colour of blank paper."""
        return QColor(self.white)

    def pixmap(self, pixels: Pixels) -> QPixmap:
        """Return a part of a page as a pixmap; (H, W) grey or (H, W, 3) RGB."""
        if pixels.ndim == 2:
            return QPixmap.fromImage(self._grey(np.ascontiguousarray(pixels)))
        return QPixmap.fromImage(self._coloured(pixels))

    def _grey(self, pixels: Pixels) -> QImage:
        height, width = pixels.shape
        image = QImage(pixels.data, width, height, width, QImage.Format.Format_Indexed8)
        image.setColorTable(self._ramp())
        return image.convertToFormat(QImage.Format.Format_RGB32)

    def _ramp(self) -> list[int]:
        low, high = QColor(self.black), QColor(self.white)
        return [
            QColor(
                round(low.red() + (high.red() - low.red()) * v / 255),
                round(low.green() + (high.green() - low.green()) * v / 255),
                round(low.blue() + (high.blue() - low.blue()) * v / 255),
            ).rgb()
            for v in range(256)
        ]

    def _coloured(self, pixels: Pixels) -> QImage:
        low, high = _channels(self.black), _channels(self.white)
        values = pixels.astype(np.float32)
        if self.is_mirrored:
            values += 255 - values.max(axis=2, keepdims=True) - values.min(axis=2, keepdims=True)
            low, high = high, low
        shown = np.ascontiguousarray(np.rint(low + (high - low) * (values / 255)).astype(np.uint8))
        height, width = shown.shape[:2]
        image = QImage(shown.data, width, height, 3 * width, QImage.Format.Format_RGB888)
        return image.convertToFormat(QImage.Format.Format_RGB32)


def _channels(colour: str) -> NDArray[np.float32]:
    shown = QColor(colour)
    return np.array([shown.red(), shown.green(), shown.blue()], np.float32)
