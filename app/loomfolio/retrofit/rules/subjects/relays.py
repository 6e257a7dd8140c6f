"""Relays: numbers as moulded, layouts that meet, coils suppressed and the right way round, contacts that last."""

from __future__ import annotations

import math
from collections.abc import Iterator

from loomfolio.electrics import MINI, contact_bounds, fits_socket
from loomfolio.retrofit.rules.judged import Judged
from loomfolio.retrofit.rules.records import Found, about, rule

_MAKERS = "ISO 7588-1 and relay makers' data sheets"
_COIL, _CONTACTS = {"85", "86"}, {"30", "87", "87a"}
_HOT_C = 85.0
"""Contacts are held against the maker's figure for this ambient (practice: the hot place)."""


@rule(
    key="relay: numbers",
    title="The coil lies at 85 and 86, the contact at 30 and 87",
    reason="In two layouts 30 and 86 lie the other way round: who goes by the place joins the feed to the coil.",
    source=f"DIN 72552; {_MAKERS}",
)
def swapped_numbers(judged: Judged) -> Iterator[Found]:
    """A relay whose coil is drawn at a contact's number, or whose contact at a coil's."""
    for edge in judged.feeds.edges:
        if judged.parts[edge.part].kind != "relay":
            continue
        numbers = {edge.a.pin, edge.b.pin}
        wrong = _CONTACTS if edge.relation == "loads" else _COIL
        if numbers <= _COIL | _CONTACTS and numbers & wrong:
            what = "coil" if edge.relation == "loads" else "contact"
            yield Found(
                f"The {what} of {judged.parts[edge.part].name} is drawn at {edge.a.pin} and {edge.b.pin}",
                f"{edge.part} {edge.a.pin} {edge.b.pin}",
                (edge.a, edge.b),
            )


@rule(
    key="relay: layout",
    title="The relay has the layout of its socket",
    reason="A relay of the other layout joins the feed to the coil.",
    source=_MAKERS,
)
def other_layout(judged: Judged) -> Iterator[Found]:
    """A relay and a socket of which the layouts are noted and differ."""
    for part, note in judged.relays.items():
        socket, layout = note.socket_layout, note.layout
        if part not in judged.parts or socket == "unknown" or layout == "unknown":
            continue
        if not fits_socket(socket, layout):
            pins = tuple(pin for pin in judged.netlist.net_by_pin if pin.part == part)
            name = judged.parts[part].name
            yield Found(
                f"{name} has layout {layout}, its socket layout {socket}",
                part,
                pins,
            )


@rule(
    key="relay: suppression",
    title="A coil that a module drives is suppressed",
    reason="The coil's kick when it is switched off kills the driver.",
    source="Coil suppression (practice)",
    severity="look",
)
def not_suppressed(judged: Judged) -> Iterator[Found]:
    """A relay of the job with a module on its coil of which nobody noted a diode or a resistor."""
    for edge in judged.feeds.edges:
        is_coil = judged.parts[edge.part].kind == "relay" and edge.relation == "loads"
        if not is_coil or not judged.is_worked_at(edge.part):
            continue
        note = judged.relays.get(edge.part)
        suppression = "unknown" if note is None else note.suppression
        # a module that only feeds on the same net drives nothing: its pin stands on a supply or a ground
        nets = [
            net
            for net in (edge.net_a, edge.net_b)
            if net not in judged.feeds.protection_a and net not in judged.feeds.chassis
        ]
        modules = {
            judged.part(pin).name
            for net in nets
            for pin in judged.netlist.nets[net].pins
            if judged.part(pin).kind == "module"
        }
        if modules and suppression in {"unknown", "none"}:
            told = "has no suppression" if suppression == "none" else "has no suppression noted"
            yield Found(
                f"The coil of {judged.parts[edge.part].name} {told}, and {min(modules)} drives it",
                edge.part,
                (edge.a, edge.b),
            )


@rule(
    key="relay: diode",
    title="A coil with a diode has plus at 86",
    reason="The other way round the diode is a short across the supply.",
    source=_MAKERS,
)
def diode_turned(judged: Judged) -> Iterator[Found]:
    """A relay with a diode whose 86 is at chassis, or whose 85 is at a supply."""
    for edge in judged.feeds.edges:
        note = judged.relays.get(edge.part)
        if note is None or note.suppression != "diode" or edge.relation != "loads":
            continue
        for pin, net in ((edge.a, edge.net_a), (edge.b, edge.net_b)):
            at_wrong_pole = (pin.pin == "86" and net in judged.feeds.chassis) or (
                pin.pin == "85" and net in judged.feeds.protection_a
            )
            if at_wrong_pole:
                pole = "chassis" if pin.pin == "86" else "plus"
                yield Found(
                    f"{judged.pin(pin)} is at {pole}, and the coil has a diode", about(pin), (pin,)
                )


@rule(
    key="relay: coil",
    title="A coil lies between two nets",
    reason="A coil with both ends on one metal never pulls.",
    source="Common practice, no source",
)
def coil_bridged(judged: Judged) -> Iterator[Found]:
    """A coil whose two ends are one net."""
    for edge in judged.feeds.edges:
        if (
            judged.parts[edge.part].kind == "relay"
            and edge.relation == "loads"
            and edge.net_a == edge.net_b
        ):
            name = judged.parts[edge.part].name
            yield Found(f"Both ends of the coil of {name} are joined", edge.part, (edge.a, edge.b))


@rule(
    key="relay: contact",
    title="A contact carries its load in the heat",
    reason="A contact above its limit welds.",
    source=f"{_MAKERS}; 80 % of the limit by practice",
)
def contact_overloaded(judged: Judged) -> Iterator[Found]:
    """A relay with the numbers of DIN 72552 whose noted loads exceed what a mini relay carries at 85 °C."""
    for edge in judged.feeds.edges:
        is_contact = judged.parts[edge.part].kind == "relay" and edge.relation == "passes"
        if not is_contact or not {edge.a.pin, edge.b.pin} <= _CONTACTS:
            continue
        loads = judged.feeds.drawn_through(edge)
        total = math.fsum(load.current_a * load.duty_share for load in loads)
        inrush = math.fsum(load.inrush_a or 0.0 for load in loads)
        for bound in contact_bounds(judged.tables, MINI, total, ambient_c=_HOT_C, inrush_a=inrush):
            if not bound.is_met:
                yield Found(
                    f"The contact of {judged.parts[edge.part].name}: {bound}",
                    f"{edge.part} {bound.title}",
                    (edge.a, edge.b),
                    bound=bound,
                )
