"""What the machine saw on one page: the records of contract `loomfolio.conductors/1`.

Coordinates are px of the given page image, top-left origin, y down; a pixel's centre is at +0.5.

**Connectivity inside a conductor** follows from its lines alone: two lines are joined where they
share a vertex (equal to 1/100 px); where one merely runs over the other they are not. So a T puts
a vertex on the bar, a bridged gap is a line of its own, and a conductor is always one connected
piece.
"""

from __future__ import annotations

from typing import Annotated, Final, Literal

from pydantic import BaseModel, ConfigDict, Field

from loomfolio.basics import PxBox, PxPoint

READING_SCHEMA: Final = "loomfolio.conductors/1"

JunctionKind = Literal["dot", "tee"]
CrossingKind = Literal["plain", "hop", "gap"]
DoubtKind = Literal["gap", "crossing", "touch", "end"]
Taken = Literal["joined", "apart"]
Route = Literal["pixels", "strokes", "both"]
"""How a page was read: from its pixels, from the strokes in its file, or each part its own way."""
Polyline = Annotated[tuple[PxPoint, ...], Field(min_length=2)]


class _Record(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class PageSize(_Record):
    """The page image that the coordinates refer to."""

    width_px: int
    height_px: int
    dpi: float


class Conductor(_Record):
    """One electrical piece on the page; `colour` is `#RRGGBB` where it is not black or grey."""

    id: int
    lines: tuple[Polyline, ...]
    stroke_px: float
    dashed: bool = False
    colour: str | None = None


class Junction(_Record):
    """A place where drawn lines are joined, by a dot or by a T."""

    x: float
    y: float
    kind: JunctionKind


class Crossing(_Record):
    """A place where two lines cross and are apart."""

    x: float
    y: float
    kind: CrossingKind


class Outline(_Record):
    """A closed outline at which conductors end: found by the machine or given by the person."""

    box: PxBox


class Doubt(_Record):
    """A place where the reader chose between two readings that a person should look at again.

    kinds: `gap` a bridged or unbridged break in a line; `crossing` a four-way whose dot is unclear;
    `touch` two lines that nearly or just meet; `end` a line that ends in the open.
    """

    x: float
    y: float
    kind: DoubtKind
    taken: Taken


class Text(_Record):
    """A printed word; `confidence` is 1.0 where the file itself writes it."""

    text: str
    box: PxBox
    confidence: float


class Reading(_Record):
    """All that was seen on one page. Can be thrown away and made again."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    format: Literal["loomfolio.conductors/1"] = Field(default=READING_SCHEMA, alias="schema")
    page: PageSize
    route: Route = "pixels"
    conductors: tuple[Conductor, ...] = ()
    junctions: tuple[Junction, ...] = ()
    crossings: tuple[Crossing, ...] = ()
    bodies: tuple[Outline, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    texts: tuple[Text, ...] = ()

    @staticmethod
    def blank(width_px: int, height_px: int, dpi: float) -> Reading:
        """Return the reading of a page on which nothing was seen: reading is off."""
        return Reading(page=PageSize(width_px=width_px, height_px=height_px, dpi=dpi))

    def to_json(self) -> str:
        """Return the contract as JSON text."""
        return self.model_dump_json(by_alias=True)
