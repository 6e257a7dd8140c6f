"""Read the printed words of a page: letters found as ink, put into strips, recognised, cut into words.

Data flow: pixels -> ink -> pieces of letter size (`letter_ink`) -> strips (`strips`) -> crops that hold the
strip's own ink and nothing else -> text (`recogniser`) -> words with their boxes in px of the given page.
Detectors of text in photographs overlook single letters, and those matter most on a diagram; here every
piece of letter size is looked at. What is no text reads as little, and unsure.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import PxBox
from loomfolio.reading.ink import Ink, find_ink
from loomfolio.reading.records import Text
from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.words.letter_ink import LetterInk, find_letter_ink
from loomfolio.reading.words.recogniser import Recognised, Recogniser
from loomfolio.reading.words.spacing import word_starts
from loomfolio.reading.words.strips import Strip, Turn, find_strips

U8 = NDArray[np.uint8]
F64 = NDArray[np.float64]

LETTERING_LEAST_MM = 0.75
"""Lower lettering has too few px at 300 dpi to be told apart."""
CONFIDENCE_LEAST = 0.4
"""Below this the ink was no text, as often as not."""
MARGIN_HEIGHTS, SIDE_MARGIN_HEIGHTS = 0.15, 0.5
"""White paper above and below, and before and after a strip. Single letters without room beside them are
misread (`L` as `F`, `V` as `N`): measured over all letters and digits in two widths and three sizes."""
SURE_STRIP = 0.9
"""A strip read less surely than this may be several words one above the other."""
TURN_BONUS = 0.1
"""How much surer a crop must read turned to be taken for turned text."""
ROUND_SIGNS = frozenset("Oo0Qq9698DCcGePp ")
"""What a ring reads as, with or without a stub of its line."""


def read_words(
    pixels: NDArray[np.uint8],
    *,
    dpi: float,
    bodies: Sequence[PxBox] = (),
    settings: ReaderSettings | None = None,
    cancelled: Callable[[], bool] = lambda: False,
) -> tuple[Text, ...]:
    """Return the printed words of one page, in the order of their places from the top.

    Parameters
    ----------
    pixels : uint8, (H, W) grey or (H, W, 3) RGB
        The page. A page without ink has no words.
    dpi : float
        Its resolution.
    bodies : boxes in px of the page
        The bodies on it, read or marked: their outlines are taken out before letters are looked for.
    cancelled
        Asked between batches of crops.

    Raises
    ------
    WorkCancelledError
        As soon as `cancelled()` is true.
    """
    chosen = settings or ReaderSettings()
    ink = find_ink(pixels, dpi=dpi, settings=chosen)
    outlines = [_scaled(box, ink.scale) for box in bodies]
    letters = find_letter_ink(ink.mask, outlines, chosen)
    least_px = chosen.px(LETTERING_LEAST_MM)
    strips = find_strips(letters, least_px=least_px)
    page = _Page(ink, letters)
    whole = _recognised(page, strips, cancelled)
    whole = _or_each_by_itself(page, whole, cancelled)
    words, parts = _cut_apart(page, whole)
    again = _recognised(page, parts, cancelled)
    texts = [
        Text(
            text=_bare_word(read.found.text),
            box=PxBox(*(round(edge / ink.scale, 2) for edge in page.box(read.strip))),
            confidence=round(read.found.confidence, 3),
        )
        for read in (*words, *again)
        if _is_text(page, read, least_px)
    ]
    return tuple(sorted(texts, key=lambda text: (text.box.y0, text.box.x0)))


def _bare_word(text: str) -> str:
    """The word without spaces, and without the stops at its ends: they are specks as often as not."""
    return text.replace(" ", "").strip(".,;:'")


@lru_cache(maxsize=1)
def the_recogniser() -> Recogniser:
    """The one recogniser of this process: loading it costs about as much as reading a page."""
    return Recogniser()


def _scaled(box: PxBox, scale: float) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = (edge * scale for edge in box)
    return x0, y0, x1, y1


@dataclass(frozen=True)
class _Page:
    ink: Ink
    letters: LetterInk

    def boxes(self, strip: Strip) -> F64:
        return self.letters.boxes[list(strip.pieces)]

    def box(self, strip: Strip) -> tuple[float, float, float, float]:
        boxes = self.boxes(strip)
        (x0, y0), (x1, y1) = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
        return float(x0), float(y0), float(x1), float(y1)


@dataclass(frozen=True, slots=True)
class _Read:
    """A strip with what stands in it when it is held that way up."""

    strip: Strip
    turn: Turn
    found: Recognised


def _recognised(page: _Page, strips: Sequence[Strip], cancelled: Callable[[], bool]) -> list[_Read]:
    """Read each strip the ways up that it may stand, and keep the surer one."""
    tries = [(k, turn) for k, strip in enumerate(strips) for turn in strip.turns]
    crops = [_crop(page, strips[k], turn) for k, turn in tries]
    best: dict[int, _Read] = {}
    read = the_recogniser().read(crops, cancelled=cancelled)
    for (k, turn), crop, raw in zip(tries, crops, read, strict=True):
        x0, y0, x1, y1 = page.box(strips[k])
        found = _in_strip(raw, crop, int(y1 - y0 if turn == "upright" else x1 - x0))
        if k not in best or _sureness(found, turn) > _sureness(best[k].found, best[k].turn):
            best[k] = _Read(strips[k], turn, found)
    return [best[k] for k in sorted(best)]


def _sureness(found: Recognised, turn: Turn) -> float:
    """How much speaks for one of two ways up: the least sure letter; being upright; being several letters."""
    several = len(found.text) > 1
    return found.confidence + TURN_BONUS * ((turn == "upright") + several)


def _or_each_by_itself(
    page: _Page, whole: Sequence[_Read], cancelled: Callable[[], bool]
) -> list[_Read]:
    """Try the pieces of an unsure strip one by one, either way up.

    Where each is a number of several digits, these are numbers beside or above each other, the digits of
    each run together.
    """
    unsure = [
        read
        for read in whole
        if len(read.strip.pieces) > 1
        and (read.found.confidence < SURE_STRIP or len(read.found.text) > len(read.strip.pieces))
    ]
    singles = [
        Strip((piece,), ("upright", "turned")) for read in unsure for piece in read.strip.pieces
    ]
    alone = iter(_recognised(page, singles, cancelled))
    kept = [read for read in whole if read not in unsure]
    for read in unsure:
        each = [next(alone) for _ in read.strip.pieces]
        are_numbers = all(len(one.found.text) > 1 and one.found.text.isdecimal() for one in each)
        kept += each if are_numbers else [read]
    return kept


def _cut_apart(page: _Page, whole: Sequence[_Read]) -> tuple[list[_Read], list[Strip]]:
    """Return the strips that are one word each, and the parts of those that are several."""
    words: list[_Read] = []
    parts: list[Strip] = []
    for read in whole:
        boxes = page.boxes(read.strip)
        upright = read.turn == "upright"
        along = boxes[:, [0, 2]] if upright else -boxes[:, [3, 1]]
        order = np.argsort(along.sum(axis=1), kind="stable")
        side = 1 if upright else 0
        high = float(boxes[:, side + 2].max() - boxes[:, side].min())
        pieces = [read.strip.pieces[k] for k in order.tolist()]
        starts = word_starts(along[order], high, read.found)
        if not starts:
            words.append(read)
            continue
        for start, end in pairwise([0, *starts, len(pieces)]):
            parts.append(Strip(tuple(pieces[start:end]), (read.turn,)))
    return words, parts


def _is_text(page: _Page, read: _Read, least_px: float) -> bool:
    """Was it text, or a piece of the drawing that looks like some?"""
    text = read.found.text
    if read.found.confidence < CONFIDENCE_LEAST or not any(sign.isalnum() for sign in text):
        return False
    x0, y0, x1, y1 = page.box(read.strip)
    if (y1 - y0 if read.turn == "upright" else x1 - x0) < least_px:
        return False  # a stop or the end of a line, cut off from the word beside it
    # Round signs alone, each hanging on a line, are terminal rings.
    hangs = bool(page.letters.at_line[list(read.strip.pieces)].all())
    return not (hangs and set(text) <= ROUND_SIGNS)


def _crop(page: _Page, strip: Strip, turn: Turn) -> U8:
    """The strip's own ink on white paper, upright: what else lies in its box is left out."""
    x0, y0, x1, y1 = page.box(strip)
    window = (slice(int(y0), int(y1)), slice(int(x0), int(x1)))
    own = np.isin(page.letters.labels[window], page.letters.numbers[list(strip.pieces)])
    edge = np.asarray(cv2.dilate(own.astype(np.uint8), np.ones((3, 3), np.uint8)))
    depth = page.ink.darkness[window].astype(np.float64) * edge
    deepest = float(np.percentile(depth[own], 90)) if own.any() else 1.0
    paper = 255.0 * (1.0 - np.minimum(depth / max(deepest, 1.0), 1.0))
    upright = paper if turn == "upright" else np.rot90(paper, -1)
    high = upright.shape[0]
    above, beside = max(2, round(MARGIN_HEIGHTS * high)), _side_margin_px(high)
    room = ((above, above), (beside, beside))
    return np.pad(upright.astype(np.uint8), room, constant_values=255)


def _side_margin_px(high: int) -> int:
    return max(3, round(SIDE_MARGIN_HEIGHTS * high))


def _in_strip(found: Recognised, crop: U8, high: int) -> Recognised:
    """The same with the places of its letters as shares of the strip instead of the crop around it."""
    wide, margin = crop.shape[1], _side_margin_px(high)
    places = tuple((place * wide - margin) / max(wide - 2 * margin, 1) for place in found.places)
    return replace(found, places=places)
