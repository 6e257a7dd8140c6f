"""What a gesture shows while it runs, and what it hands over when it is done.

A preview never touches the document: it is drawn over it and forgotten. Outcomes are intents, or a
request for one of the small editors (`NameDraft`, `BodyDraft`) in which the gesture is finished.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.table.events import PointerEvent
from loomfolio.desk.table.intents import Intent
from loomfolio.desk.table.layout import SheetPlace, TablePoint
from loomfolio.desk.table.snapping import Grip


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer to a question, and the one key that gives it."""

    key: str
    word: str


@dataclass(frozen=True, slots=True)
class Question:
    """One question, next to the place it is about, answered by one key that is printed in it."""

    place: SheetPlace
    text: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class DrawnBox:
    """A box being drawn on a sheet, and where conductors cross its edge."""

    sheet: str
    box: MmBox
    crossings: Sequence[MmPoint]


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """A line being drawn on a sheet, the last point where the pointer is."""

    sheet: str
    points: tuple[MmPoint, ...]


@dataclass(frozen=True, slots=True)
class DrawnLink:
    """A link being drawn over the table, from a place to where the pointer is."""

    start: SheetPlace
    end: TablePoint


@dataclass(frozen=True, slots=True)
class Preview:
    """What to draw over the document just now, and one line of help."""

    hint: str = ""
    box: DrawnBox | None = None
    line: DrawnLine | None = None
    link: DrawnLink | None = None
    grip: Grip | None = None
    lit: tuple[SheetPlace, ...] = ()
    """Places, one on each conductor that a question chooses among, in the order of its keys."""
    lit_conductors: tuple[int, ...] = ()
    question: Question | None = None
    sheet_at: tuple[str, MmPoint] | None = None


AT_REST = Preview()


@dataclass(frozen=True, slots=True)
class NameDraft:
    """A name is to be typed at a place; `mark` is the name mark that it would replace."""

    place: SheetPlace
    text: str
    mark: str | None
    is_typed: bool
    """Whether `text` was just typed (and typing goes on) or is what stands there now."""


@dataclass(frozen=True, slots=True)
class BodyDraft:
    """A body is to be typed: a new one over a box, or the one of a mark."""

    sheet: str
    box: MmBox
    crossings: Sequence[MmPoint]
    mark: str | None = None


@dataclass(frozen=True, slots=True)
class Click:
    """The button was pressed and released at one place."""

    event: PointerEvent


@dataclass(frozen=True, slots=True)
class Again:
    """A question was left by pressing elsewhere: that press begins something new."""

    event: PointerEvent


@dataclass(frozen=True, slots=True)
class Picked:
    """Among conductors that lie close together this one is meant."""

    place: SheetPlace
    conductor: int


Outcome = Intent | NameDraft | BodyDraft
Done = Intent | BodyDraft | Click | Again | Picked
