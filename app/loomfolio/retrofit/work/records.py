"""What planning returns: offers, planned leads, joints, parts and steps, and the whole plan.

Everything here is derived and frozen. Keys are texts that stay while the thing stands, also where a part
is renamed: the document's operations, ticks and signatures hang on them. Every number that is reckoned is a
`Figure`, which tells its formula, inputs and sources.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from loomfolio.electrics import Bound, Conductor, Figure, Sizing
from loomfolio.project import Anchor, LeadColour, OperationKind, PinKey
from loomfolio.retrofit.effort import Span
from loomfolio.retrofit.records import Node

JointKind = Literal["tap", "butt splice", "break in", "splice", "cap"]
PlannedStepKind = Literal[
    "general", "measure", "bench", "open", "close", "work", "plug in", "loop", "hold"
]


@dataclass(frozen=True, slots=True)
class PickUp:
    """Where a net that is there can be picked up: at the lead between `ends`, near `half`, or at a pin.

    `reach` says what has to come off first; `length_m` is that of the new lead from there, None where
    it has to be measured on the vehicle.
    """

    node: Node
    ends: tuple[Node, Node] | None
    where: str
    zone: str | None
    reach: str
    length_m: Figure | None


@dataclass(frozen=True, slots=True)
class NewEnd:
    """Where a new lead ends: in the cavity, at the stud or splice of `node`, or at a joint or adaptor there.

    `old_lead` is the vehicle's lead that the joint lies in; `stub` says which stub of it is meant.
    """

    node: Node
    joint: JointKind | None = None
    old_lead: tuple[Node, Node] | None = None
    stub: str = ""
    via: Literal["cavity", "adaptor", "board"] = "cavity"


@dataclass(frozen=True, slots=True)
class NewLead:
    """A lead that an offer makes. `target` is the lead of the target whose work it does."""

    target: tuple[Node, Node]
    ends: tuple[NewEnd, NewEnd]
    is_bought: bool = False
    is_direct: bool = True
    """Does it join the target's own two ends? Else it begins elsewhere on the net."""


@dataclass(frozen=True, slots=True)
class Offer:
    """One way to close a gap. Offers of a gap stand in their rank: least cutting first, refused ones last.

    `cuts` counts the leads of the vehicle that are cut or whose insulation is opened, `joints` the joints
    made. `forbidden` is the sentence why it must not be; empty where it may. `closes` are the keys of all
    gaps that the same piece of work closes.
    """

    key: str
    gap: str
    kind: OperationKind
    title: str
    reasons: tuple[str, ...]
    against: tuple[str, ...]
    risk: str
    cuts: int
    joints: int
    length_m: Figure | None
    effort_h: Span
    works: tuple[str, ...] = ()
    """The rows of effort that it comes to."""
    forbidden: str = ""
    treatment: str = ""
    """What makes a refused offer allowed once the person has stated it; empty where nothing does."""
    pick_up: PickUp | None = None
    closes: tuple[str, ...] = ()
    donor: str | None = None
    new_leads: tuple[NewLead, ...] = ()
    caps: tuple[NewEnd, ...] = ()
    """Remainders of leads that are capped and insulated."""
    steps: tuple[str, ...] = ()
    """What is done, in order, where that is more than its title says."""


@dataclass(frozen=True, slots=True)
class LeadEnd:
    """One end of a planned lead: at a pin, or at a joint by its key. `stub` says which stub of it in words."""

    pin: PinKey | None
    joint: str | None
    text: str
    terminal: str
    strip_mm: Figure | None
    seal: str
    stub: str = ""


@dataclass(frozen=True, slots=True)
class PlannedLead:
    """A lead to make. `length_m` None: measure on the vehicle, and `length_reason` says why.

    `sizing` is None where nothing is known to reckon with; then the size is that of the target's documents
    or the person's, and `doubts` say so. What is not released stays out of the cut list.
    """

    key: str
    gaps: tuple[str, ...]
    ends: tuple[LeadEnd, LeadEnd]
    net_name: str
    colour: LeadColour | None
    size: str
    area_mm2: float | None
    conductor: Conductor | None
    insulation: str
    length_m: Figure | None
    length_reason: str
    zones: tuple[str, ...]
    group: str
    sleeve: str
    sizing: Sizing | None
    fuse_text: str
    bounds: tuple[Bound, ...]
    load_a: Figure | None
    released: bool
    doubts: tuple[str, ...]
    is_bought: bool = False
    """Part of an assembly that is bought or taken from a donor as it is: not cut here."""


@dataclass(frozen=True, slots=True)
class PlannedJoint:
    """A joint to make: what meets there, where it lies, how it is made, and the sentence for the bench.

    `lead_ends` are the ends of the vehicle's lead that it lies in, None for a splice with its own name.
    `near_half` and `distance_mm` say how far from which half it lies. `stubs` say which stub is which.
    """

    key: str
    kind: JointKind
    gaps: tuple[str, ...]
    net_name: str
    lead_ends: tuple[Node, Node] | None
    near_half: str
    distance_mm: Figure
    stubs: tuple[str, ...]
    sleeve: str
    is_sealed: bool
    strip_mm: Figure | None
    pull_force_n: Figure | None
    stagger_mm: Figure | None
    zone: str | None
    sentence: str
    released: bool
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PlannedPart:
    """A part, connector, terminal, fuse, plug or board work that a gap asks for.

    `bounds` hold its rating against what it has to do.
    """

    key: str
    gaps: tuple[str, ...]
    part: str | None
    what: str
    rating: str
    colour: str = ""
    figure: Figure | None = None
    bounds: tuple[Bound, ...] = ()
    notes: tuple[str, ...] = ()
    zone: str | None = None


@dataclass(frozen=True, slots=True)
class HoldPoint:
    """A place in the order at which work stops until somebody has signed what was read."""

    key: str
    title: str
    to_read: tuple[str, ...]
    signed_by: str = ""


@dataclass(frozen=True, slots=True)
class PlannedStep:
    """One step of the work, in its place in the order.

    `after` are the keys of the steps that come before it. `blocked_by` is the title of the first hold
    point before it that nobody has signed; empty where it may be done.
    """

    key: str
    title: str
    kind: PlannedStepKind
    zone: str | None
    after: tuple[str, ...]
    closes: tuple[str, ...] = ()
    subjects: tuple[str, ...] = ()
    """Keys of the leads, joints and parts that are made in it."""
    hold: HoldPoint | None = None
    detail: tuple[str, ...] = ()
    hours: Span = field(default_factory=Span)
    blocked_by: str = ""


@dataclass(frozen=True, slots=True)
class PlanFinding:
    """Something in the plan that a person has to know or to decide; `stop` where it must not be done so."""

    key: str
    severity: Literal["stop", "look"]
    title: str
    sentence: str
    subject: str
    place: Anchor | None = None
    bound: Bound | None = None


@dataclass(frozen=True, slots=True)
class OpeningFill:
    """The bundle of new leads through an opening of a way between zones, held against its bore."""

    way: str
    label: str
    leads: tuple[str, ...]
    bound: Bound


@dataclass(frozen=True, slots=True)
class MaterialRow:
    """What has to be there for the work: how much of which thing, and for which leads, joints or parts."""

    item: str
    count: float
    unit: str
    of: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlannedOperation:
    """A chosen operation with its offer; `offer` is None where the gap has no such offer any more."""

    record: str
    gap: str
    sentence: str
    offer: Offer | None
    in_spite_of: str = ""


@dataclass(frozen=True, slots=True)
class WorkPlan:
    """The whole plan. `open_gaps` are the gaps in scope for which nothing is chosen yet."""

    operations: tuple[PlannedOperation, ...]
    leads: tuple[PlannedLead, ...]
    joints: tuple[PlannedJoint, ...]
    parts: tuple[PlannedPart, ...]
    steps: tuple[PlannedStep, ...]
    open_gaps: tuple[str, ...]
    findings: tuple[PlanFinding, ...]
    openings: tuple[OpeningFill, ...]
    material: tuple[MaterialRow, ...]
    hours: Span
    cost: float | None
    effort: tuple[tuple[str, int, Span], ...]
    """Each kind of work, how often it is done, and the hours that it comes to."""


@dataclass(frozen=True, slots=True)
class PlanComparison:
    """Two plans side by side: one row for each measure, and the gaps that they close in other ways."""

    rows: tuple[tuple[str, str, str], ...]
    differing: tuple[tuple[str, str, str], ...]
    """The sentence of the gap, and the title of what each plan does."""
