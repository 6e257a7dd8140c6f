"""What the sheets room returns: what a file holds, and the pixels of one page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import Resolution

SourceKind = Literal["PNG", "JPEG", "GIF", "TIFF", "WebP", "PDF"]
Pixels = NDArray[np.uint8]
"""uint8, shape (H, W) grey with 0 black, or (H, W, 3) RGB; y down, C-contiguous."""


@dataclass(frozen=True, slots=True)
class PageInfo:
    """One page of a file, as it will be shown: upright, a PDF page at `PDF_DPI`.

    `x_dpi` and `y_dpi` are None where the file states no resolution that can be believed.
    `label` is what a person calls the page: the printed page label of a PDF, otherwise `page 2`.
    """

    number: int
    width_px: int
    height_px: int
    x_dpi: float | None
    y_dpi: float | None
    is_vector: bool
    label: str


@dataclass(frozen=True, slots=True, eq=False)
class PageImage:
    """The pixels of one page, upright and on white; `sha256` is of the file's bytes.

    `resolution` and `resolution_from` are None where the file states none that can be believed.
    """

    pixels: Pixels
    resolution: Resolution | None
    resolution_from: Literal["file"] | None
    sha256: str
    source_kind: SourceKind
