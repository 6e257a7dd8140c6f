"""What the person wants, as the table understood it: small frozen records, one per gesture.

The table changes nothing. Each finished gesture is emitted once through `LightTable.intended`, and
the frame turns it into one edit, hence one step of undo. Positions are mm on the sheet.
"""

from __future__ import annotations

from dataclasses import dataclass

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.table.seams import AnswerWord
from loomfolio.project import Anchor, BodyPin, PartKind


@dataclass(frozen=True, slots=True)
class NameNet:
    """The net whose conductor runs under `at` is called `name`.

    `mark` is the name mark that this replaces, where the net already carries exactly one.
    """

    sheet: str
    at: MmPoint
    name: str
    mark: str | None = None


@dataclass(frozen=True, slots=True)
class BodyText:
    """What was typed of a body: part, connector, half and pins.

    `kind` is the kind of the part where the name is a new one, and None where the part exists.
    """

    part: str
    kind: PartKind | None
    connector: str
    half: str
    pins: tuple[BodyPin, ...]


@dataclass(frozen=True, slots=True)
class MakeBody:
    """A box was drawn round a part, and its pins were numbered."""

    sheet: str
    box: MmBox
    text: BodyText


@dataclass(frozen=True, slots=True)
class ChangeBody:
    """An existing body was typed anew."""

    mark: str
    text: BodyText


@dataclass(frozen=True, slots=True)
class NumberPins:
    """The pins of an existing body, all of them; what is left out is taken away."""

    mark: str
    pins: tuple[BodyPin, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """What meets or crosses at a place is joined, or apart."""

    sheet: str
    at: MmPoint
    answer: AnswerWord


@dataclass(frozen=True, slots=True)
class DrawLine:
    """A conductor that the print has lost."""

    sheet: str
    points: tuple[MmPoint, ...]


@dataclass(frozen=True, slots=True)
class MakeLink:
    """What runs at `a` goes on at `b`."""

    a: Anchor
    b: Anchor


@dataclass(frozen=True, slots=True)
class Remove:
    """These marks and links are to go."""

    ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MoveSheet:
    """A sheet was laid elsewhere on the table; `table_at` is its top-left corner, mm on the table."""

    sheet: str
    table_at: MmPoint


@dataclass(frozen=True, slots=True)
class DrawRegion:
    """A box round what belongs to an option; which one is asked."""

    sheet: str
    box: MmBox


Intent = (
    NameNet
    | MakeBody
    | ChangeBody
    | NumberPins
    | Answer
    | DrawLine
    | MakeLink
    | Remove
    | MoveSheet
    | DrawRegion
)
