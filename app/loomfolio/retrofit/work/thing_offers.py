"""Offers for whole things and their places: parts, connectors, plugs, terminals, contacts, coding, bars."""

from __future__ import annotations

from collections.abc import Iterator

from loomfolio.retrofit.gap_writer import half_key_text, node_key
from loomfolio.retrofit.records import Gap
from loomfolio.retrofit.work.drafts import Desk, Draft, board_steps


def drafts_for_part(desk: Desk, gap: Gap) -> Iterator[Draft]:
    """Yield the ways to get a part that is missing, or what its position lacks."""
    part = gap.part or ""
    kind, name = desk.situation.kind(part), desk.situation.part_name(part)
    is_position = gap.kind == "device position of a lower grade"
    yield Draft(
        kind="fit part",
        subject=part,
        title=f"Put the {kind} {name} into its position"
        if is_position
        else f"Fit the {kind} {name}",
        reasons=("It is what the target has",),
        against=(),
        work="position" if is_position else "",
    )
    if kind in {"fuse", "relay", "diode", "resistor"}:
        yield Draft(
            kind="fit part",
            subject=f"{part} in a holder of its own",
            title=f"Fit the {kind} {name} in a holder of its own beside the box",
            reasons=("Where the position cannot be completed",),
            against=("Nobody looks for it there: it goes onto the chart of the box",),
            works=("lead", "lead"),
            cuts=0,
        )


def drafts_for_connector(desk: Desk, gap: Gap) -> Iterator[Draft]:
    """Yield the ways to get a connector that is missing, or one with the cavities that it lacks."""
    situation, mend = desk.situation, gap.mend
    half = mend.half or mend.cavity[0].half_key
    name = situation.half_text(half)
    pins = situation.pins_of_half(half)
    is_other = mend.half is None
    for donor, cover in situation.donors:
        if any(one.key == gap.key for one in cover.covered):
            yield Draft(
                kind="donor lead",
                subject=cover.specimen,
                title=f"Take {name} over from the donor {donor}, with what hangs on it",
                reasons=("The housing, its terminals and seals belong together",),
                donor=cover.specimen,
                touched=pins,
            )
    yield Draft(
        kind="fit connector",
        subject=half_key_text(half),
        title=f"Change the housing of {name} for one with these cavities"
        if is_other
        else f"Fit the connector {name} with its terminals, seals and lock",
        reasons=("As the target has it",),
        against=("Every terminal in it is moved over: photo first",) if is_other else (),
        works=("terminal",) * (len(pins) if is_other else 0),
    )
    if is_other:
        yield Draft(
            kind="adaptor loom",
            subject=half_key_text(half),
            title=f"An adaptor loom between {name} as it is and a housing with these cavities",
            reasons=("The vehicle's own housing stays as it is",),
            against=("Both housings have to be got, and room for them",),
            risk="Every circuit of the plug runs through the adaptor",
            touched=pins,
        )


def drafts_for_plug(desk: Desk, gap: Gap) -> Iterator[Draft]:
    """Yield the ways to be rid of a dummy plug, a bridge, a part that must go, or a bar that joins too much."""
    situation, mend = desk.situation, gap.mend
    if mend.parted:
        part = mend.bar[0].part
        groups = " / ".join(", ".join(pin.pin for pin in group) for group in mend.parted)
        yield Draft(
            kind="fit bar",
            subject=f"{part} parted",
            title=f"Change the bar of {situation.part_name(part)} for bars that join {groups} only",
            reasons=("Nothing is cut",),
            touched=mend.bar,
        )
        yield Draft(
            kind="swap part",
            subject=part,
            title=f"Change {situation.part_name(part)} for one with the right bars",
            reasons=("Where its bar cannot be got by itself",),
            against=("Every lead in it is moved over: photo first",),
            works=("terminal",) * len(mend.bar),
        )
        return
    what = gap.sentence.removesuffix(" and must go").removesuffix(" must go")
    yield Draft(
        kind="remove plug",
        subject=gap.key,
        title=f"Take it off and keep it: {what}",
        reasons=("Nothing is cut, and it can be put back",),
        risk="Look at the seal and the contacts behind it before anything is plugged on",
    )


def drafts_for_terminal(desk: Desk, gap: Gap) -> Iterator[Draft]:
    """Yield the ways to get a terminal into a cavity that has none, or a bad one."""
    situation = desk.situation
    (pin,) = gap.mend.cavity
    name = situation.text(pin)
    for donor, cover in situation.donors:
        if any(one.key == gap.key for one in cover.covered):
            yield Draft(
                kind="donor lead",
                subject=cover.specimen,
                title=f"The terminal for {name} comes with its lead from the donor {donor}",
                reasons=("Terminal and lead stay together",),
                touched=(pin,),
                donor=cover.specimen,
            )
    yield Draft(
        kind="fit terminal",
        subject=node_key(pin),
        title=f"Put a new terminal into {name}",
        reasons=("Nothing is cut: it comes with the lead that goes there",),
        risk="The terminal of that housing and no other: click, pull, look",
        touched=(pin,),
    )
    yield Draft(
        kind="fit connector",
        subject=half_key_text(pin.half_key),
        title=f"Change the whole housing {situation.half_text(pin.half_key)}",
        reasons=("Where the cavity is broken or its terminal cannot be got",),
        against=("Every lead in it is moved over: photo first",),
        works=("terminal",) * len(situation.pins_of_half(pin.half_key)),
    )


def drafts_for_header(desk: Desk, gap: Gap) -> Iterator[Draft]:
    """Yield the ways to get a contact, a driver or a coding that a module lacks."""
    situation = desk.situation
    pin = gap.mend.header
    if pin is None:
        return
    module, name = situation.part_name(pin.part), situation.text(pin)
    if gap.kind == "needs coding":
        yield Draft(
            kind="code module",
            subject=pin.part,
            title=f"Code {module} for {name} and read it back",
            reasons=("Nothing is touched but data: keep what was in it before",),
            risk="The coding of the rest must not change: compare before and after",
        )
    yield Draft(
        kind="swap part",
        subject=pin.part,
        title=f"Change {module} for one that has {name}",
        reasons=("Nothing is cut, and the maker's own hardware does it",),
        against=("It has to be coded to the vehicle",),
        works=("coding",),
    )
    if gap.kind != "needs coding":
        yield Draft(
            kind="solder to board",
            subject=node_key(pin),
            title=f"Complete {module} behind {name} on its board",
            reasons=("Where no module with this contact can be got",),
            against=("The module is opened: warranty, seal and static are at stake",),
            risk="A wrong pad burns the module, and what is missing on the board may be more than one sees",
            joints=1,
            touched=(pin,),
            steps=board_steps(situation, pin),
        )


def drafts_for_bar(desk: Desk, gap: Gap) -> Iterator[Draft]:
    """Yield the ways to get a bar that a joint connector lacks."""
    situation, bar = desk.situation, gap.mend.bar
    part, pins = situation.part_name(bar[0].part), ", ".join(pin.pin for pin in bar)
    yield Draft(
        kind="fit bar",
        subject=" ".join(map(node_key, bar)),
        title=f"Put the bar that joins {pins} into {part}",
        reasons=("Nothing is cut, and it is what the target has",),
        touched=bar,
    )
    yield Draft(
        kind="bridge",
        subject=" ".join(map(node_key, bar)),
        title=f"Bridge {pins} of {part} with short leads to one joint beside it",
        reasons=("Where the bar cannot be got",),
        against=("One joint more, and each cavity needs its terminal",),
        risk="The joint carries the sum of what the bar would",
        joints=1,
        works=("terminal",) * len(bar),
        touched=bar,
    )
    yield Draft(
        kind="swap part",
        subject=bar[0].part,
        title=f"Change {part} for one that has the bar",
        reasons=("Nothing is cut",),
        against=("Every lead in it is moved over: photo first",),
        works=("terminal",) * len(bar),
    )
