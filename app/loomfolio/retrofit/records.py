"""What the retrofit room returns: leads as equipped, gaps and how they are closed, comparisons, questions.

Everything here is derived and frozen. Pins are named by the target's documents; where this vehicle's
documents call a connector otherwise, `matching` has translated before anything is compared.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from loomfolio.nets import MapRow
from loomfolio.project import Anchor, CavityState, HalfKey, LeadColour, PinKey

GapKind = Literal[
    "lead missing",
    "branch missing",
    "cable group missing",
    "lead goes elsewhere",
    "extra lead",
    "other colour",
    "other area",
    "terminal missing",
    "pin missing in header",
    "section or driver not populated",
    "needs coding",
    "connector missing",
    "device missing",
    "device position of a lower grade",
    "bar missing",
    "dummy plug or bridge must go",
]
Sureness = Literal["sure", "to be looked at"]
ClosedBy = Literal["work", "survey", "reason"]

Node = PinKey | str
"""What is one metal by itself: a pin, or a whole splice or ground point (its part's id)."""
Ends = tuple[Node, Node]
"""The two ends of a lead in a fixed order (`ends_of`)."""


@dataclass(frozen=True, slots=True)
class EquippedLead:
    """A lead as one side has it.

    `pins` are its ends as that side's documents or survey name them; a leg of a drawn joint has one.
    `doubts` say what has to be settled before one may rely on the lead; `is_undetermined` that it is
    there only if an option is built in about which the fit says nothing.
    """

    pins: tuple[PinKey, ...]
    colour: LeadColour | None = None
    area_mm2: float | None = None
    source: str = ""
    place: Anchor | None = None
    doubts: tuple[str, ...] = ()
    is_seen: bool = False
    is_undetermined: bool = False


@dataclass(frozen=True, slots=True)
class Mend:
    """What closing a gap changes in a vehicle's state; see `apply_gaps`."""

    joined: tuple[Ends, ...] = ()
    cut: tuple[Ends, ...] = ()
    part: str | None = None
    half: HalfKey | None = None
    bar: tuple[PinKey, ...] = ()
    parted: tuple[tuple[PinKey, ...], ...] = ()
    """A bar that joins too much, as the groups that may stay joined."""
    gone_halves: tuple[HalfKey, ...] = ()
    cavity: tuple[PinKey, ...] = ()
    header: PinKey | None = None
    tapped: tuple[Ends, ...] = ()
    """Splices that go into leads which are there, each with a node of these leads."""
    looks: tuple[Ends, ...] = ()
    """Leads that get the target's colour and area."""


@dataclass(frozen=True, slots=True)
class Closing:
    """How a gap was closed, and the written reason; `record` is the closure in the document, if there is one."""

    by: ClosedBy
    reason: str
    record: str | None = None


@dataclass(frozen=True, slots=True)
class Gap:
    """What the target fit has and this vehicle lacks, or has in excess.

    `key` stays the same while the gap stands, also where a part is renamed. A gap that is to be looked
    at is a question: `decides` says what has to be looked at or settled first. `evidence` names sheet
    and place, and survey entry.
    """

    kind: GapKind
    key: str
    sentence: str
    pins: tuple[PinKey, ...]
    part: str | None
    place: Anchor | None
    evidence: tuple[str, ...]
    sureness: Sureness
    decides: tuple[str, ...]
    mend: Mend
    in_scope: bool = True
    closed_by: Closing | None = None

    @property
    def is_open(self) -> bool:
        """Is it not closed by work, survey or a written reason?"""
        return self.closed_by is None


@dataclass(frozen=True, slots=True)
class MovedLead:
    """A lead of fit `a` that ends elsewhere in fit `b`: both rows share the pin `stays`."""

    stays: PinKey
    a: MapRow
    b: MapRow


@dataclass(frozen=True, slots=True)
class FitComparison:
    """Two fits, lead by lead: the same in both, only in one, or going elsewhere. Every lead stands once."""

    same: tuple[tuple[MapRow, MapRow], ...]
    only_a: tuple[MapRow, ...]
    only_b: tuple[MapRow, ...]
    elsewhere: tuple[MovedLead, ...]


@dataclass(frozen=True, slots=True)
class MatchQuestion:
    """Are these two halves the same connector? `score` from 0 to 1; `rivals` are about as likely."""

    target: HalfKey
    vehicle: HalfKey
    score: float
    sentence: str
    grounds: tuple[str, ...]
    rivals: tuple[HalfKey, ...] = ()


@dataclass(frozen=True, slots=True)
class Matching:
    """Which half of the target's documents is which half in this vehicle's, and what has to be asked."""

    pairs: tuple[tuple[HalfKey, HalfKey], ...]
    parts: tuple[tuple[str, str], ...]
    questions: tuple[MatchQuestion, ...]
    only_target: tuple[HalfKey, ...]
    only_vehicle: tuple[HalfKey, ...]


@dataclass(frozen=True, slots=True)
class SeenPlace:
    """One place of a face as the person sees it: row and column from the top left, and what is there."""

    row: int
    column: int
    state: CavityState
    colour: LeadColour | None = None
    area_mm2: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class DecidingPlace:
    """A place at which the two readings of a face do not agree with the documents alike."""

    row: int
    column: int
    pin_as_entered: str
    pin_mirrored: str
    sentence: str


@dataclass(frozen=True, slots=True)
class SideVerdict:
    """Do the entries agree better with the documents as entered, or mirrored?

    The counts are places that agree. `is_settled` is False where the mirrored reading agrees better:
    then nothing is stored before the person has said from which side they look.
    """

    as_entered: int
    mirrored: int
    compared: int
    deciding: tuple[DecidingPlace, ...]
    sentence: str

    @property
    def is_settled(self) -> bool:
        """Is there no reason to believe that the face was read from the other side?"""
        return self.as_entered >= self.mirrored
