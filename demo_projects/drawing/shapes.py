"""The few kinds of ink that a printed sheet is made of, in mm on the unskewed page, y down.

The lettering is the face that comes inside Pillow, so that a sheet looks the same wherever it is drawn;
it holds ASCII and the degree sign, nothing more.
"""

from __future__ import annotations

import io
import math
from dataclasses import dataclass
from functools import cache
from typing import Literal

from PIL import ImageFont

from loomfolio.basics import MmBox, MmPoint

InkRole = Literal["wire", "outline", "symbol", "rule"]
Align = Literal["left", "centre", "right"]

INK = 0
"""Grey of the printing ink before it is scanned; 255 is bare paper."""

_MEASURE_PX = 400
_CAP_HEIGHT = 0.70
"""Height of a capital letter as a part of the size of the face, measured on its H."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A pen line of even width; `dash_mm` is (ink, gap), empty for an unbroken line."""

    points: tuple[MmPoint, ...]
    width_mm: float
    role: InkRole
    dash_mm: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Area:
    """A filled polygon."""

    points: tuple[MmPoint, ...]
    grey: int = INK


@dataclass(frozen=True, slots=True)
class Disc:
    """A filled round."""

    centre: MmPoint
    radius_mm: float
    grey: int = INK


@dataclass(frozen=True, slots=True)
class Lettering:
    """A line of text: `at` is the left, centre or right of its middle height; `is_turned` reads upwards."""

    text: str
    at: MmPoint
    cap_mm: float
    align: Align = "left"
    is_bold: bool = False
    is_turned: bool = False

    @property
    def length_mm(self) -> float:
        """How long the line of text runs."""
        return letter_places(self)[1]

    @property
    def box(self) -> MmBox:
        """The box that the capitals of the text fill."""
        length = self.length_mm
        before = {"left": 0.0, "centre": length / 2, "right": length}[self.align]
        half = self.cap_mm / 2
        if self.is_turned:
            low = self.at.y + before
            return MmBox(self.at.x - half, low - length, self.at.x + half, low)
        left = self.at.x - before
        return MmBox(left, self.at.y - half, left + length, self.at.y + half)


Ink = Stroke | Area | Disc | Lettering


@cache
def face(size_px: int) -> ImageFont.FreeTypeFont:
    """Return the lettering at a size in px, laid out letter by letter on every machine alike."""
    built_in = ImageFont.load_default(size=size_px)
    if not isinstance(built_in, ImageFont.FreeTypeFont):
        raise TypeError("this Pillow was built without FreeType, so that no lettering can be drawn")
    data = built_in.path
    if isinstance(data, io.BytesIO):
        data = io.BytesIO(data.getvalue())
    return ImageFont.truetype(data, size_px, layout_engine=ImageFont.Layout.BASIC)


def letter_places(text: Lettering) -> tuple[tuple[float, ...], float]:
    """Return where each letter begins, mm from the beginning of the text, and how long the text runs.

    Letters stand a little wider than the face sets them, bold ones more, so that the pen does not close them up.
    """
    measure = face(_MEASURE_PX)
    scale = text.cap_mm / _CAP_HEIGHT / _MEASURE_PX
    wider = text.cap_mm * (0.10 if text.is_bold else 0.03)
    ends = [measure.getlength(text.text[:n]) * scale + wider * n for n in range(len(text.text) + 1)]
    return tuple(ends[:-1]), max(0.0, ends[-1] - wider) if text.text else 0.0


def face_for_cap(cap_px: float) -> ImageFont.FreeTypeFont:
    """Return the lettering whose capitals are `cap_px` high."""
    return face(round(cap_px / _CAP_HEIGHT))


def line(a: tuple[float, float], b: tuple[float, float], width_mm: float, role: InkRole) -> Stroke:
    """Return one straight pen line."""
    return Stroke((MmPoint(*a), MmPoint(*b)), width_mm, role)


def rectangle(
    box: MmBox,
    width_mm: float,
    role: InkRole = "outline",
    *,
    dash_mm: tuple[float, float] | None = None,
) -> Stroke:
    """Return the outline of a box."""
    return Stroke((*corners(box), MmPoint(box.x0, box.y0)), width_mm, role, dash_mm)


def corners(box: MmBox) -> tuple[MmPoint, ...]:
    """Return the corners of a box, clockwise from the top left."""
    return (
        MmPoint(box.x0, box.y0),
        MmPoint(box.x1, box.y0),
        MmPoint(box.x1, box.y1),
        MmPoint(box.x0, box.y1),
    )


def arc(
    centre: MmPoint,
    radii_mm: tuple[float, float],
    *,
    from_degrees: float,
    to_degrees: float,
    width_mm: float,
    role: InkRole = "symbol",
) -> Stroke:
    """Return a part of an ellipse; 0 degrees points right, 90 down."""
    return Stroke(arc_points(centre, radii_mm, from_degrees, to_degrees), width_mm, role)


def arc_points(
    centre: MmPoint, radii_mm: tuple[float, float], from_degrees: float, to_degrees: float
) -> tuple[MmPoint, ...]:
    """Return points along a part of an ellipse, at most 5 degrees apart."""
    steps = max(2, math.ceil(abs(to_degrees - from_degrees) / 5))
    turns = (
        math.radians(from_degrees + (to_degrees - from_degrees) * step / steps)
        for step in range(steps + 1)
    )
    return tuple(
        MmPoint(centre.x + radii_mm[0] * math.cos(t), centre.y + radii_mm[1] * math.sin(t))
        for t in turns
    )
