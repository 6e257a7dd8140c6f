"""How one page is drawn: which conventions it follows. Chosen by the seed, one record per page."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from accuracy.marks import BLACK, Rgb

LIGHT_GREY: Rgb = (200, 200, 200)

# Colours as printed service diagrams use them, with the letters of two usual code sets.
WIRE_COLOURS: tuple[tuple[Rgb, str, str], ...] = (
    ((215, 20, 30), "R", "RD"),
    ((20, 60, 200), "L", "BU"),
    ((0, 140, 60), "G", "GN"),
    ((120, 70, 20), "BR", "BN"),
    ((250, 215, 0), "Y", "YE"),
    ((255, 150, 190), "P", "PK"),
    ((150, 225, 120), "LG", "LG"),
    ((240, 130, 0), "O", "OG"),
    ((130, 40, 150), "V", "VT"),
    ((120, 190, 240), "SB", "LB"),
    ((128, 128, 128), "GR", "GY"),
    ((0, 0, 0), "B", "BK"),
)


@dataclass(frozen=True, slots=True)
class Style:
    """The conventions of one page; lengths in mm on paper."""

    width_mm: float
    height_mm: float
    pitch_mm: float
    line_mm: float
    mixed_widths: bool
    colouring: str  # black, light, coloured, striped
    joins: str  # dots, bare, mixed
    dot_mm: float
    hollow_dots: bool
    crossing: str  # plain, hop, broken, gap, mixed
    hop_upright: bool  # which of the two lines hops or breaks
    corner: str  # square, round, chamfer
    lettering: str  # plain, narrow, strokes
    wire_text: str  # none, beside, gap, struck, mixed
    short_mm: float  # how far lines stop short of module outlines
    dashed_share: float
    rings: bool
    lines_through_rings: bool
    free_angles: bool
    one_bit: bool
    module_look: str  # plain, cavities, inner, bars

    @property
    def ink(self) -> Rgb:
        """The colour of what is not a coloured conductor."""
        return LIGHT_GREY if self.colouring == "light" else BLACK


def _paper(rng: Random) -> tuple[float, float]:
    return rng.choices([(297.0, 210.0), (420.0, 297.0), (210.0, 297.0)], [6, 3, 1])[0]


def style_for(seed: int) -> Style:
    """Return the style of the page with this seed."""
    rng = Random(f"style {seed}")
    width, height = _paper(rng)
    line = rng.choice([0.18, 0.22, 0.25, 0.25, 0.3, 0.35, 0.5])
    pitch = max(rng.choice([1.5, 1.5, 1.75, 2.0, 2.0, 2.5, 2.5, 3.0]), line * 5)
    crossing = rng.choices(["plain", "hop", "broken", "gap", "mixed"], [8, 3, 2, 2, 1])[0]
    if crossing == "broken":
        pitch = max(pitch, rng.choice([2.5, 3.0, 4.0]))
    colouring = rng.choices(["black", "light", "coloured", "striped"], [10, 1, 4, 3])[0]
    return Style(
        width_mm=width,
        height_mm=height,
        pitch_mm=pitch,
        line_mm=line,
        mixed_widths=rng.random() < 0.4,
        colouring=colouring,
        joins=rng.choices(["dots", "bare", "mixed"], [6, 2, 2])[0],
        dot_mm=min(line * rng.choice([1.6, 2, 2.5, 3, 4, 5]), pitch * 0.7),
        hollow_dots=rng.random() < 0.1,
        crossing=crossing,
        hop_upright=rng.random() < 0.6,
        corner=rng.choices(["square", "round", "chamfer"], [6, 2, 2])[0],
        lettering=rng.choices(["plain", "narrow", "strokes"], [4, 2, 3])[0],
        wire_text=rng.choices(["none", "beside", "gap", "struck", "mixed"], [3, 4, 4, 1, 4])[0],
        short_mm=rng.choice([0, 0, 0, 0, 0.25, 0.5, 0.8]),
        dashed_share=rng.choice([0, 0, 0.05, 0.15]),
        rings=rng.random() < 0.35,
        lines_through_rings=rng.random() < 0.4,
        free_angles=rng.random() < 0.25,
        one_bit=colouring == "black" and rng.random() < 0.3,
        module_look=rng.choice(["plain", "plain", "cavities", "inner", "bars"]),
    )
