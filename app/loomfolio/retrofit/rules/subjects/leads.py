"""New leads: told apart in their housing, one to a cavity, no cavity left empty that the option fills."""

from __future__ import annotations

from collections.abc import Iterator

from loomfolio.nets import conditional_records
from loomfolio.project import Fit, HalfKey, PartKind, PinKey, evaluate, option_names, parse
from loomfolio.retrofit.rules.judged import Judged, TargetLead
from loomfolio.retrofit.rules.records import Found, about, rule

_PRACTICE = "Common practice, no source"
_MANY_LEADS: frozenset[PartKind] = frozenset(
    {"fuse", "relay", "splice", "ground point", "joint connector", "battery", "supply"}
)
"""Kinds of part whose pins take several leads: studs, bars, and what is drawn as one point of a fuse box."""


@rule(
    key="lead: colours",
    title="Leads of one housing can be told apart",
    reason="Two new leads of one colour in one housing are swapped sooner or later.",
    source=_PRACTICE,
    severity="look",
)
def same_colour(judged: Judged) -> Iterator[Found]:
    """A new lead in a housing that holds another lead of its colour on another net."""
    by_half: dict[HalfKey, list[tuple[PinKey, TargetLead]]] = {}
    for lead in judged.leads:
        for node in lead.ends:
            is_told = not judged.is_of_class(lead.net, "high voltage")  # orange, all of them
            if isinstance(node, PinKey) and lead.lead.colour is not None and is_told:
                by_half.setdefault(node.half_key, []).append((node, lead))
    for placed in by_half.values():
        for number, (pin, lead) in enumerate(placed):
            for other_pin, other in placed[number + 1 :]:
                if _are_alike(lead, other) and lead.net != other.net and pin != other_pin:
                    colour = lead.lead.colour
                    yield Found(
                        f"{judged.pin(pin)} and {judged.pin(other_pin)} are both"
                        f" {colour.text if colour else ''}, in one housing",
                        about(pin, other_pin),
                        (pin, other_pin),
                    )


def _are_alike(lead: TargetLead, other: TargetLead) -> bool:
    one, two = lead.lead.colour, other.lead.colour
    if one is None or two is None or not (lead.is_new or other.is_new):
        return False
    return one.text.casefold() == two.text.casefold()


@rule(
    key="lead: cavity",
    title="One lead to a cavity",
    reason="A terminal that is made for one lead holds neither of two.",
    source=_PRACTICE,
)
def two_in_a_cavity(judged: Judged) -> Iterator[Found]:
    """A cavity at which a new lead meets another one."""
    new = {lead.ends for lead in judged.new_leads}
    for pin in judged.netlist.net_by_pin:
        ends = judged.equipment.leads_at.get(pin, ())
        if len(ends) < 2 or judged.part(pin).kind in _MANY_LEADS:
            continue
        if any(one in new for one in ends):
            yield Found(
                f"{len(ends)} leads end at {judged.pin(pin)}, and one of them is new",
                about(pin),
                (pin,),
            )


@rule(
    key="option: hole",
    title="A cavity that an option fills has its lead",
    reason="The sheets say that the option has this cavity, and no lead of it is drawn.",
    source=_PRACTICE,
    severity="look",
)
def hole(judged: Judged) -> Iterator[Found]:
    """A cavity that stands under a condition which the fit meets, with no lead at it."""
    fit = judged.netlist.fit
    if fit is None:
        return
    for part in judged.netlist.project.parts:
        for connector in part.connectors:
            for half in connector.halves:
                for cavity in half.cavities:
                    pin = PinKey(
                        part=part.id, connector=connector.name, half=half.name, pin=cavity.pin
                    )
                    is_asked_for = bool(cavity.when) and evaluate(cavity.when, fit) is True
                    if is_asked_for and not _is_wired(judged, pin):
                        yield Found(
                            f"{judged.pin(pin)} is there {cavity.when}, and no lead ends at it",
                            about(pin),
                            (pin,),
                        )


def _is_wired(judged: Judged, pin: PinKey) -> bool:
    node = judged.equipment.node(pin)
    if any(pin in group.screen_ends for group in judged.netlist.project.groups):
        return True
    if isinstance(node, str):
        return any(pin in lead.pins for lead in judged.leads)
    return bool(judged.equipment.leads_at.get(node) or judged.equipment.bars_at.get(node))


@rule(
    key="option: undetermined",
    title="The fit says of each option whether it is there",
    reason="What hangs on an option of which the fit says nothing is there or not: nobody knows.",
    source=_PRACTICE,
    severity="look",
)
def undetermined(judged: Judged) -> Iterator[Found]:
    """An option that stands in a condition which the fit leaves open."""
    fit = judged.netlist.fit
    if fit is None:
        return
    for option in _open_options(judged, fit):
        yield Found(f"The fit {fit.name} says nothing of {option}", option)


def _open_options(judged: Judged, fit: Fit) -> list[str]:
    conditions = {record.when for record in conditional_records(judged.project)} - {""}
    named = {*fit.options_with, *fit.options_without}
    return sorted(
        {
            option
            for condition in conditions
            if evaluate(condition, fit) is None
            for option in option_names(parse(condition))
            if option not in named
        }
    )
