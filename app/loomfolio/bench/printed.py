"""What the templates print of leads: every text ready, nothing left to decide but where it stands."""

from __future__ import annotations

from dataclasses import dataclass

from loomfolio.bench.frame import Frame
from loomfolio.bench.lead_colours import lead_look
from loomfolio.bench.leads import PinWords
from loomfolio.project import LeadColour


@dataclass(frozen=True, slots=True)
class PrintedWire:
    """The colour of a lead: its letters, and `#RRGGBB` of base and stripe where they are known."""

    text: str
    base: str | None
    stripe: str | None
    area: str


@dataclass(frozen=True, slots=True)
class PrintedLead:
    """One lead in a table or a joint block: what is seen from here, and where it goes.

    `pin` is None in a joint block, where all leads start alike; `far` is None where the other end is
    not known, or where it is the joint of that name. With both, the lead goes to `far` over the joint.
    `open` says what is still to be confirmed, the first few of it; `more_open` counts the rest.
    """

    number: str
    pin: PinWords | None
    far: PinWords | None
    joint: str
    wire: PrintedWire
    net: str
    length: str
    sheets: str
    is_released: bool
    open: tuple[str, ...] = ()
    more_open: int = 0


@dataclass(frozen=True, slots=True)
class MapGroup:
    """One connector half with the leads that end in it."""

    title: str
    kind: str
    leads: tuple[PrintedLead, ...]


@dataclass(frozen=True, slots=True)
class MapSheet:
    """The connector map; `beyond` is the number of leads outside of what the job is about."""

    frame: Frame
    groups: tuple[MapGroup, ...]
    beyond: int


@dataclass(frozen=True, slots=True)
class JointBlock:
    """One joint: `seen` are the leads that are in the vehicle, `new` all others."""

    name: str
    kind: str
    net: str
    sheets: str
    is_released: bool
    note: str
    seen: tuple[PrintedLead, ...]
    new: tuple[PrintedLead, ...]


@dataclass(frozen=True, slots=True)
class SpliceSheet:
    """The splice sheet: joints, the cut list, and what is not released."""

    frame: Frame
    joints: tuple[JointBlock, ...]
    cut: tuple[PrintedLead, ...]
    cut_note: str
    held_back: tuple[PrintedLead, ...]


def printed_wire(colour: LeadColour | None, area_mm2: float | None) -> PrintedWire:
    """Return how colour and area of a lead are printed."""
    look = lead_look(colour)
    return PrintedWire(
        text=colour.text if colour else "",
        base=look.base,
        stripe=look.stripe,
        area="" if area_mm2 is None else f"{area_mm2:g}",
    )
