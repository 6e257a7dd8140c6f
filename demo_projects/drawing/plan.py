"""What is on a sheet, as data: bodies with their pins, wires between named ends, page arrows, words.

Positions are mm on the unskewed page, y down. A wire names its two ends, and that alone says what is
connected; its course says only where the ink runs. The ends are written

- `A27 C1:3` for a pin (part, connector, half after a dot, pin after the colon), drawn by a body of the sheet,
- `@name` for a dot where wires meet, `~name` for an end in the open, both placed in `SheetPlan.nodes`,
- `>E` for the page arrow E of the sheet.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from loomfolio.basics import MmBox, MmPoint
from loomfolio.project import SheetKind, ValidFor

Side = Literal["left", "right", "top", "bottom"]
Look = Literal[
    "module",
    "module part",
    "in-line left",
    "in-line right",
    "joint",
    "fuse",
    "relay coil",
    "relay contact",
    "switch",
    "lamps",
    "battery",
    "sensor",
    "supply",
    "splice",
    "chassis",
    "sensor ground",
    "lock",
    "link",
]


ANY_VEHICLE = ValidFor()


@dataclass(frozen=True, slots=True)
class Publication:
    """What the title block of every sheet of one set of diagrams says."""

    maker: str
    model: str
    document: str
    sheet_count: int


@dataclass(frozen=True, slots=True)
class PinSpot:
    """A pin on the edge of a body: which side, and where along it (x or y on the page)."""

    pin: str
    side: Side
    along_mm: float
    signal: str = ""
    """The signal name printed beside the number; often the printer leaves it out."""


@dataclass(frozen=True, slots=True)
class BodyPlan:
    """One appearance of a part or connector."""

    part: str
    look: Look
    box: MmBox
    pins: tuple[PinSpot, ...]
    connector: str = ""
    half: str = ""
    words: tuple[str, ...] = ()
    """Lines printed at the body besides its name."""
    words_at: MmPoint | None = None
    """Where name and words stand; above the body where nothing is said."""

    def text_of(self, spot: PinSpot) -> str:
        """Return how the wires name a pin of this body."""
        half = f".{self.half}" if self.half else ""
        return f"{self.half_text}{half}:{spot.pin}"

    @property
    def half_text(self) -> str:
        """The part with its connector, without the half."""
        return f"{self.part} {self.connector}" if self.connector else self.part

    def place_of(self, spot: PinSpot) -> MmPoint:
        """Return where a pin stands on the edge."""
        match spot.side:
            case "left":
                return MmPoint(self.box.x0, spot.along_mm)
            case "right":
                return MmPoint(self.box.x1, spot.along_mm)
            case "top":
                return MmPoint(spot.along_mm, self.box.y0)
            case "bottom":
                return MmPoint(spot.along_mm, self.box.y1)


@dataclass(frozen=True, slots=True)
class WirePlan:
    """A drawn run between two ends: its corners in between, and what is printed beside it."""

    a: str
    b: str
    via: tuple[MmPoint, ...] = ()
    colour: str = ""
    area_mm2: float | None = None
    label_at: MmPoint | None = None
    """A point on the run beside which colour and area are printed; without one nothing is printed."""
    hops: tuple[MmPoint, ...] = ()
    width_mm: float = 0.35
    when: str = ""
    """Under which options this run is there."""


@dataclass(frozen=True, slots=True)
class ArrowPlan:
    """A page arrow: its letter, where the wire meets it, which way it points, and the sheets it names."""

    letter: str
    at: MmPoint
    points: Side
    is_outgoing: bool
    sheets: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class WordPlan:
    """A line of text somewhere on the sheet."""

    text: str
    at: MmPoint
    cap_mm: float = 1.9
    align: Literal["left", "centre", "right"] = "left"
    is_bold: bool = False
    is_turned: bool = False


@dataclass(frozen=True, slots=True)
class PanelPlan:
    """A grey field behind things that sit in one box."""

    box: MmBox
    title: str


@dataclass(frozen=True, slots=True)
class ScreenPlan:
    """A dashed ring round the leads of a screened pair; it breaks where a lead passes."""

    centre: MmPoint
    radii_mm: tuple[float, float]


@dataclass(frozen=True, slots=True)
class TwistPlan:
    """Short oblique strokes between the two leads of a twisted pair, clear of both."""

    centres: tuple[MmPoint, ...]


@dataclass(frozen=True, slots=True)
class FacePlan:
    """The face of a connector: rows of cavities by number, and the side it is seen from ("" not said)."""

    title: str
    words: tuple[str, ...]
    at: MmPoint
    rows: tuple[tuple[str, ...], ...]
    seen_from: str
    blanked: frozenset[str] = frozenset()
    half: tuple[str, str, str] = ("", "", "")
    """Whose face it is: part, connector, half."""


@dataclass(frozen=True, slots=True)
class TablePlan:
    """A printed table: column edges in mm from its left, a head, rows."""

    at: MmPoint
    columns_mm: tuple[float, ...]
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class ResistorPlan:
    """A resistor inside a module, between two of its pins: its two ends, which lie one above the other."""

    top: MmPoint
    foot: MmPoint
    reach_mm: float
    """How far it stands off to the side: to the right where positive."""
    words: str


@dataclass(frozen=True, slots=True)
class CautionPlan:
    """A printed caution: the sign of danger by electricity, and lines of text; `at` is its top left."""

    at: MmPoint
    lines: tuple[str, ...]


@dataclass(frozen=True)
class SheetPlan:
    """One sheet: what is on it, how it was scanned, and what it is valid for."""

    number: int
    title: str
    file: str
    publication: Publication
    dpi: int
    skew_degrees: float
    seed: int
    kind: SheetKind = "circuit"
    when: str = ""
    """Under which options all of the sheet is there."""
    valid_for: ValidFor = ANY_VEHICLE
    validity_text: str = ""
    notes: tuple[str, ...] = ()
    bodies: tuple[BodyPlan, ...] = ()
    wires: tuple[WirePlan, ...] = ()
    arrows: tuple[ArrowPlan, ...] = ()
    nodes: tuple[tuple[str, MmPoint], ...] = ()
    words: tuple[WordPlan, ...] = ()
    panels: tuple[PanelPlan, ...] = ()
    screens: tuple[ScreenPlan, ...] = ()
    twists: tuple[TwistPlan, ...] = ()
    faces: tuple[FacePlan, ...] = ()
    tables: tuple[TablePlan, ...] = ()
    resistors: tuple[ResistorPlan, ...] = ()
    cautions: tuple[CautionPlan, ...] = ()

    @cached_property
    def places(self) -> dict[str, MmPoint]:
        """Where each end that a wire can name lies."""
        places = {
            body.text_of(spot): body.place_of(spot) for body in self.bodies for spot in body.pins
        }
        places.update(self.nodes)
        places.update({f">{arrow.letter}": arrow.at for arrow in self.arrows})
        return places

    def course(self, wire: WirePlan) -> tuple[MmPoint, ...]:
        """Return the points of a wire from end to end, hops left out."""
        return (self.places[wire.a], *wire.via, self.places[wire.b])
