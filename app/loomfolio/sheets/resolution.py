"""How many dots make an inch: from the file if it can be believed, from the paper, or assumed.

Many programs write a resolution that nobody measured: cameras write 72 or 300, screen shots 96.
A wrong one makes every millimetre on the sheet wrong, so a stated resolution is only believed where
the paper that follows from it could lie on a bench.
"""

from __future__ import annotations

import math
from types import MappingProxyType

from loomfolio.basics import MM_PER_INCH, NameNotFoundError, Resolution

PAPER_SIZES_MM = MappingProxyType(
    {
        "A5": (148.0, 210.0),
        "A4": (210.0, 297.0),
        "A3": (297.0, 420.0),
        "A2": (420.0, 594.0),
        "A1": (594.0, 841.0),
        "A0": (841.0, 1189.0),
        "B4": (250.0, 353.0),
        "letter": (215.9, 279.4),
        "legal": (215.9, 355.6),
        "tabloid": (279.4, 431.8),
    }
)
"""Short and long side in mm. A and B sizes: ISO 216; the others: ANSI/ASME Y14.1 and US custom."""

LOWEST_DPI, HIGHEST_DPI = 50.0, 2400.0
"""Outside this no scanner and no screen works; a stated value is a fault or a placeholder."""
MOST_UNEVEN = 2.2
"""Fax scans have 204 × 98 dpi; more uneven than that is a fault."""
SCREEN_DPI = 150.0
"""Below it a stated value is usually a placeholder of 72, 96 or 120 dpi."""
LONGEST_SCREEN_MM = 700.0
"""The long side of the largest usual screen: what is stated below `SCREEN_DPI` and larger than
this is a photo or a scan whose value nobody measured."""
LONGEST_PAPER_MM = 5100.0
"""A roll plot; `limits.MAX_SIDE_PX` at 300 dpi."""

ASSUMED_LONG_SIDE_MM = 297.0
LOWEST_ASSUMED_DPI, HIGHEST_ASSUMED_DPI = 96.0, 600.0
USUAL_SCAN_DPI = (100, 150, 200, 240, 300, 400, 600)
_SAME_SIZE = 0.004
_SAME_SHAPE = 0.03


def believable(x_dpi: float, y_dpi: float, width_px: int, height_px: int) -> Resolution | None:
    """Return the resolution that a file states, or None if it cannot be believed.

    Zero, negative, infinite and not-a-number are none. For the rest see the constants above.
    """
    if not (math.isfinite(x_dpi) and math.isfinite(y_dpi)) or min(x_dpi, y_dpi) < LOWEST_DPI:
        return None
    if max(x_dpi, y_dpi) > HIGHEST_DPI or max(x_dpi, y_dpi) > MOST_UNEVEN * min(x_dpi, y_dpi):
        return None
    long_mm = max(width_px / x_dpi, height_px / y_dpi) * MM_PER_INCH
    longest_mm = LONGEST_SCREEN_MM if min(x_dpi, y_dpi) < SCREEN_DPI else LONGEST_PAPER_MM
    return Resolution(x_dpi, y_dpi) if long_mm <= longest_mm else None


def resolution_from_paper(width_px: int, height_px: int, paper: str) -> Resolution:
    """Return the resolution of a page that fills `paper`, lying as the picture lies.

    Where the shapes agree within 3 % (scanners stretch a little) each axis gets its own value.
    Otherwise the picture is a part of the paper: both axes get the one at which it just fits in.

    Raises
    ------
    NameNotFoundError
        If `paper` is no key of `PAPER_SIZES_MM` (upper and lower case are the same).
    """
    sizes = {name.casefold(): size for name, size in PAPER_SIZES_MM.items()}
    try:
        short_mm, long_mm = sizes[paper.strip().casefold()]
    except KeyError:
        raise NameNotFoundError("paper size", paper, PAPER_SIZES_MM) from None
    across = width_px > height_px
    width_mm, height_mm = (long_mm, short_mm) if across else (short_mm, long_mm)
    x_dpi = width_px * MM_PER_INCH / width_mm
    y_dpi = height_px * MM_PER_INCH / height_mm
    if abs(x_dpi / y_dpi - 1.0) <= _SAME_SHAPE:
        return Resolution(x_dpi, y_dpi)
    return Resolution.square(max(x_dpi, y_dpi))


def assumed_resolution(width_px: int, height_px: int) -> Resolution:
    """Return a resolution for a page of which nothing is known; the sheet says that it is assumed.

    A page that has the pixels of a paper size at a usual scanner setting (within 0.4 %) gets that
    setting. Any other is taken to be as long as A4, within 96 to 600 dpi.
    """
    short_px, long_px = sorted((width_px, height_px))
    for dpi in USUAL_SCAN_DPI:
        for short_mm, long_mm in PAPER_SIZES_MM.values():
            if _near(short_px, short_mm * dpi / MM_PER_INCH) and _near(
                long_px, long_mm * dpi / MM_PER_INCH
            ):
                return Resolution.square(float(dpi))
    dpi_of_a4 = long_px * MM_PER_INCH / ASSUMED_LONG_SIDE_MM
    return Resolution.square(min(max(dpi_of_a4, LOWEST_ASSUMED_DPI), HIGHEST_ASSUMED_DPI))


def _near(size_px: int, expected_px: float) -> bool:
    return abs(size_px / expected_px - 1.0) <= _SAME_SIZE
