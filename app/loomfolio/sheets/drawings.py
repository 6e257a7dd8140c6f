"""What stands in a page that was written as a drawing: strokes, fills, words and pictures.

Positions are px of the page as `load_page` draws it at the same dpi, top-left origin, y down, not
rounded. `order` is the place in the order of painting: what has a higher number lies on top.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import PxBox

F64 = NDArray[np.float64]


class Rgb(NamedTuple):
    """A colour, each channel 0..255."""

    red: int
    green: int
    blue: int

    @property
    def darkness(self) -> int:
        """How far the darkest channel lies below white, 0..255; yellow is ink too."""
        return 255 - min(self)


@dataclass(frozen=True, slots=True)
class DrawnStroke:
    """A line drawn with a pen.

    Attributes
    ----------
    points : float64, (P, 2)
        P >= 2; of a closed line the first point stands again at the end.
    width_px : float
        Width of the pen; the thinnest a printer can draw counts as one px.
    cap_px : float
        How far the ink reaches beyond an end: half the width under a round or square cap, else 0.
    is_dashed : bool
        The file itself says that the line is broken into dashes; the points run through.
    """

    points: F64
    width_px: float
    colour: Rgb
    order: float
    is_closed: bool = False
    is_dashed: bool = False
    is_curved: bool = False
    cap_px: float = 0.0


@dataclass(frozen=True, slots=True)
class DrawnFill:
    """A filled area: `rings`, each float64 (P, 2) closed, by the even-odd rule where it says so."""

    rings: tuple[F64, ...]
    colour: Rgb
    order: float
    is_even_odd: bool = False
    pen_px: float = 0.0
    """Width of a pen of the same colour round the area; 0 where it has none."""


@dataclass(frozen=True, slots=True)
class DrawnWord:
    """A word as the file writes it, with a box round its letters.

    `text` is empty where the font does not say which letters they are. A hidden word is not
    painted: a scanner's own recognition laid under its picture.
    """

    text: str
    box: PxBox
    letter_boxes: tuple[PxBox, ...]
    is_hidden: bool = False


@dataclass(frozen=True, slots=True)
class DrawnPicture:
    """A picture of pixels set into the page."""

    box: PxBox
    order: float


@dataclass(frozen=True, slots=True)
class PageDrawing:
    """All of a page that is no pixels; a page without content has none of anything."""

    width_px: int
    height_px: int
    dpi: float
    strokes: tuple[DrawnStroke, ...] = ()
    fills: tuple[DrawnFill, ...] = ()
    words: tuple[DrawnWord, ...] = ()
    pictures: tuple[DrawnPicture, ...] = ()
