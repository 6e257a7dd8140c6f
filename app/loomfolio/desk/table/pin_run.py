"""Typing the numbers of a body's pins in a run: one place after the other, or `1..8` at once.

Pure: a `PinRun` is a value that each keystroke replaces. An empty text means that the conductor
only passes under the edge there and is no pin.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from loomfolio.basics import MmBox, MmPoint
from loomfolio.project import BodyPin

Side = Literal["top", "right", "bottom", "left"]
RunOrder = Literal["clockwise", "by side"]
LONGEST_PIN = 40
LONGEST_RUN = 500
"""More than any connector has; a longer run is a slip of the finger."""

_RUN = re.compile(r"^(?P<stem>.*?)(?P<first>\d+)\s*(?:\.\.+|…)\s*(?P<again>.*?)(?P<last>\d+)$")


def side_of(box: MmBox, at: MmPoint) -> Side:
    """Return the side of the box that a place on its edge lies nearest to; ties go clockwise."""
    distances: list[tuple[float, Side]] = [
        (abs(at.y - box.y0), "top"),
        (abs(at.x - box.x1), "right"),
        (abs(at.y - box.y1), "bottom"),
        (abs(at.x - box.x0), "left"),
    ]
    return min(distances, key=lambda pair: pair[0])[1]


def spelled_out(text: str) -> tuple[str, ...]:
    """Return the pin numbers that a text stands for: `1..4`, `A8..A6`, `01..03`, or itself.

    >>> spelled_out("A8..A6")
    ('A8', 'A7', 'A6')
    """
    found = _RUN.match(text.strip())
    if not found or found["again"].strip() not in ("", found["stem"].strip()):
        return (text.strip(),)
    first, last = int(found["first"]), int(found["last"])
    if abs(last - first) >= LONGEST_RUN:
        return (text.strip(),)
    step = 1 if last >= first else -1
    width = len(found["first"]) if found["first"].startswith("0") else 0
    return tuple(f"{found['stem']}{n:0{width}d}" for n in range(first, last + step, step))


@dataclass(frozen=True, slots=True)
class PinRun:
    """The places of a body's pins in the order typed, what was typed, and which is next.

    `fault` is one plain sentence when the last text could not be taken; nothing changed then.
    """

    box: MmBox
    places: tuple[MmPoint, ...]
    texts: tuple[str, ...]
    current: int = 0
    order: RunOrder = "clockwise"
    fault: str = ""

    @staticmethod
    def over(box: MmBox, crossings: Sequence[MmPoint], known: Sequence[BodyPin] = ()) -> PinRun:
        """Return the run over the pins that are known and the crossings that are not yet pins.

        Where all lie on one side they are read as printed, downwards or to the right; else clockwise.
        """
        texts = {pin.at: pin.pin for pin in known}
        fresh = [at for at in crossings if all(at.distance_mm(old) > 1.0 for old in texts)]
        texts.update(dict.fromkeys(fresh, ""))
        sides = {side_of(box, at) for at in texts}
        order: RunOrder = "by side" if len(sides) == 1 else "clockwise"
        places = _ordered(box, tuple(texts), order)
        run = PinRun(box, places, tuple(texts[at] for at in places), order=order)
        return replace(run, current=run.first_open)

    def proposed(self, printed: Mapping[MmPoint, str]) -> PinRun:
        """Return the run with what is printed at its places, where no number stands yet."""
        pairs = zip(self.places, self.texts, strict=True)
        texts = tuple(text or printed.get(at, "") for at, text in pairs)
        run = replace(self, texts=texts)
        return replace(run, current=run.first_open)

    @property
    def first_open(self) -> int:
        """The first place without a number; the first of all where each has one."""
        return next((i for i, text in enumerate(self.texts) if not text), 0)

    @property
    def is_at_last(self) -> bool:
        """Is the current place the last one?"""
        return self.current >= len(self.places) - 1

    @property
    def pins(self) -> tuple[BodyPin, ...]:
        """The pins as typed; places left empty are no pins."""
        pairs = zip(self.places, self.texts, strict=True)
        return tuple(BodyPin(at=at, pin=text) for at, text in pairs if text)

    def typed(self, text: str) -> PinRun:
        """Return the run after a text was typed at the current place; a run fills those that follow."""
        numbers = spelled_out(text)
        room = len(self.places) - self.current
        if len(numbers) > room:
            left = "1 pin is" if room == 1 else f"{room} pins are"
            return replace(
                self, fault=f"{text} is {len(numbers)} numbers, but {left} left from here."
            )
        if any(len(number) > LONGEST_PIN for number in numbers):
            return replace(self, fault=f"A pin has at most {LONGEST_PIN} characters.")
        texts = self.texts[: self.current] + numbers + self.texts[self.current + len(numbers) :]
        return replace(self, texts=texts, current=self.current + len(numbers) - 1, fault="")

    def moved(self, by: int) -> PinRun:
        """Return the run with the place before or after as the current one, stopping at the ends."""
        return self.at(self.current + by)

    def at(self, index: int) -> PinRun:
        """Return the run with another place as the current one."""
        held = min(max(index, 0), max(len(self.places) - 1, 0))
        return replace(self, current=held, fault="")

    def nearest(self, at: MmPoint) -> int:
        """Return the index of the place nearest to a point; 0 for a run without places."""
        return min(range(len(self.places)), key=lambda i: self.places[i].distance_mm(at), default=0)

    def turned(self) -> PinRun:
        """Return the run in the other order: clockwise, or each side as it is read. Texts stay put."""
        order: RunOrder = "by side" if self.order == "clockwise" else "clockwise"
        texts = dict(zip(self.places, self.texts, strict=True))
        places = _ordered(self.box, self.places, order)
        run = replace(self, places=places, order=order, texts=tuple(texts[at] for at in places))
        return replace(run, current=run.first_open, fault="")


def _ordered(box: MmBox, places: tuple[MmPoint, ...], order: RunOrder) -> tuple[MmPoint, ...]:
    """The places from the top-left corner on: round the box, or left, right, top, bottom as read."""
    around: dict[Side, tuple[int, int]] = {
        "top": (0, 1),
        "right": (1, 1),
        "bottom": (2, -1),
        "left": (3, -1),
    }
    as_read: dict[Side, tuple[int, int]] = {
        "left": (0, 1),
        "right": (1, 1),
        "top": (2, 1),
        "bottom": (3, 1),
    }
    table = around if order == "clockwise" else as_read

    def key(at: MmPoint) -> tuple[int, float]:
        side = side_of(box, at)
        rank, sign = table[side]
        return rank, sign * (at.x if side in ("top", "bottom") else at.y)

    return tuple(sorted(places, key=key))
