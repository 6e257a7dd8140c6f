"""What was done at the bench and what was measured: ticks with their deviations, readings, signatures.

A tick, a reading or a signature is about something derived (a lead to make, a joint, a test, a hold
point), so it names its subject by that thing's key and not by a record's id. A subject that the plan no
longer holds keeps its record: what was done was done.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from loomfolio.project.facts import Name, Record, RecordId
from loomfolio.project.specimens import Photos

Key = Annotated[str, Field(min_length=1, max_length=500)]
"""The stable key of something derived."""
DeviationOf = Literal["area", "colour", "length", "fuse", "cavity", "joint", "other"]


class Deviation(Record):
    """How something was done otherwise than planned: `done` instead of `planned`, as the person says it."""

    what: DeviationOf
    done: Annotated[str, Field(min_length=1, max_length=200)]
    planned: Name = ""


class Doing(Record):
    """That a lead, joint, part or step of the plan was done, by whom, and how it came out.

    There is one for each subject. Not done, with a note, is a start that was left.
    """

    id: RecordId
    subject: Key
    is_done: bool = True
    on: date | None = None
    by: Name = ""
    photos: Photos = ()
    note: str = ""
    deviations: tuple[Deviation, ...] = ()


class MeterReading(Record):
    """One reading of one test: a number with its unit, or a word where there is no number.

    `is_over_range` says that the meter showed no number because it was too large. Readings are kept; of
    several for one test the last one counts.
    """

    id: RecordId
    test: Key
    value: float | None = None
    unit: Name = ""
    is_over_range: bool = False
    text: Name = ""
    instrument: Name = ""
    on: date | None = None
    by: Name = ""
    note: str = ""

    @model_validator(mode="after")
    def _says_something(self) -> Self:
        if self.value is None and not self.is_over_range and not self.text.strip():
            raise ValueError("a reading is a number, over range, or a word")
        if self.value is not None and self.is_over_range:
            raise ValueError("a reading over range has no number")
        return self


class Signature(Record):
    """That somebody stands for a hold point, and what they read there. Each hold point is signed once."""

    id: RecordId
    hold: Key
    by: Annotated[str, Field(min_length=1, max_length=200)]
    on: date | None = None
    read: str = ""
