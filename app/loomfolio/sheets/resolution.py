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
        "A4": (210.0, 297.0),
        "A3": (297.0, 420.0),
        "letter": (215.9, 279.4),
        "tabloid": (279.4, 431.8),
        "legal": (215.9, 355.6),
        "A2": (420.0, 594.0),
        "A1": (594.0, 841.0),
        "A0": (841.0, 1189.0),
        "B4": (250.0, 353.0),
        "A5": (148.0, 210.0),
    }
)
"""Short and long side in mm, the likelier on a bench first. A and B: ISO 216; letter and tabloid:
ANSI/ASME Y14.1, legal: US custom (all three from memory)."""

LOWEST_DPI, HIGHEST_DPI = 50.0, 2400.0
"""Outside this no scanner and no screen works; a stated value is a fault or a placeholder."""
MOST_UNEVEN = 2.2
"""Fax scans have 204 × 98 dpi; more uneven than that is a fault."""
SCREEN_DPI = 150.0
"""Below it a stated value is usually a placeholder of 72, 96 or 120 dpi."""
LONGEST_SCREEN_MM = 700.0
"""The long side of the largest usual screen (2560 px at 96 dpi). What is stated below `SCREEN_DPI`
is not believed of a larger page, nor of one that fills a paper size at a scanner's setting only."""
LONGEST_PAPER_MM = 5100.0
"""A roll plot; `limits.MAX_SIDE_PX` at 300 dpi."""

ASSUMED_LONG_SIDE_MM = 297.0
LOWEST_ASSUMED_DPI, HIGHEST_ASSUMED_DPI = 96.0, 600.0
USUAL_SCAN_DPI = (300.0, 200.0, 150.0, 600.0, 400.0, 240.0, 100.0)
"""The likelier first; the paper counts before it, for A4 at 300 dpi is also A2 at 150 dpi."""
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
    if min(x_dpi, y_dpi) < SCREEN_DPI:
        is_paper = _fills_some_paper(width_px, height_px, x_dpi)
        is_scan = usual_scan_dpi(width_px, height_px) is not None
        is_believed = long_mm <= LONGEST_SCREEN_MM and (is_paper or not is_scan)
    else:
        is_believed = long_mm <= LONGEST_PAPER_MM
    return Resolution(x_dpi, y_dpi) if is_believed else None


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

    A page that has the pixels of a paper size at a usual scanner setting (within 0.4 %) gets the
    likeliest one. Any other is taken to be as long as A4, within 96 to 600 dpi.
    """
    scan_dpi = usual_scan_dpi(width_px, height_px)
    if scan_dpi is not None:
        return Resolution.square(scan_dpi)
    dpi_of_a4 = max(width_px, height_px) * MM_PER_INCH / ASSUMED_LONG_SIDE_MM
    return Resolution.square(min(max(dpi_of_a4, LOWEST_ASSUMED_DPI), HIGHEST_ASSUMED_DPI))


def usual_scan_dpi(width_px: int, height_px: int) -> float | None:
    """Return the likeliest scanner setting at which the page fills a paper size, or None."""
    for short_mm, long_mm in PAPER_SIZES_MM.values():
        for dpi in USUAL_SCAN_DPI:
            if _fills(width_px, height_px, dpi, short_mm, long_mm):
                return dpi
    return None


def _fills_some_paper(width_px: int, height_px: int, dpi: float) -> bool:
    return any(_fills(width_px, height_px, dpi, *size) for size in PAPER_SIZES_MM.values())


def _fills(width_px: int, height_px: int, dpi: float, short_mm: float, long_mm: float) -> bool:
    """Whether the page has the pixels of this paper at `dpi`, each side within 0.4 %."""
    short, long = sorted(side * MM_PER_INCH / dpi for side in (width_px, height_px))
    return max(abs(short / short_mm - 1.0), abs(long / long_mm - 1.0)) <= _SAME_SIZE
