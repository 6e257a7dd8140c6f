"""Cut a strip of letters into words: by how far its letters stand apart, and by the spaces that were recognised.

A space has no fixed width: it is small in narrow print and twice a letter in the lettering of plotters. So
each strip is its own measure. How far two letters stand apart is measured between cells, because a `1`
takes as much room as an `8` in most lettering; a space is a step clearly above the strip's usual one.

Legend: N pieces of one strip, in the order of reading.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.words.recogniser import Recognised

F64 = NDArray[np.float64]

CELL_WIDTHS = 0.85
"""The narrowest cell of a letter, in usual widths of the strip's letters."""
SPACE_ABOVE, SEEN_SPACE_ABOVE = 0.34, 0.16
"""A step this much (in usual widths) above the usual one is a space; less where a space was recognised too.
Letters of one word differ by up to 0.15; spaces of the narrowest print add 0.35."""
NARROWEST = 0.35
"""Letters of the narrowest print are about this wide, in heights; only `1`, `I` and signs are narrower."""
NARROW_SIGNS = frozenset("1Iil|.:;,'-")
"""Signs that are narrow in every typeface but take as much room as others in the lettering of plotters."""
USUAL_WIDTH = 0.6
"""What other letters would measure beside a `1` or an `I`, in heights, where there are none to tell."""
DIGIT_STEPS = 1.3
"""Digits of one typeface are all as wide: farther apart than this many of the closest steps they are two numbers."""

DIGITS_APART, FAR_APART = 0.8, 0.95
"""Cells of digits, or of any letters, that stand farther apart than this many usual widths are two words
even where all of the strip do: single numbers in a row. Plotters set the digits of one number 0.4 apart."""


def word_starts(along: F64, high: float, found: Recognised) -> list[int]:
    """Return the pieces of a strip, by place in it, that begin a word after the first.

    Parameters
    ----------
    along : float64, (N, 2)
        Where each piece begins and ends along the strip, px, in order of their middles.
    high : float
        The height of the lettering, px.
    found
        What the whole strip was recognised as.
    """
    letters = _letters(along)
    count = len(letters)
    if count < 2:
        return []
    first = [one[0] for one in letters]
    ink = np.array([[along[one, 0].min(), along[one, 1].max()] for one in letters])
    return [first[k] for k in _letter_starts(ink, high, found)]


def _letters(along: F64) -> list[list[int]]:
    """Put together the pieces of one letter: those that overlap along the strip (a dot and its stem)."""
    letters: list[list[int]] = []
    reached = -np.inf
    for k, (start, end) in enumerate(along.tolist()):
        if letters and min(end, reached) - start > 0.5 * min(end - start, 1e9):
            letters[-1].append(k)
        else:
            letters.append([k])
        reached = max(reached, end)
    return letters


def _letter_starts(ink: F64, high: float, found: Recognised) -> list[int]:
    """Return the letters that begin a word after the first; `ink`, (N, 2), is where each begins and ends."""
    count = len(ink)
    text = found.text.replace(" ", "")
    if text.isdecimal() and len(text) == count:
        numbers = numbers_in_a_row(text)
        if numbers:
            return [int(end) for end in np.cumsum([len(number) for number in numbers])[:-1]]
        steps = np.diff(ink.mean(axis=1))
        closest = float(np.percentile(steps, 10))
        far = (steps > DIGIT_STEPS * closest) | (_apart(ink, high, text) > DIGITS_APART)
        return [k + 1 for k in range(count - 1) if far[k]]
    seen = _seen_spaces(ink, found)
    if count == 2:  # two letters have no usual step of their own
        limit = np.where(seen, 0.6, 0.8)
        return [1] if _apart(ink, high, text)[0] > limit[0] else []
    cells, bare = _apart(ink, high, text), _bare(ink, high, text)
    # Proportional type has even bare paper, plotters have even cells: a space stands out in both.
    step = np.minimum(cells - _closest(cells), bare - _closest(bare))
    limit = np.where(seen, SEEN_SPACE_ABOVE, SPACE_ABOVE)
    return [k + 1 for k in range(count - 1) if step[k] > limit[k] or cells[k] > FAR_APART]


def numbers_in_a_row(text: str) -> tuple[str, ...]:
    """Cut a run of digits into the numbers that follow one another by one: `1011121314` is 10 to 14.

    Pin numbers over narrow cavities stand so close that their distances tell nothing. Runs of fewer than
    three numbers could be one long number and are left whole, as an empty result says.
    """
    if not text.isdecimal():
        return ()
    for length in range(1, min(3, len(text) // 3) + 1):
        for step in (1, -1):
            numbers, rest = [text[:length]], text[length:]
            while rest and rest.startswith(following := str(int(numbers[-1]) + step)):
                numbers.append(following)
                rest = rest[len(following) :]
            if not rest and len(numbers) >= 3:
                return tuple(numbers)
    return ()


def _apart(along: F64, high: float, text: str) -> F64:
    """How far the cells of neighbouring pieces stand apart, in usual widths of the strip's letters."""
    width = along[:, 1] - along[:, 0]
    usual = _usual_width(width, high, text)
    cell = np.maximum(width, CELL_WIDTHS * usual)
    result: F64 = (np.diff(along.mean(axis=1)) - (cell[:-1] + cell[1:]) / 2) / usual
    return result


def _closest(apart: F64) -> float:
    """How far the letters of one word stand apart in a strip: of an even number of steps, the closer half."""
    return float(np.percentile(apart, 40, method="lower"))


def _usual_width(width: F64, high: float, text: str) -> float:
    """The usual width of the letters of a strip, px; `text` says which are narrow by nature."""
    telling = width >= NARROWEST * high
    if len(text) == len(width):
        telling &= np.array([sign not in NARROW_SIGNS for sign in text])
    letters = width[telling]
    return float(np.median(letters)) if len(letters) else USUAL_WIDTH * high


def _bare(along: F64, high: float, text: str) -> F64:
    """How much bare paper lies between neighbouring letters, in usual widths: even in proportional type."""
    usual = _usual_width(along[:, 1] - along[:, 0], high, text)
    result: F64 = (along[1:, 0] - along[:-1, 1]) / usual
    return result


def _seen_spaces(along: F64, found: Recognised) -> NDArray[np.bool_]:
    """Between which pieces a space was recognised."""
    start, end = float(along.min()), float(along.max())
    spaces = [
        start + place * (end - start)
        for sign, place in zip(found.text, found.places, strict=True)
        if sign == " "
    ]
    middle = along.mean(axis=1)
    width = float(np.median(along[:, 1] - along[:, 0]))
    return np.array(
        [
            any(before - 0.3 * width <= at <= after + 0.3 * width for at in spaces)
            for before, after in pairwise(middle)
        ],
        dtype=np.bool_,
    )
