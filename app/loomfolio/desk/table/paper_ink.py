"""How a page looks on the table: its white is the colour of the paper, or light and dark swap.

Swapping keeps the hue: each colour's lightness is mirrored (c' = c + 255 - max - min), so a red lead
stays red on dark paper. All by look-up tables, since each tile that comes into view passes here.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import cast

import cv2
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
        held = np.ascontiguousarray(pixels)
        image = self._grey(held) if held.ndim == 2 else self._coloured(held)
        return QPixmap.fromImage(image)

    def _grey(self, pixels: Pixels) -> QImage:
        height, width = pixels.shape
        image = QImage(pixels.data, width, height, width, QImage.Format.Format_Indexed8)
        image.setColorTable(_colour_table(self.black, self.white))
        return image.convertToFormat(QImage.Format.Format_RGB32)

    def _coloured(self, pixels: Pixels) -> QImage:
        if self.is_mirrored:
            shown = cv2.LUT(_mirrored(pixels), _ramp(self.white, self.black))
        else:
            shown = cv2.LUT(pixels, _ramp(self.black, self.white))
        height, width = pixels.shape[:2]
        held = np.ascontiguousarray(shown)
        image = QImage(held.data, width, height, 3 * width, QImage.Format.Format_RGB888)
        return image.convertToFormat(QImage.Format.Format_RGB32)


def _mirrored(pixels: Pixels) -> Pixels:
    """The page with light and dark swapped and each hue kept, uint8 (H, W, 3)."""
    red, green, blue = cv2.split(pixels)
    lightest = cv2.max(cv2.max(red, green), blue).astype(np.int16)
    darkest = cv2.min(cv2.min(red, green), blue)
    shift = 255 - lightest - darkest
    return cast("Pixels", (pixels + shift[:, :, np.newaxis]).astype(np.uint8))


@lru_cache(maxsize=8)
def _ramp(low: str, high: str) -> NDArray[np.uint8]:
    """What 0 to 255 of each channel become: from one colour to another, uint8 (1, 256, 3)."""
    ends = [[c.red(), c.green(), c.blue()] for c in (QColor(low), QColor(high))]
    first, last = (np.array(end, np.float64) for end in ends)
    share = np.linspace(0.0, 1.0, 256)[:, np.newaxis]
    return np.rint(first + (last - first) * share).astype(np.uint8)[np.newaxis]


@lru_cache(maxsize=8)
def _colour_table(low: str, high: str) -> list[int]:
    return [QColor(*(int(c) for c in colour)).rgb() for colour in _ramp(low, high)[0]]
