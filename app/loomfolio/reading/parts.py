"""Parts of the vehicle as they are drawn: found in the ink before any line is sought, and taken out.

A part that is taken out like one a person marked can neither join what ends at it nor hide a line
behind what is drawn inside. What is not found here may still be found among the lines (`outlines`).

Legend: H, W of the working image.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.bars import bars_of_page
from loomfolio.reading.bodies import Body
from loomfolio.reading.boxes import find_boxes, find_holes, without_boxes
from loomfolio.reading.brackets import find_brackets
from loomfolio.reading.dashed_boxes import take_out_dashed_boxes
from loomfolio.reading.diodes import find_diodes
from loomfolio.reading.glyphs import usual_stroke
from loomfolio.reading.settings import ReaderSettings

U8 = NDArray[np.uint8]


@dataclass(frozen=True)
class Parts:
    """The ink without the parts, uint8 (H, W), and the bodies that they are."""

    left: U8
    bodies: tuple[Body, ...]


def take_out_parts(mask: U8, whole: U8, settings: ReaderSettings) -> Parts:
    """Find the parts in ink, uint8 (H, W) of zeros and ones, and take them out of it.

    `whole` is the ink with the bodies that were taken out before.
    """
    stroke_px = usual_stroke(mask, settings)
    # Dashed outlines first: lines run through one to the part inside only while that is there.
    bars = bars_of_page(mask, stroke_px, settings)
    dashed = take_out_dashed_boxes(mask, bars, stroke_px, settings)
    left = without_boxes(dashed.left, dashed.bodies)
    holes = find_holes(left)
    boxes = find_boxes(left, holes, stroke_px, settings)
    left = without_boxes(left, boxes)
    diodes = find_diodes(left, holes, stroke_px, settings)
    left = without_boxes(left, diodes)
    brackets = find_brackets(whole, bars, settings)
    left = without_boxes(left, brackets)
    return Parts(left, (*dashed.bodies, *boxes, *diodes, *brackets))
