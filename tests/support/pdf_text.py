"""What a PDF shows and where: letters, runs of text and shapes of each page, by PDFium; mm, y down."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium_raw
import shapely

MM_PER_POINT = 25.4 / 72
WIDEST_BLANK_MM = 2.5
SAME_LINE_MM = 1.6
UNSEEN = frozenset("\u200b\ufeff\ufffe\r\n")


class Box(NamedTuple):
    """An upright box on the page, mm from the top-left corner."""

    x0: float
    y0: float
    x1: float
    y1: float


class Letter(NamedTuple):
    """One letter as it is drawn: its ink's box, and the size of its font in points."""

    text: str
    box: Box
    size_pt: float


class Run(NamedTuple):
    """Letters of one size that follow each other on a line, with the blanks between."""

    text: str
    box: Box
    letters: tuple[Letter, ...]


class Page(NamedTuple):
    """One page: its size, what is written on it, and the boxes of all that is drawn."""

    width_mm: float
    height_mm: float
    runs: tuple[Run, ...]
    shapes: tuple[Box, ...]

    @property
    def letters(self) -> tuple[Letter, ...]:
        """All letters that have ink."""
        return tuple(letter for run in self.runs for letter in run.letters)

    @property
    def text(self) -> str:
        """All text in the order in which it is stored, without blanks."""
        return plain("".join(run.text for run in self.runs))

    @property
    def lines(self) -> tuple[str, ...]:
        """The runs that stand at the same height, from left to right, `|` between them."""
        rows: list[list[Run]] = []
        for run in sorted(self.runs, key=lambda run: _middle(run.box)):
            if rows and _middle(run.box) - _middle(rows[-1][0].box) < SAME_LINE_MM:
                rows[-1].append(run)
            else:
                rows.append([run])
        in_order = (sorted(row, key=lambda run: run.box.x0) for row in rows)
        return tuple("|".join(run.text for run in row) for row in in_order)

    def overlaps(self, least_mm2: float) -> list[tuple[str, str]]:
        """Return the pairs of letters of different runs whose boxes share at least so much area."""
        run_of = [number for number, run in enumerate(self.runs) for _ in run.letters]
        letters = self.letters
        boxes = shapely.box(*np.array([letter.box for letter in letters]).reshape(-1, 4).T)
        pairs = shapely.STRtree(boxes).query(boxes, predicate="intersects").T
        return [
            (letters[one].text, letters[other].text)
            for one, other in pairs
            if run_of[one] < run_of[other]
            and boxes[one].intersection(boxes[other]).area >= least_mm2
        ]


def plain(text: str) -> str:
    """Return text without blanks and without the marks where a long word may break."""
    return "".join(letter for letter in "".join(text.split()) if letter not in UNSEEN)


def pages_of(path: Path) -> tuple[Page, ...]:
    """Return what each page of a PDF shows."""
    with pypdfium2.PdfDocument(path) as document:
        return tuple(_page(page) for page in document)


def _page(page: pypdfium2.PdfPage) -> Page:
    width, height = page.get_size()
    stored = list(_letters(page.get_textpage(), height))
    return Page(
        width * MM_PER_POINT,
        height * MM_PER_POINT,
        tuple(_runs(stored)),
        tuple(_box(shape.get_bounds(), height) for shape in page.get_objects(max_depth=1)),
    )


def _letters(text: pypdfium2.PdfTextPage, height: float) -> Iterator[Letter]:
    for number in range(text.count_chars()):
        letter = chr(pdfium_raw.FPDFText_GetUnicode(text, number))
        if letter not in UNSEEN:
            size_pt = pdfium_raw.FPDFText_GetFontSize(text, number)
            yield Letter(letter, _box(text.get_charbox(number), height), round(size_pt, 2))


def _runs(letters: Sequence[Letter]) -> Iterator[Run]:
    run: list[Letter] = []
    has_blank = False
    for letter in letters:
        if not letter.text.strip():
            has_blank = True
            continue
        if run and not _follows(run[-1], letter):
            yield _run(run)
            run = []
        elif run and has_blank:
            run.append(letter._replace(text=" "))
        run.append(letter)
        has_blank = False
    if run:
        yield _run(run)


def _follows(one: Letter, other: Letter) -> bool:
    gap_mm = other.box.x0 - one.box.x1
    is_beside = other.box.y0 < one.box.y1 + 0.5 and one.box.y0 < other.box.y1 + 0.5
    return one.size_pt == other.size_pt and is_beside and -1.0 < gap_mm < WIDEST_BLANK_MM


def _run(letters: Sequence[Letter]) -> Run:
    seen = tuple(letter for letter in letters if letter.text.strip())
    edges = np.array([letter.box for letter in seen])
    box = Box(*edges[:, :2].min(axis=0).tolist(), *edges[:, 2:].max(axis=0).tolist())
    return Run("".join(letter.text for letter in letters), box, seen)


def _middle(box: Box) -> float:
    return (box.y0 + box.y1) / 2


def _box(bounds: tuple[float, float, float, float], height: float) -> Box:
    left, bottom, right, top = bounds
    corners = (left, height - top, right, height - bottom)
    return Box(*(edge * MM_PER_POINT for edge in corners))


INK_MM = 0.6  # half of the widest stroke, and what reaches above a capital
FILING_EDGE_MM, EDGE_MM = 20, 15


def layout_faults(path: Path) -> list[str]:
    """Return what leaves the printable area of a sheet, or lies over something else; none is good."""
    return [
        f"page {number}: {fault}"
        for number, page in enumerate(pages_of(path), 1)
        for fault in _faults(page)
    ]


def _faults(page: Page) -> Iterator[str]:
    area = Box(
        FILING_EDGE_MM - INK_MM,
        EDGE_MM - INK_MM,
        page.width_mm - EDGE_MM + INK_MM,
        page.height_mm - EDGE_MM + INK_MM,
    )
    yield from (f"{run.text} leaves it" for run in page.runs if not _is_inside(run.box, area))
    yield from (
        f"a shape {shape} leaves it" for shape in page.shapes if not _is_inside(shape, area)
    )
    yield from (f"{one} lies over {other}" for one, other in page.overlaps(0.4))


def _is_inside(box: Box, area: Box) -> bool:
    return area.x0 <= box.x0 and box.x1 <= area.x1 and area.y0 <= box.y0 and box.y1 <= area.y1
