"""The words that a PDF page writes, with a box round each; by way of PDFium's text page.

A PDF sets single letters; what is one word follows from where they stand. Letters belong together
where they are set in one size and direction and the next begins about where the last one ends: a pin's
number and the name behind it stand farther apart and stay two words.
"""

from __future__ import annotations

import ctypes
import math
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import pypdfium2.raw as pdfium_raw

from loomfolio.basics import PxBox
from loomfolio.sheets.drawings import DrawnWord

WORD_GAP_EM = 0.18
"""Farther apart than this share of the letters' size begins a new word; a blank is 0.22 to 0.33 of
it in usual fonts, letters that are set apart for looks keep below 0.15."""
NEXT_PIECE_EM = 0.06
"""The same between two runs of letters that the file writes one by one: programs that write each letter
by itself set the next one just where the last one ended."""
OVERLAP_EM = 0.6
"""A letter that begins this far before the last one ended was not set behind it."""
LINE_SHIFT_EM = 0.35
"""A letter whose foot lies this far off the line of the last one is not of its word."""
SIZE_RATIO = 1.5
SAME_WAY = 0.9998
"""Cosine of the angle up to which two letters are set in one direction: about 1°."""
SLANT_LEAST = 0.2
MAX_LETTERS = 500_000
_NO_LETTER = {0, 0xFFFD, 0xFFFE, 0xFFFF}


@dataclass(frozen=True)
class _Letter:
    sign: str
    box: PxBox
    foot: tuple[float, float]
    """Where it stands, in the page's own units, y up; the next four in the same."""
    way: tuple[float, float]
    advance: float
    size: float
    is_hidden: bool
    piece: int
    """Which run of letters of the file it was written in."""


def page_words(
    page: Any, to_px: Callable[[float, float], tuple[float, float]], page_box: PxBox
) -> tuple[DrawnWord, ...]:
    """Return the words of a page in the order they are written; those off the page are left out."""
    text_page = pdfium_raw.FPDFText_LoadPage(page)
    if not text_page:
        return ()
    try:
        return tuple(_words(list(_letters(text_page, to_px)), page_box))
    finally:
        pdfium_raw.FPDFText_ClosePage(text_page)


def _words(letters: Sequence[_Letter | None], page_box: PxBox) -> Iterator[DrawnWord]:
    runs: dict[int, str] = defaultdict(str)
    for letter in letters:
        if letter is not None:
            runs[letter.piece] += letter.sign
    word: list[_Letter] = []
    for letter in letters:
        if word and (letter is None or not _is_next(word[-1], letter, runs)):
            yield from _word(word, page_box)
            word = []
        if letter is not None:
            word.append(letter)
    if word:
        yield from _word(word, page_box)


def _is_next(before: _Letter, letter: _Letter, runs: Mapping[int, str]) -> bool:
    """Is a letter the next of a word? Of two numbers written one by one each is a word: 10 11, not 1011."""
    same_run = before.piece == letter.piece
    both = runs[before.piece], runs[letter.piece]
    if not same_run and max(map(len, both)) > 1 and all(run.isdigit() for run in both):
        return False
    return _follows(before, letter, same_run=same_run)


def _word(word: list[_Letter], page_box: PxBox) -> Iterator[DrawnWord]:
    box = PxBox(
        min(c.box.x0 for c in word),
        min(c.box.y0 for c in word),
        max(c.box.x1 for c in word),
        max(c.box.y1 for c in word),
    )
    outside = (
        box.x1 <= page_box.x0
        or box.y1 <= page_box.y0
        or box.x0 >= page_box.x1
        or box.y0 >= page_box.y1
    )
    if not outside:
        text = "".join(c.sign for c in word) if all(c.sign for c in word) else ""
        yield DrawnWord(text, box, tuple(c.box for c in word), any(c.is_hidden for c in word))


def _letters(
    text_page: Any, to_px: Callable[[float, float], tuple[float, float]]
) -> Iterator[_Letter | None]:
    """The letters in the order they are written; None where a blank or a new line parts them."""
    edges = [ctypes.c_double() for _ in range(4)]
    foot = ctypes.c_double(), ctypes.c_double()
    loose, matrix = pdfium_raw.FS_RECTF(), pdfium_raw.FS_MATRIX()
    for k in range(min(pdfium_raw.FPDFText_CountChars(text_page), MAX_LETTERS)):
        code = pdfium_raw.FPDFText_GetUnicode(text_page, k)
        if pdfium_raw.FPDFText_IsGenerated(text_page, k) == 1 or (code and chr(code).isspace()):
            yield None
            continue
        if not pdfium_raw.FPDFText_GetCharBox(text_page, k, *edges):
            continue
        left, right, bottom, top = (edge.value for edge in edges)
        if right <= left and top <= bottom:
            continue
        pdfium_raw.FPDFText_GetCharOrigin(text_page, k, *foot)
        pdfium_raw.FPDFText_GetLooseCharBox(text_page, k, loose)
        pdfium_raw.FPDFText_GetMatrix(text_page, k, matrix)
        way = _way(matrix)
        advance, size = _extent(loose, way)
        item = pdfium_raw.FPDFText_GetTextObject(text_page, k)
        (x0, y0), (x1, y1) = to_px(left, bottom), to_px(right, top)
        yield _Letter(
            sign=_sign(text_page, k, code),
            box=PxBox(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)),
            foot=(foot[0].value, foot[1].value),
            way=way,
            advance=advance,
            size=size,
            is_hidden=_is_hidden(item),
            piece=ctypes.addressof(item.contents) if item else 0,
        )


def _way(matrix: Any) -> tuple[float, float]:
    """The direction in which a letter is set, in the page's own units, y up."""
    size = math.hypot(matrix.a, matrix.b)
    return (matrix.a / size, matrix.b / size) if size > 0 else (1.0, 0.0)


def _extent(loose: Any, way: tuple[float, float]) -> tuple[float, float]:
    """How far a letter advances and how high its line is, from the upright box round both.

    Near 45° a box says only the sum of the two; letters are taken to be half as wide as high there.
    """
    wide, high = float(loose.right - loose.left), float(loose.top - loose.bottom)
    c, s = abs(way[0]), abs(way[1])
    if abs(c - s) < SLANT_LEAST:
        size = (wide + high) / (c + s) * 2 / 3
        return size / 2, max(size, 1e-6)
    turned = c * c - s * s
    return (wide * c - high * s) / turned, max((high * c - wide * s) / turned, 1e-6)


def _sign(text_page: Any, k: int, code: int) -> str:
    """The letter, or nothing where the font does not say which one it is."""
    unknown = code in _NO_LETTER or 0xE000 <= code <= 0xF8FF or code < 0x20
    if unknown or pdfium_raw.FPDFText_HasUnicodeMapError(text_page, k) == 1:
        return ""
    return chr(code)


def _is_hidden(item: Any) -> bool:
    hidden = pdfium_raw.FPDF_TEXTRENDERMODE_INVISIBLE, pdfium_raw.FPDF_TEXTRENDERMODE_CLIP
    return bool(item) and pdfium_raw.FPDFTextObj_GetTextRenderMode(item) in hidden


def _follows(before: _Letter, letter: _Letter, *, same_run: bool) -> bool:
    """Is a letter the next one of the same word?"""
    (ax, ay), (bx, by) = before.way, letter.way
    if before.is_hidden != letter.is_hidden or ax * bx + ay * by < SAME_WAY:
        return False
    small, large = sorted((before.size, letter.size))
    if large > SIZE_RATIO * small:
        return False
    dx, dy = letter.foot[0] - before.foot[0], letter.foot[1] - before.foot[1]
    gap = dx * bx + dy * by - before.advance
    shift = abs(dy * bx - dx * by)
    widest = (WORD_GAP_EM if same_run else NEXT_PIECE_EM) * large
    return -OVERLAP_EM * large <= gap <= widest and shift <= LINE_SHIFT_EM * large
