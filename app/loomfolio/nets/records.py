"""What the nets room returns: drawn conductors, nets, the connector map, ways, findings and release.

All positions are mm on the sheet. Everything here is derived from the document and the readings, and
never stored as truth. The numbers of conductors and nets mean something inside one `Netlist` only.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from loomfolio.basics import MmPoint
from loomfolio.project import Anchor, Known, LeadColour, PieceKind, PinKey

SpotKind = Literal["junction", "crossing", "gap", "touch", "end"]
ConductorSource = Literal["read", "drawn"]
Relation = Literal["joined", "passes", "loads"]
Severity = Literal["stop", "look"]
FindingKind = Literal[
    "two names on one net",
    "one name on two nets",
    "pin on no conductor",
    "pin between two conductors",
    "conductor with no pin",
    "line between two conductors",
    "link without its other end",
    "link not confirmed",
    "link on no conductor",
    "name on no conductor",
    "name between two conductors",
    "mark on no conductor",
    "mark between two conductors",
    "open doubt",
    "mate not confirmed",
    "sheet outside the vehicle's validity",
    "two colours on one lead",
]


@dataclass(frozen=True, slots=True)
class DrawnConductor:
    """One electrical piece on one sheet after the marks: its lines in mm, and the net it belongs to."""

    number: int
    sheet: str
    lines: tuple[tuple[MmPoint, ...], ...]
    stroke_mm: float
    source: ConductorSource
    net: int
    colour: str | None = None
    is_dashed: bool = False


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on a sheet where something was decided: by the reader (`taken`) or the person (`answer`)."""

    kind: SpotKind
    at: MmPoint
    taken: Literal["joined", "apart"]
    is_doubt: bool
    answer: Literal["joined", "apart"] | None = None


@dataclass(frozen=True, slots=True)
class PlacedPin:
    """A pin where one sheet draws it; `conductor` is None where it snapped to nothing."""

    pin: PinKey
    anchor: Anchor
    body: str
    conductor: int | None


@dataclass(frozen=True, slots=True)
class NameClaim:
    """A name that something gives to a net, where, and how it is known."""

    name: str
    source: str
    known: Known
    place: Anchor | None = None


@dataclass(frozen=True, slots=True)
class Piece:
    """One thing that a lead's path rests on, and whether it is confirmed.

    `place` is where to look; `record` and `detail` name a link or a mated cavity pair. A piece is
    confirmed by the person, or borne out by two independent sources (`Confirmation.known`).
    """

    kind: PieceKind
    sentence: str
    is_confirmed: bool
    place: Anchor | None = None
    record: str | None = None
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Net:
    """What is joined, and nothing else. `name` is the one claimed name, or empty (none, or several)."""

    number: int
    name: str
    claims: tuple[NameClaim, ...]
    pins: tuple[PinKey, ...]
    sheets: tuple[str, ...]
    conductors: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class MapRow:
    """One lead of the connector-to-connector map: pin to pin (or pin to splice), and what it rests on.

    `b` is None where the lead goes nowhere. `is_branch` marks a lead that meets others at a drawn join
    that is no named splice. A row is released when every piece is confirmed. `colour` is the one colour
    noted on the path, or None where several are (`noted_colours`).
    """

    net: int
    net_name: str
    a: PinKey
    b: PinKey | None
    colour: LeadColour | None
    area_mm2: float | None
    is_branch: bool
    places: tuple[Anchor, ...]
    sheets: tuple[str, ...]
    pieces: tuple[Piece, ...]
    known: Known
    noted_colours: tuple[LeadColour, ...] = ()

    @property
    def open_pieces(self) -> tuple[Piece, ...]:
        """What is still to be confirmed."""
        return tuple(piece for piece in self.pieces if not piece.is_confirmed)

    @property
    def is_released(self) -> bool:
        """May this lead go to the bench? Never where it ends in the open."""
        return self.b is not None and not self.open_pieces


@dataclass(frozen=True, slots=True)
class WayStep:
    """One piece of a followed way, in the order walked.

    `relation` says how one gets to it from the step before; `what` is the kind of thing
    (pin, lead, splice, in-line connector, joint bar, fuse, relay contact, coil, …).
    """

    what: str
    label: str
    relation: Relation
    pin: PinKey | None
    net: int | None
    place: Anchor | None
    pieces: tuple[Piece, ...] = ()
    note: str = ""
    lines: tuple[tuple[str, tuple[MmPoint, ...]], ...] = ()
    """The drawn run walked, per sheet, in the direction walked (sheet id, points in mm)."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way from a pin to an end: a module pin, a supply, a ground, a dead end or a doubt."""

    steps: tuple[WayStep, ...]
    ends_at: str
    is_dead_end: bool = False

    @property
    def relations(self) -> frozenset[Relation]:
        """Which relations were walked: only `joined` means the two ends are the same metal."""
        return frozenset(step.relation for step in self.steps)

    @property
    def open_pieces(self) -> tuple[Piece, ...]:
        """What on this way is still to be confirmed, in the order walked."""
        return tuple(p for step in self.steps for p in step.pieces if not p.is_confirmed)


@dataclass(frozen=True, slots=True)
class Finding:
    """Something that needs a person: one plain sentence, and its place. `key` stays the same while it stands."""

    kind: FindingKind
    severity: Severity
    sentence: str
    key: str
    place: Anchor | None = None
    pins: tuple[PinKey, ...] = ()
    net: int | None = None
    in_scope: bool = True
    accepted: str | None = None


@dataclass(frozen=True, slots=True)
class Snap:
    """Where a mark holds on: a conductor within reach, or none; `rivals` when two are about as near."""

    conductor: int | None
    at: MmPoint | None
    distance_mm: float | None
    rivals: tuple[int, ...] = field(default=())
