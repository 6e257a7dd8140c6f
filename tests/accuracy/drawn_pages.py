"""The row `vector`: the generated pages written as PDF by a general program, and read from its strokes.

Nothing is painted and nothing is spoiled; the truth is that of the clean page. Words are those that the
file writes as letters, not those that it draws as strokes.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from accuracy.marks import DrawnPage, Lettering
from accuracy.paint import MM_PER_INCH
from accuracy.scans import Scan
from loomfolio.basics import PxBox
from loomfolio.reading import Reading, read_any_page
from loomfolio.sheets import load_drawing
from support.pdf_pages import by_reportlab

VECTOR = "vector"


def read_written(page: DrawnPage, scan: Scan) -> Reading:
    """Write a page as PDF, and read it as a person's file is read."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "page.pdf")
        file.write_bytes(by_reportlab(page.marks, page.width_mm, page.height_mm))
        drawing = load_drawing(file, dpi=scan.dpi)
    boxes = [PxBox(*box) for box in scan.boxes]
    return read_any_page(lambda: scan.pixels, drawing, dpi=scan.dpi, bodies=boxes)


def words_of(page: DrawnPage, scan: Scan, reading: Reading) -> tuple[int, int]:
    """Return how many words the page writes, and how many were read exactly and in their place."""
    written = right = 0
    left = list(reading.texts)
    scale = scan.dpi / MM_PER_INCH
    for mark in page.marks:
        if not isinstance(mark, Lettering):
            continue
        reach = scale * (len(mark.text) * mark.height_mm)
        x, y = mark.at[0] * scale, mark.at[1] * scale
        for word in mark.text.split():
            written += 1
            for text in left:
                near = abs((text.box.x0 + text.box.x1) / 2 - x) + abs(
                    (text.box.y0 + text.box.y1) / 2 - y
                )
                if text.text == word and near <= reach:
                    left.remove(text)
                    right += 1
                    break
    return written, right
