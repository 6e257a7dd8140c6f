"""High voltage: nothing of ours in it, nothing of the low side joined to it, an inlet whole or not at all."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from functools import cache

from loomfolio.basics import asset_path
from loomfolio.project import LeadColour, PartKind, PinKey
from loomfolio.retrofit.rules.judged import Judged
from loomfolio.retrofit.rules.records import Found, about, rule

_CAUTIONS = "Cautions for work on vehicles with a high-voltage system (practice)"
_LIMIT_V = 60.0
"""Above this a DC circuit is high voltage (49 CFR 571.305; ISO 6469)."""


@rule(
    key="high voltage: new joint",
    title="No joint in a high-voltage lead",
    reason="A joint in an orange lead is a place to burn and to touch; the maker's assembly is fitted whole.",
    source=f"{_CAUTIONS}, 16",
)
def new_joint(judged: Judged) -> Iterator[Found]:
    """A new lead of high voltage that ends at a splice or a drawn joint, and a planned joint in one."""
    for lead in judged.new_leads:
        is_joint = any(judged.equipment.is_splice(node) for node in lead.ends)
        if is_joint and judged.is_of_class(lead.net, "high voltage"):
            yield Found(
                f"The new high-voltage lead {judged.lead_text(lead)} ends at a joint",
                about(*lead.ends),
                lead.pins,
            )


@rule(
    key="high voltage: chassis",
    title="High voltage is not joined to chassis",
    reason="The isolation is watched; a second way to chassis defeats the watch, and the next fault is a shock.",
    source=f"{_CAUTIONS}, 18; UN R100 5.1.3",
)
def joined_to_chassis(judged: Judged) -> Iterator[Found]:
    """A net of high voltage that holds a ground point."""
    for net in judged.nets_of_class("high voltage"):
        for ground in judged.grounds.get(net, ()):
            pins = tuple(p for p in judged.netlist.nets[net].pins if p.part == ground.id)
            yield Found(
                f"{judged.net(net)} is high voltage and joined to {ground.name}",
                f"{ground.id} {net_key(judged, net)}",
                pins,
            )


@rule(
    key="high voltage: low supply",
    title="High voltage and a low supply are never one net",
    reason="Whatever hangs on the low side is then at the voltage of the traction battery.",
    source="49 CFR 571.305; ISO 6469: above 60 V DC is high voltage",
)
def joined_to_low_supply(judged: Judged) -> Iterator[Found]:
    """A net of high voltage with a supply of 60 V or less in it."""
    for pin, note in judged.feeds.supplies.items():
        net = judged.netlist.net_by_pin[pin]
        if note.voltage_v <= _LIMIT_V and judged.is_of_class(net, "high voltage"):
            yield Found(
                f"{judged.pin(pin)} supplies {note.voltage_v:g} V and lies on a net of high voltage",
                about(pin),
                (pin,),
            )


@rule(
    key="high voltage: fuse",
    title="A fuse in high voltage is made for its voltage",
    reason="A fuse for 32 or 58 V does not break the arc of a traction battery.",
    source=f"{_CAUTIONS}, 21",
)
def fuse_of_low_voltage(judged: Judged) -> Iterator[Found]:
    """A fuse between nets of high voltage whose noted voltage is below that of the supply."""
    highest_v = max((note.voltage_v for note in judged.feeds.supplies.values()), default=0.0)
    for edge in judged.feeds.edges:
        note = judged.feeds.fuses.get(edge.part)
        if note is None or not judged.is_of_class(edge.net_a, "high voltage"):
            continue
        rated_v = note.rated_v
        if note.fuse_kind in {"C", "F", "E"} or (rated_v is not None and rated_v < highest_v):
            made_for = f"{rated_v:g} V" if rated_v is not None else "low voltage"
            yield Found(
                f"{edge.name} lies in high voltage and is made for {made_for}",
                edge.part,
                (edge.a, edge.b),
            )


@rule(
    key="high voltage: colour",
    title="High-voltage leads are orange",
    reason="Who works on the vehicle next goes by the colour.",
    source="UN R100 5.1.1.5.3",
    severity="look",
)
def not_orange(judged: Judged) -> Iterator[Found]:
    """A lead of high voltage that is drawn in another colour; unknown codes say nothing."""
    for lead in judged.leads:
        colour = lead.lead.colour
        if judged.is_of_class(lead.net, "high voltage") and _is_another_colour(colour):
            yield Found(
                f"{judged.lead_text(lead)} is high voltage and drawn {colour.text if colour else ''}",
                about(*lead.ends),
                lead.pins,
            )


def _is_another_colour(colour: LeadColour | None) -> bool:
    if colour is None:
        return False
    first = colour.base or colour.text.replace("/", " ").replace("-", " ").split()[0]
    meanings = _meanings().get(first.casefold(), frozenset())
    return bool(meanings) and "orange" not in meanings


@cache
def _meanings() -> dict[str, frozenset[str]]:
    """What a code, or a colour's own name, may mean over all code sets."""
    found: dict[str, set[str]] = {}
    with asset_path("wire_colours.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            for word in (row["code"], row["colour"]):
                found.setdefault(word.casefold(), set()).add(row["colour"])
    return {code: frozenset(colours) for code, colours in found.items()}


_INLET_CONTACTS = {"CP": "pilot", "PP": "proximity", "PE": "earth"}


@rule(
    key="high voltage: inlet",
    title="A charging inlet with all its circuits, or not at all",
    reason="An inlet with power leads alone charges without lock, earth, warmth watched, or consent of the vehicle.",
    source=f"{_CAUTIONS}, 22; IEC 62196-3 for the contacts",
)
def inlet_in_part(judged: Judged) -> Iterator[Found]:
    """An inlet on high voltage without pilot, proximity or earth, or whose module has no lock or no temperature."""
    for part in judged.parts.values():
        pins = [pin for pin in judged.netlist.net_by_pin if pin.part == part.id]
        is_high = any(
            judged.is_of_class(judged.netlist.net_by_pin[p], "high voltage") for p in pins
        )
        if part.kind != "inlet" or not is_high:
            continue
        wired = {pin.pin for pin in pins if judged.equipment.leads_at.get(pin)}
        lacking = [f"{c} ({what})" for c, what in _INLET_CONTACTS.items() if c not in wired]
        lacking += list(_lacking_beside(judged, [pin for pin in pins if pin.pin == "CP"]))
        if lacking:
            yield Found(f"{part.name} has no {', '.join(lacking)}", part.id, tuple(pins[:1]))


def _lacking_beside(judged: Judged, pilots: Sequence[PinKey]) -> Iterator[str]:
    """What the module that reads the pilot does not have: a lock's motor, a sensor of the inlet's warmth."""
    readers = {
        pin.part
        for pilot in pilots
        for pin in judged.netlist.nets[judged.netlist.net_by_pin[pilot]].pins
        if judged.part(pin).kind == "module"
    }
    nets = {net for pin, net in judged.netlist.net_by_pin.items() if pin.part in readers}
    kinds = {judged.part(pin).kind for net in nets for pin in judged.netlist.nets[net].pins}
    wanted: tuple[tuple[PartKind, str], ...] = (("motor", "lock"), ("sensor", "temperature sensor"))
    yield from (what for kind, what in wanted if readers and kind not in kinds)


def net_key(judged: Judged, net: int) -> str:
    """Return a text for a net that stays while its pins stay: its first pin."""
    return about(min(judged.netlist.nets[net].pins, key=lambda pin: pin.sort_key))
