"""Lettering in single strokes, the way plotters and drawing programs write: each glyph a few polylines.

Glyphs stand on a raster 4 wide and 6 high, written as digit pairs `xy`, one word per polyline.
"""

from __future__ import annotations

from accuracy.marks import Point, Rgb, Role, Stroke

_GLYPHS = {
    "A": "062046 1434", "B": "003041423303 334445360600", "C": "4130100105163645",
    "D": "00304145360600", "E": "40000646 0333", "F": "400006 0333", "G": "41301001051636454323",
    "H": "0006 4046 0343", "I": "2026 1030 1636", "J": "4045361605", "K": "0006 4004 1346",
    "L": "000646", "M": "0600234046", "N": "06004640", "O": "103041453616050110",
    "P": "06003041423303", "Q": "103041453616050110 2446", "R": "06003041423303 2346",
    "S": "413010010213334445361605", "T": "0040 2026", "U": "000516364540", "V": "002640",
    "W": "0016233640", "X": "0046 4006", "Y": "002340 2326", "Z": "00400646",
    "0": "103041453616050110", "1": "112026 1636", "2": "01103041420646",
    "3": "01103041423313 334445361605", "4": "36300444", "5": "400003334445361605",
    "6": "4130100105163645443303", "7": "004016", "8": "13334241301001021304051636454433",
    "9": "4313020110304145361605", "/": "0640", "-": "0343", ".": "2526", ":": "2223 2526",
    "+": "0343 2125", "=": "0242 0444", "(": "30212536", ")": "10212516", "_": "0646",
}  # fmt: skip

_ADVANCE = 5.6 / 6  # of the height
_GLYPH_WIDTH = 4 / 6


def width_of(text: str, height_mm: float) -> float:
    """Return how wide a line of single-stroke text becomes."""
    return max(0.0, (len(text) * _ADVANCE - (_ADVANCE - _GLYPH_WIDTH)) * height_mm)


def written(
    text: str, at: Point, height_mm: float, *, turned: bool = False, width_mm: float, colour: Rgb
) -> list[Stroke]:
    """Return the strokes of a line of text round the middle `at`; unknown signs stay blank."""
    unit = height_mm / 6
    left = -width_of(text, height_mm) / 2
    out = []
    for place, sign in enumerate(text.upper()):
        for word in _GLYPHS.get(sign, "").split():
            line = [
                (left + place * _ADVANCE * height_mm + int(x) * unit, (int(y) - 3) * unit)
                for x, y in zip(word[::2], word[1::2], strict=True)
            ]
            points = tuple(
                (at[0] + y, at[1] - x) if turned else (at[0] + x, at[1] + y) for x, y in line
            )
            out.append(Stroke(points, width_mm, colour, Role.TEXT))
    return out
