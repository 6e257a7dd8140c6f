"""What the printed words round a body, or on a conductor, may mean: pin numbers, names, wire colours.

Everything here is a proposal. A word means something by its form and by its place: a short number right
inside an edge where a conductor meets it is that pin's number; what stands behind it is the signal's
name. Where two words suit one place about as well, or one word two places, nothing is proposed.

All positions are mm on the sheet. Legend: P places, W words.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from scipy.optimize import linear_sum_assignment

from loomfolio.basics import MmBox, MmPoint, Resolution
from loomfolio.reading.records import Reading

SURE_ENOUGH: Final = 0.8
"""Words that were recognised less surely are shown, but propose nothing."""
DEPTH_MM: Final = 9.0
"""A pin's number stands within this of the edge, inside; its ring or square may lie between."""
OUTSIDE_MM: Final = 4.0
"""Or within this of the edge outside, beside the conductor."""
ASIDE_MM: Final = 2.6
"""And within this beside the line that the conductor would run on."""
ABOVE_MM: Final = 7.0
"""The name of a part stands inside its body, or within this above or below it."""

RIVAL_MM: Final = 1.5
"""Two names of one size that lie this much alike far from a body are as likely."""

_PIN = re.compile(r"^(\d{1,3}[a-z]?|[A-Z]{1,2}\d{0,2}[+-]?|[A-Z]{1,3}|[+-])$")
_NUMBER = re.compile(r"^\d{1,3}[a-z]?$")
_PART = re.compile(r"^[A-Z]{1,3}\d{1,4}[A-Z]?$")
_CONNECTOR = re.compile(r"^[CP]\d{1,2}$")
_AREA = re.compile(r"^\d{1,3}([.,]\d{1,2})?$")
_LETTERS = re.compile(r"^[A-Z]{1,2}([/\-][A-Z]{1,2})?$")


@dataclass(frozen=True, slots=True)
class PrintedWord:
    """A word on the paper, its box in mm, and how surely it was read."""

    text: str
    box: MmBox
    confidence: float

    @property
    def middle(self) -> MmPoint:
        """The middle of its box."""
        return self.box.centre

    @property
    def height_mm(self) -> float:
        """The height of its lettering, lying or standing."""
        return min(self.box.x1 - self.box.x0, self.box.y1 - self.box.y0)


@dataclass(frozen=True, slots=True)
class PrintedBody:
    """What is printed at a body: names, and for each of its places a pin's number, or nothing."""

    part: str = ""
    connector: str = ""
    pins: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PrintedColour:
    """A wire colour printed on or beside a conductor: where it is anchored, its letters, and an area."""

    at: MmPoint
    letters: str
    area_mm2: float | None
    word: PrintedWord


def printed_words(reading: Reading, resolution: Resolution) -> tuple[PrintedWord, ...]:
    """Return the words of a reading with their boxes in mm on the sheet."""
    return tuple(
        PrintedWord(text.text, resolution.box_to_mm(text.box), text.confidence)
        for text in reading.texts
    )


def printed_body(
    words: Iterable[PrintedWord], box: MmBox, places: Sequence[MmPoint]
) -> PrintedBody:
    """Return what is printed at a body with this outline, whose conductors meet its edge at `places`.

    `pins` has one text for each place, empty where no number was found or two are as likely.
    """
    sure = [word for word in words if word.confidence >= SURE_ENOUGH]
    pins = _pins(sure, box, places)
    taken = {text for text in pins if text}
    part, connector = _names(sure, box, taken)
    return PrintedBody(part, connector, pins)


def _pins(words: Sequence[PrintedWord], box: MmBox, places: Sequence[MmPoint]) -> tuple[str, ...]:
    """Give each place the word nearest to where its number would stand, each word to one place at most."""
    own = [word for word in words if _PIN.match(word.text)]
    if not own or not places:
        return ("",) * len(places)
    numbers = [word for word in own if _NUMBER.match(word.text)]
    if len(numbers) >= 0.6 * len(places):
        own = numbers  # where most pins are numbered, a letter beside one is a colour or a signal
    cost = np.array([[_misfit(place, word, box) for word in own] for place in places])
    rows, columns = linear_sum_assignment(np.where(np.isfinite(cost), cost, 1e3))
    found = [""] * len(places)
    for row, column in zip(rows.tolist(), columns.tolist(), strict=True):
        if np.isfinite(cost[row, column]):
            found[row] = own[column].text
    doubled = {text for text in found if text and found.count(text) > 1}
    return tuple("" if text in doubled else text for text in found)


def _misfit(place: MmPoint, word: PrintedWord, box: MmBox) -> float:
    """How badly a word suits a place as its pin's number; infinite where it cannot be one."""
    at = word.middle
    sides = {
        "left": abs(place.x - box.x0),
        "right": abs(place.x - box.x1),
        "top": abs(place.y - box.y0),
        "bottom": abs(place.y - box.y1),
    }
    side = min(sides, key=lambda name: sides[name])
    inward = {
        "left": at.x - box.x0,
        "right": box.x1 - at.x,
        "top": at.y - box.y0,
        "bottom": box.y1 - at.y,
    }[side]
    aside = abs(at.y - place.y) if side in {"left", "right"} else abs(at.x - place.x)
    if aside > ASIDE_MM or not -OUTSIDE_MM <= inward <= DEPTH_MM:
        return float("inf")
    outside = 3.0 if inward < 0 else 0.0
    return 2.0 * aside + abs(inward) + outside


def _names(words: Sequence[PrintedWord], box: MmBox, taken: set[str]) -> tuple[str, str]:
    """The part's name, of the largest ones the nearest, and a connector's; empty where two are as likely."""
    near = [
        word
        for word in words
        if box.x0 - 2.0 <= word.middle.x <= box.x1 + 2.0
        and box.y0 - ABOVE_MM <= word.middle.y <= box.y1 + ABOVE_MM
        and word.text not in taken
    ]
    inside = [word for word in near if box.y0 <= word.middle.y <= box.y1]
    connectors = {word.text for word in inside if _CONNECTOR.match(word.text)}
    connector = connectors.pop() if len(connectors) == 1 else ""
    parts = [word for word in near if _PART.match(word.text) and word.text != connector]
    if not parts:
        return "", connector
    largest = max(word.height_mm for word in parts)
    large = [word for word in parts if word.height_mm >= 0.85 * largest]
    large.sort(key=lambda word: _outside_mm(word, box))
    rivals = {
        word.text
        for word in large
        if _outside_mm(word, box) <= _outside_mm(large[0], box) + RIVAL_MM
    }
    return (large[0].text if len(rivals) == 1 else ""), connector


def _outside_mm(word: PrintedWord, box: MmBox) -> float:
    """How far above a box the middle of a word lies; below it counts double, for names stand above; 0 inside."""
    return max(box.y0 - word.middle.y, 2.0 * (word.middle.y - box.y1), 0.0)


# -------------------------------------------------------------------------------------- wire colours

Segment = tuple[MmPoint, MmPoint]


def printed_colours(
    words: Iterable[PrintedWord],
    conductors: Sequence[Sequence[Sequence[MmPoint]]],
    codes: frozenset[str],
) -> tuple[PrintedColour, ...]:
    """Return the wire colours that are printed on or right beside one conductor.

    `conductors` are the lines of each conductor; `codes` are the letters of the colour sets that the page
    may use. A word that lies about as near to two conductors proposes nothing.
    """
    sure = [word for word in words if word.confidence >= SURE_ENOUGH]
    lines = [
        (number, a, b)
        for number, conductor in enumerate(conductors)
        for line in conductor
        for a, b in pairwise(line)
    ]
    if not lines:
        return ()
    found = []
    for word in sure:
        letters, area = _colour_and_area(word.text)
        if not letters or not all(code in codes for code in re.split(r"[/\-]", letters)):
            continue
        at = _on_one(word, lines)
        if at is not None:
            found.append(PrintedColour(at, letters, area or _area_beside(word, sure), word))
    return tuple(found)


def _colour_and_area(text: str) -> tuple[str, float | None]:
    """`GN/YE` or `0.75GN`: the letters, and an area written in one with them."""
    split = re.match(r"^(\d{1,3}(?:[.,]\d{1,2})?)?([A-Z].*)$", text)
    if split is None or not _LETTERS.match(split[2]):
        return "", None
    return split[2], float(split[1].replace(",", ".")) if split[1] else None


def _area_beside(word: PrintedWord, words: Sequence[PrintedWord]) -> float | None:
    """An area that stands right before or behind the letters on the same line of text."""
    high = word.height_mm
    for other in words:
        if not _AREA.match(other.text) or "." not in other.text.replace(",", "."):
            continue
        across = abs(other.middle.y - word.middle.y), abs(other.middle.x - word.middle.x)
        gap = max(other.box.x0 - word.box.x1, word.box.x0 - other.box.x1)
        below = max(other.box.y0 - word.box.y1, word.box.y0 - other.box.y1)
        if (across[0] < 0.4 * high and 0 <= gap < 1.5 * high) or (
            across[1] < 0.4 * high and 0 <= below < 1.5 * high
        ):
            return float(other.text.replace(",", "."))
    return None


def _on_one(word: PrintedWord, lines: Sequence[tuple[int, MmPoint, MmPoint]]) -> MmPoint | None:
    """The nearest place on a conductor, where no other conductor is about as near."""
    nearest: dict[int, tuple[float, MmPoint]] = {}
    for number, a, b in lines:
        at = _foot(word.middle, a, b)
        distance = at.distance_mm(word.middle)
        if distance < nearest.get(number, (np.inf, at))[0]:
            nearest[number] = (distance, at)
    ranked = sorted(nearest.values(), key=lambda one: one[0])
    reach = 1.3 * word.height_mm
    if ranked[0][0] > reach:
        return None
    if len(ranked) > 1 and ranked[1][0] < max(1.6 * ranked[0][0], 0.8 * word.height_mm):
        return None
    return ranked[0][1]


def _foot(point: MmPoint, a: MmPoint, b: MmPoint) -> MmPoint:
    dx, dy = b.x - a.x, b.y - a.y
    long = dx * dx + dy * dy
    share = 0.0 if long == 0 else ((point.x - a.x) * dx + (point.y - a.y) * dy) / long
    share = min(max(share, 0.0), 1.0)
    return MmPoint(a.x + share * dx, a.y + share * dy)
