"""Every tolerance of the reader in one checked record, in mm on the paper or in line widths.

A length in mm is tied to how people draw and print; a length in line widths (`_widths`) is tied to
the pen. Both become px of the working image through `ReaderSettings.px`.
"""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field

from loomfolio.basics import MM_PER_INCH


class ReaderSettings(BaseModel):
    """Tolerances of the reader; the comments say what happens on either side of each."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    # Working image: pages are brought to about this resolution. Below it a 0.2 mm line has less
    # than two px and its runs break; above it only time grows.
    working_dpi: float = Field(default=300.0, gt=50)
    largest_enlargement: float = Field(default=4.0, ge=1)

    # Ink. Darkness is measured below the paper around it, 0..255. Fainter than the floor is paper;
    # a pixel must also have this share of the darkest ink beside it, which keeps blurred lines
    # thin.
    ink_floor: int = Field(default=22, ge=1, le=200)
    ink_share: float = Field(default=0.3, gt=0, lt=1)
    paper_window_mm: float = Field(default=6.0, gt=0)

    # Lines. A run of ink longer than this is not a cut through a line.
    stroke_max_mm: float = Field(default=1.4, gt=0)
    # A chain of runs shorter than this many of its widths is a blob, not a line.
    elongation_min: float = Field(default=1.2, gt=0)
    # How far a line may leave a straight piece before it gets a corner.
    bend_widths: float = Field(default=0.45, gt=0)
    spur_widths: float = Field(default=2.0, ge=0)

    # Text. A connected piece of ink up to this size is a glyph, a speck, or a small symbol.
    glyph_max_mm: float = Field(default=4.3, gt=0)
    dash_min_mm: float = Field(default=0.5, gt=0)
    # A shorter bar among small pieces is a speck or part of a glyph, not a line.
    bar_min_mm: float = Field(default=1.2, gt=0)
    bent_min_mm: float = Field(default=3.0, gt=0)
    # Longer pieces are lines with a gap rather than dashes; wider gaps belong to no row.
    dash_max_mm: float = Field(default=6.0, gt=0)
    dash_gap_mm: float = Field(default=1.7, gt=0)
    # Where other lines cover some dashes of a row, the row goes on across at most this much.
    dash_across_mm: float = Field(default=40.0, gt=0)

    # Junctions. Two arms that leave a place in opposite directions within these are one line.
    straight_deg: float = Field(default=22.0, gt=0, lt=60)
    offset_widths: float = Field(default=0.75, gt=0)
    # How far the ink of a four-way reaches between its arms, against the same lines crossing plainly.
    dot_sure_ratio: float = Field(default=1.5, gt=1)
    dot_none_ratio: float = Field(default=1.25, gt=1)
    # Lines that cross at an acute angle fill their corners: there the measure counts this much less.
    oblique_ratio: float = Field(default=1.4, ge=1)

    # Half the length of the widest hop, its gaps included.
    hop_max_mm: float = Field(default=2.3, gt=0)

    # Gaps.
    gap_max_mm: float = Field(default=18.0, gt=0)
    gap_empty_max_mm: float = Field(default=1.3, gt=0)
    gap_behind_max_mm: float = Field(default=4.2, gt=0)
    # Bare paper before and behind a text in a gap, and how much the two may differ on a sure one.
    gap_margin_mm: float = Field(default=3.2, gt=0)
    gap_uneven_mm: float = Field(default=1.0, gt=0)
    gap_sure_mm: float = Field(default=10.0, gt=0)
    # A line that ends this near behind a bar, in line with a stem before it, passes the bar.
    stem_gap_mm: float = Field(default=1.3, gt=0)
    gap_angle_deg: float = Field(default=9.0, gt=0, lt=45)

    # Bodies. A line that stops this far from a body still ends at it.
    body_reach_mm: float = Field(default=0.9, ge=0)
    body_edge_mm: float = Field(default=0.25, ge=0)
    # How far outside its box the pen of a body's outline is looked for.
    body_pen_mm: float = Field(default=0.7, ge=0)
    # The largest triangle of a diode.
    diode_max_mm: float = Field(default=6.0, gt=0)
    # Signs over lines: how long a tick is on either side, how far a stroke reaches past the lines
    # it crosses and from one to the next, and how far ahead of its ends nothing may stand.
    tick_max_mm: float = Field(default=1.4, gt=0)
    stray_end_mm: float = Field(default=3.0, gt=0)
    stray_step_mm: float = Field(default=10.0, gt=0)
    stray_ahead_mm: float = Field(default=4.2, gt=0)
    # Stubs where the bows of a coil meet, and how far they lie from each other along the coil.
    cusp_max_mm: float = Field(default=1.6, gt=0)
    cusp_apart_mm: float = Field(default=4.5, gt=0)
    # A box is larger than a glyph one way and at least this large the other.
    box_min_mm: float = Field(default=1.2, gt=0)
    # A box that a line runs through encloses two halves: how slim, how long, how far apart.
    half_box_min_mm: float = Field(default=0.3, gt=0)
    half_box_max_mm: float = Field(default=12.0, gt=0)
    half_box_apart_mm: float = Field(default=2.6, gt=0)
    # Brackets: their sides, their hooks, the paper ahead of a hook, and two sides of one body.
    bracket_min_mm: float = Field(default=2.4, gt=0)
    hook_min_mm: float = Field(default=0.6, gt=0)
    hook_max_mm: float = Field(default=2.8, gt=0)
    hook_free_mm: float = Field(default=1.2, gt=0)
    bracket_apart_mm: float = Field(default=30.0, gt=0)
    # Dashed outlines: the least side, and the gaps between their dashes.
    outline_min_mm: float = Field(default=4.5, gt=0)
    outline_gap_mm: float = Field(default=1.7, gt=0)
    # A line that crosses an outline is inked so far on both sides; pin numbers stand off the pen.
    crossing_line_mm: float = Field(default=1.0, gt=0)
    ring_max_mm: float = Field(default=3.0, gt=0)

    # A conductor shorter than this from end to end is dirt or part of a symbol.
    conductor_min_mm: float = Field(default=2.0, ge=0)
    pin_line_min_mm: float = Field(default=0.6, ge=0)

    def px(self, length_mm: float) -> float:
        """Return a length on the paper in px of the working image."""
        return length_mm * self.working_dpi / MM_PER_INCH
