"""Joints and leads of a plan as they are printed: which stub is which, where, how, and what to ring out first.

A stub of the vehicle and a new lead are never told by colour alone: each carries its word, and the two
print in different forms.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from loomfolio.bench.lead_colours import colour_name
from loomfolio.bench.plan_words import PlanWords, figure_text, length_text
from loomfolio.bench.printed import PrintedWire, printed_wire
from loomfolio.project import LeadColour, PinKey
from loomfolio.retrofit import EquippedLead, LeadEnd, Node, PlannedJoint, PlannedLead

_VEHICLE = "vehicle: "
"""Begins the words for a stub of the vehicle in a plan."""
_OF_HOUSING, _SINGLE_SEAL = "terminal of the housing ", "single-wire seal"
"""Terminal and seal that say no more than the end itself: they print short."""
Whose = Literal["VEHICLE", "NEW", "DONOR"]


@dataclass(frozen=True, slots=True)
class PrintedStub:
    """One end that comes to a joint: whose it is, what it is called, how it looks, and where it leads."""

    whose: Whose
    number: str
    to: str
    wire: PrintedWire
    drawn: str
    """The colour that the documents print, where what was seen differs."""


@dataclass(frozen=True, slots=True)
class PrintedPlanJoint:
    """One joint of the plan as a block; `facts` are names and values, `stub_words` says which stub is which."""

    number: str
    kind: str
    net: str
    place: str
    stubs: tuple[PrintedStub, ...]
    facts: tuple[tuple[str, str], ...]
    stub_words: tuple[str, ...]
    ring_out: str
    sentence: str
    doubts: tuple[str, ...]
    is_released: bool
    is_done: bool


@dataclass(frozen=True, slots=True)
class PrintedPlanEnd:
    """One end of a lead to cut: where it goes, strip, terminal, seal."""

    to: str
    strip: str
    terminal: str
    seal: str


@dataclass(frozen=True, slots=True)
class PrintedPlanLead:
    """One lead of the cut list; `length` is empty where it is measured on the vehicle."""

    number: str
    a: PrintedPlanEnd
    b: PrintedPlanEnd
    net: str
    wire: PrintedWire
    size: str
    insulation: str
    length: str
    group: str
    sleeve: str
    doubts: tuple[str, ...]
    is_released: bool
    is_bought: bool
    is_done: bool


def printed_joints(words: PlanWords) -> tuple[PrintedPlanJoint, ...]:
    """Return the joints of a plan as blocks, in its order; those of one zone where one was asked for."""
    return tuple(
        _joint(words, joint) for joint in words.plan.joints if words.is_in_zone((joint.zone,))
    )


def _joint(words: PlanWords, joint: PlannedJoint) -> PrintedPlanJoint:
    stubs = (*_vehicle_stubs(words, joint), *_new_stubs(words, joint))
    return PrintedPlanJoint(
        number=words.joint_numbers[joint.key],
        kind=joint.kind,
        net=joint.net_name,
        place=_place(words, joint),
        stubs=stubs,
        facts=tuple((name, text) for name, text in _facts(joint) if text),
        stub_words=tuple(text for text in joint.stubs if text not in joint.sentence),
        ring_out=ring_out_first(words, joint),
        sentence=joint.sentence,
        doubts=joint.doubts,
        is_released=joint.released,
        is_done=words.is_done(joint.key),
    )


def _place(words: PlanWords, joint: PlannedJoint) -> str:
    where = f"{figure_text(joint.distance_mm)} from {joint.near_half}" if joint.near_half else ""
    if joint.distance_mm.value == 0 and joint.near_half:
        where = f"at {joint.near_half}"
    return ", ".join(text for text in (where, words.zone_text(joint.zone)) if text)


def _facts(joint: PlannedJoint) -> Iterator[tuple[str, str]]:
    sealed = "with adhesive, glue seen at both ends" if joint.is_sealed else ""
    yield "sleeve", ", ".join(text for text in (joint.sleeve, sealed) if text)
    yield "strip", figure_text(joint.strip_mm)
    yield "tool", tool_of(joint)
    yield "pull test on a sample", figure_text(joint.pull_force_n)
    yield "to the next joint", figure_text(joint.stagger_mm)


def tool_of(joint: PlannedJoint) -> str:
    """Return what a joint is made with."""
    heat = " and hot air" if joint.sleeve else ""
    if joint.kind == "cap":
        return f"cutter{heat}"
    if "solder" in joint.sentence.casefold():
        return f"soldering iron{heat}"
    return f"crimp tool for this barrel{heat}"


def _vehicle_stubs(words: PlanWords, joint: PlannedJoint) -> Iterator[PrintedStub]:
    """The stubs of the vehicle's lead that come to the joint, each by the end that it leads to."""
    if joint.lead_ends is None:
        yield from _legs(words, joint)
        return
    drawn, seen = _looks(words, joint.lead_ends)
    look = seen or drawn
    for node in _stubs_met(words, joint, joint.lead_ends):
        yield PrintedStub(
            "VEHICLE",
            "",
            words.node(node),
            printed_wire(look.colour if look else None, look.area_mm2 if look else None),
            _differing(drawn, seen),
        )


def _legs(words: PlanWords, joint: PlannedJoint) -> Iterator[PrintedStub]:
    """The leads that come to a splice of the vehicle already, each by its far end."""
    state = words.job.state.equipment
    for line in joint.stubs:
        if not line.startswith(_VEHICLE):
            continue
        said = line.removeprefix(_VEHICLE)
        pin = next((pin for pin in state.leads_at if _is_far_end(words, pin, said)), None)
        leads = () if pin is None else state.leads_at[pin]
        look = state.leads[leads[0]] if len(leads) == 1 else None
        yield PrintedStub(
            "VEHICLE",
            "",
            said.rpartition(" to ")[2] if pin is None else words.node(pin),
            printed_wire(look.colour if look else None, look.area_mm2 if look else None),
            "",
        )


def _is_far_end(words: PlanWords, node: Node, said: str) -> bool:
    return isinstance(node, PinKey) and said.endswith(f" to {words.node(node)}")


def _stubs_met(words: PlanWords, joint: PlannedJoint, ends: tuple[Node, Node]) -> tuple[Node, ...]:
    """Of a lead that is cut and extended, or capped, only one stub is in the joint: the one that it names."""
    if joint.kind not in {"butt splice", "cap"}:
        return ends
    own = [line for line in joint.stubs if not line.startswith("new:")]
    named = [
        n for n in ends if isinstance(n, PinKey) and any(_says(line, words.node(n)) for line in own)
    ]
    if named:
        return tuple(named[:1])
    others = [node for node in ends if words.half(node) != joint.near_half]
    return tuple(others) if len(others) == 1 else ends


def _says(line: str, name: str) -> bool:
    return re.search(rf"{re.escape(name)}(?!\w)", line) is not None


def _looks(
    words: PlanWords, ends: tuple[Node, Node]
) -> tuple[EquippedLead | None, EquippedLead | None]:
    """The lead as the documents draw it, and as it was seen in this vehicle."""
    drawn = words.side.leads.find(ends)
    state = words.job.state.equipment.leads.find(ends)
    return drawn, state if state is not None and state.is_seen else None


def _differing(drawn: EquippedLead | None, seen: EquippedLead | None) -> str:
    if drawn is None or seen is None or drawn.colour is None or seen.colour is None:
        return ""
    return drawn.colour.text if drawn.colour.text != seen.colour.text else ""


def _new_stubs(words: PlanWords, joint: PlannedJoint) -> Iterator[PrintedStub]:
    for lead in words.plan.leads:
        for end, other in (lead.ends, lead.ends[::-1]):
            if end.joint == joint.key:
                yield PrintedStub(
                    "DONOR" if lead.is_bought else "NEW",
                    words.lead_numbers[lead.key],
                    words.end(other),
                    printed_wire(lead.colour, lead.area_mm2),
                    "",
                )


def ring_out_first(words: PlanWords, joint: PlannedJoint) -> str:
    """Return why a lead has to be rung out before it is cut; empty where it cannot be mistaken."""
    if joint.lead_ends is None:
        return ""
    drawn, seen = _looks(words, joint.lead_ends)
    if other := _differing(drawn, seen):
        return f"Ring out first: drawn {other}, seen otherwise."
    look = seen or drawn
    if look is None or look.colour is None:
        return "Ring out first: its colour is not known."
    for node in joint.lead_ends:
        twins = _same_colour(words, node, look.colour)
        if twins:
            return (
                f"Ring out first: {', '.join(twins)} in the same housing"
                f" {'is' if len(twins) == 1 else 'are'} {look.colour.text} too."
            )
    return ""


def _same_colour(words: PlanWords, node: Node, colour: LeadColour) -> list[str]:
    """The other cavities of a housing of which the lead has the same base and stripe."""
    if not isinstance(node, PinKey):
        return []
    state = words.job.state.equipment
    return [
        words.node(pin)
        for pin, ends in state.leads_at.items()
        if isinstance(pin, PinKey)
        and pin.half_key == node.half_key
        and pin != node
        and any(_alike(state.leads[lead].colour, colour) for lead in ends)
    ]


def _alike(one: LeadColour | None, other: LeadColour) -> bool:
    if one is None:
        return False
    same_stripe = one.stripe == other.stripe
    return one.text == other.text or (
        bool(colour_name(one)) and colour_name(one) == colour_name(other) and same_stripe
    )


# ------------------------------------------------------------------------------------------- leads


def printed_leads(
    words: PlanWords, leads: Iterable[PlannedLead] | None = None
) -> tuple[PrintedPlanLead, ...]:
    """Return the leads of a plan as they are printed, in its order; those of one zone where one was asked for."""
    own: Sequence[PlannedLead] = tuple(words.plan.leads if leads is None else leads)
    return tuple(_lead(words, lead) for lead in own if words.is_in_zone(lead.zones or (None,)))


def _lead(words: PlanWords, lead: PlannedLead) -> PrintedPlanLead:
    a, b = lead.ends
    return PrintedPlanLead(
        number=words.lead_numbers[lead.key],
        a=_end(words, a),
        b=_end(words, b),
        net=lead.net_name,
        wire=printed_wire(lead.colour, None),
        size=lead.size,
        insulation=lead.insulation,
        length=length_text(lead.length_m),
        group=lead.group,
        sleeve=lead.sleeve,
        doubts=lead.doubts,
        is_released=lead.released,
        is_bought=lead.is_bought,
        is_done=words.is_done(lead.key),
    )


def _end(words: PlanWords, end: LeadEnd) -> PrintedPlanEnd:
    strip = figure_text(end.strip_mm, unit="")
    is_own = end.terminal.startswith(_OF_HOUSING)
    terminal = "own terminal" if is_own else end.terminal
    seal = "seal" if end.seal == _SINGLE_SEAL else end.seal
    return PrintedPlanEnd(words.end(end), strip, terminal, seal)
