"""What a vehicle is equipped with, as its documents say in one fit: the two sides of the comparison.

An `Equipment` says what is there: parts, halves, leads, bars, mates, cable groups. It speaks of pins and of
what is joined, not of drawn lines, so that two documents that draw the same net in two ways agree.
All pins of a splice or ground point are one node.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TypeVar

from loomfolio.nets import MapRow, Netlist, conditional_records, connector_map
from loomfolio.project import (
    JOINED_THROUGHOUT,
    Anchor,
    BodyMark,
    CableGroup,
    HalfKey,
    HalfState,
    InnerPin,
    LeadColour,
    PartKind,
    PinKey,
    natural_order,
    option_names,
    parse,
)
from loomfolio.retrofit.drawn_leads import KeptLeads
from loomfolio.retrofit.lead_table import LeadTable
from loomfolio.retrofit.nodes import ends_of, node_order
from loomfolio.retrofit.records import Ends, Node

_T = TypeVar("_T")


Bar = tuple[PinKey, ...]
"""The pins that a bar joins, in order."""
MatedHalves = tuple[HalfKey, HalfKey]


FOUND = " as found"
"""What stands behind the id of a splice of the vehicle that has other legs than the target's of that id."""


@dataclass(frozen=True, eq=False)
class Equipment:
    """What is there. `halves` tells the state of each half that is there, a dummy or bridge plug included.

    `hubs` are the splices and ground points by their part's id, and drawn joints that are no named splice by a
    name of their own; those that only the other side has are included.
    `undetermined` names what is there only if an option is built in of which the fit says nothing:
    parts, halves, leads (by their ends) and bars; `open_options` are these options.
    """

    fit_name: str
    part_names: Mapping[str, str]
    part_kinds: Mapping[str, PartKind]
    hubs: Mapping[str, PartKind]
    halves: Mapping[HalfKey, HalfState]
    leads: LeadTable
    bars: Mapping[Bar, str]
    mates: Mapping[MatedHalves, tuple[tuple[PinKey, PinKey], ...]]
    inner: Mapping[PinKey, tuple[PinKey, ...]] = field(default_factory=dict)
    """For each pin the pins that it reaches inside its part through what passes or loads."""
    groups: tuple[CableGroup, ...] = ()
    places: Mapping[PinKey, Anchor] = field(default_factory=dict)
    pins: Collection[PinKey] = frozenset()
    """All pins that the documents speak of, those without a lead included."""
    signals: Mapping[PinKey, str] = field(default_factory=dict)
    """The name of each pin's net, where it has one."""
    sheet_titles: Mapping[str, str] = field(default_factory=dict)
    loose: frozenset[PinKey] = frozenset()
    """Pins with a lead of which the documents do not say where it goes."""
    undetermined: frozenset[object] = frozenset()
    open_options: tuple[str, ...] = ()

    def node(self, pin: PinKey) -> Node:
        """Return the node of a pin: itself, or the splice or ground point that it belongs to."""
        return pin.part if pin.part in self.hubs else pin

    def ends(self, a: PinKey, b: PinKey) -> Ends:
        """Return the two ends of a lead in their fixed order."""
        return ends_of(self.node(a), self.node(b))

    def leads_between(self, a: PinKey, b: PinKey) -> tuple[Ends, ...]:
        """Return the lead between two pins, or their two legs where they meet at a drawn joint; else none."""
        ends = self.ends(a, b)
        if ends in self.leads:
            return (ends,)
        legs = [self.leads_at.get(node, ()) for node in ends]
        joints = [{n for leg in own for n in leg if self.is_splice(n)} for own in legs]
        shared = sorted(joints[0] & joints[1], key=node_order)
        return tuple(ends_of(node, shared[0]) for node in ends) if shared else ()

    def is_splice(self, node: Node) -> bool:
        """Is it a splice: metal that no one can tell from the lead that it lies in?"""
        return isinstance(node, str) and self.hubs.get(node) == "splice"

    def half_text(self, half: HalfKey) -> str:
        """Return a half as a person writes it."""
        connector = f" {half.connector}" if half.connector else ""
        return f"{self.part_names[half.part]}{connector}{'.' + half.half if half.half else ''}"

    def text(self, node: Node) -> str:
        """Return a node as a person writes it: `E7 C1:12`, or the splice's name."""
        if isinstance(node, str):
            return self.part_names[node]
        return f"{self.half_text(node.half_key)}:{node.pin}"

    @property
    def leads_at(self) -> Mapping[Node, tuple[Ends, ...]]:
        """The leads that end at each node."""
        return self.leads.at

    @cached_property
    def bars_at(self) -> Mapping[Node, tuple[Bar, ...]]:
        """The bars that each pin lies on."""
        return _by_node((bar, bar) for bar in self.bars)

    @cached_property
    def mated_at(self) -> Mapping[PinKey, tuple[PinKey, ...]]:
        """The pins that each pin meets, where both halves are there and free to be mated."""
        found: dict[PinKey, list[PinKey]] = {}
        for (half_a, half_b), pairs in self.mates.items():
            if self.halves.get(half_a) == self.halves.get(half_b) == "there":
                for a, b in pairs:
                    found.setdefault(a, []).append(b)
                    found.setdefault(b, []).append(a)
        return {pin: tuple(others) for pin, others in found.items()}

    def neighbours(self, node: Node) -> Iterable[Node]:
        """Yield what is joined directly to a node: by a lead, a bar or a mated contact."""
        for a, b in self.leads_at.get(node, ()):
            yield b if a == node else a
        for bar in self.bars_at.get(node, ()):
            yield from (pin for pin in bar if pin != node)
        if isinstance(node, PinKey):
            yield from self.mated_at.get(node, ())

    def speaking_of(self, other: Equipment) -> Equipment:
        """Return the same with the names, splices and ground points of another side known, too."""
        return replace(
            self,
            part_names={**other.part_names, **self.part_names},
            hubs={**other.hubs, **self.hubs},
        )

    def telling_splices_apart(self, target: Equipment) -> Equipment:
        """Return the same with splices that have other legs than the target's under names of their own.

        That two documents call a splice alike says little: what counts is which leads meet there.
        """
        names = {hub: self._free_name(hub) for hub in self._other_splices(target)}
        if not names:
            return self
        renamed = dict.fromkeys(ends for hub in names for ends in self.leads_at[hub])
        leads = {
            ends_of(*(names.get(n, n) if isinstance(n, str) else n for n in ends)): self.leads[ends]
            for ends in renamed
        }
        return replace(
            self,
            leads=self.leads.changed(gone=renamed, new=leads),
            hubs={**self.hubs, **{new: self.hubs[old] for old, new in names.items()}},
            part_names={
                **self.part_names,
                **{new: self.part_names[old] for old, new in names.items()},
            },
        )

    def _other_splices(self, target: Equipment) -> list[str]:
        """The splices with other legs than the target's, and all that are joined to one of these."""
        found: dict[str, None] = {}
        reached: set[str] = set()
        rest = [
            hub
            for hub, kind in self.hubs.items()
            if kind == "splice"
            and (legs := self.leads_at.get(hub))
            and set(legs) != set(target.leads_at.get(hub, ()))
        ]
        while rest:
            splice = rest.pop()
            reached.add(splice)
            if splice in target.part_kinds:
                found[splice] = None
            rest.extend(
                other
                for other in self.neighbours(splice)
                if isinstance(other, str) and self.is_splice(other) and other not in reached
            )
        return list(found)

    def _free_name(self, splice: str) -> str:
        name = splice + FOUND
        while name in self.hubs:
            name += FOUND
        return name

    def knows(self, node: Node) -> bool:
        """Does it hold the splice or ground point, or the half that the pin sits in?"""
        return node in self.part_kinds if isinstance(node, str) else node.half_key in self.halves


def is_other_colour(drawn: LeadColour | None, found: LeadColour | None) -> bool:
    """Do two notes of a lead's colour contradict each other? What is not known contradicts nothing."""
    if drawn is None or found is None:
        return False
    if drawn.base and found.base:
        return (drawn.base, drawn.stripe) != (found.base, found.stripe)
    return "".join(drawn.text.split()).casefold() != "".join(found.text.split()).casefold()


def bar_name(label: str) -> str:
    """Return what a bar is called: labels often say that it is one."""
    return label if "bar" in label.casefold() else f"bar {label}".strip()


def _by_node(pairs: Iterable[tuple[Sequence[Node], _T]]) -> dict[Node, tuple[_T, ...]]:
    found: dict[Node, list[_T]] = {}
    for nodes, thing in pairs:
        for node in dict.fromkeys(nodes):
            found.setdefault(node, []).append(thing)
    return {node: tuple(things) for node, things in found.items()}


def equipment_of(
    netlist: Netlist,
    rows: Sequence[MapRow] | None = None,
    *,
    certain: Equipment | None = None,
    kept: KeptLeads | None = None,
) -> Equipment:
    """Return what the documents say is there in the fit of a netlist.

    Parameters
    ----------
    rows
        The connector map of the netlist, where it is at hand.
    certain
        The same without what the fit leaves undetermined; None where it leaves nothing open.
    kept
        What earlier calls for the same fit made of the rows; it is brought up to date.
    """
    project = netlist.project
    found = Equipment(
        fit_name=netlist.fit.name if netlist.fit is not None else "",
        part_names={part.id: part.name for part in project.parts},
        part_kinds={part.id: part.kind for part in project.parts},
        hubs={part.id: part.kind for part in project.parts if part.kind in JOINED_THROUGHOUT},
        halves=dict.fromkeys(_documented_halves(netlist), "there"),
        leads=LeadTable(),
        bars=_bars(netlist),
        mates=_mates(netlist),
        inner=_inner(netlist),
        groups=project.groups,
        places=netlist.place_of,
        pins=netlist.net_by_pin.keys(),
        signals={pin: net.name for net in netlist.nets if net.name for pin in net.pins},
        sheet_titles={sheet.id: sheet.title for sheet in project.sheets},
        open_options=_open_options(netlist) if certain is not None else (),
    )
    map_rows = connector_map(netlist) if rows is None else rows
    told = (kept or KeptLeads()).leads_of(map_rows, found.hubs, found.sheet_titles)
    joints = {
        joint: f"the joint of {', '.join(found.text(pin) for pin in pins)}"
        for joint, pins in told.joints.items()
    }
    found = replace(
        found,
        leads=told.leads,
        loose=told.loose,
        hubs={**found.hubs, **dict.fromkeys(joints, "splice")},
        part_names={**found.part_names, **joints},
    )
    return found if certain is None else _with_doubts(found, certain)


def _documented_halves(netlist: Netlist) -> Iterable[HalfKey]:
    """The halves that are drawn, listed or have a known pin; to be named in the scope makes none."""
    project = netlist.project
    yield from (mark.half_key for mark in project.marks if isinstance(mark, BodyMark))
    for mate in project.mates:
        yield from (half for half in (mate.a, mate.b) if mate.pairs)
    yield from (pin.half_key for lead in project.leads for pin in lead.ends)
    for group in project.groups:
        yield from (pin.half_key for ends in (*group.pins, group.screen_ends) for pin in ends)
    for part in project.parts:
        yield from (_outer(part.id, pin).half_key for way in part.ways for pin in way.pins)
        for connector in part.connectors:
            for half in connector.halves:
                yield HalfKey(part=part.id, connector=connector.name, half=half.name)


def _inner(netlist: Netlist) -> dict[PinKey, tuple[PinKey, ...]]:
    found: dict[PinKey, list[PinKey]] = {}
    for part in netlist.project.parts:
        for way in part.ways:
            if way.relation != "joined":
                a, b = (_outer(part.id, pin) for pin in way.pins)
                found.setdefault(a, []).append(b)
                found.setdefault(b, []).append(a)
    return {pin: tuple(others) for pin, others in found.items()}


def _outer(part: str, pin: InnerPin) -> PinKey:
    return PinKey(part=part, connector=pin.connector, half=pin.half, pin=pin.pin)


def _bars(netlist: Netlist) -> dict[Bar, str]:
    return {
        tuple(_outer(part.id, pin) for pin in way.pins): way.label
        for part in netlist.project.parts
        for way in part.ways
        if way.relation == "joined"
    }


def _mates(netlist: Netlist) -> dict[MatedHalves, tuple[tuple[PinKey, PinKey], ...]]:
    pairs: dict[MatedHalves, list[tuple[PinKey, PinKey]]] = {}
    for pin, others in netlist.mated.items():
        for other, mate, _ in others:
            if pin.half_key == mate.a:
                pairs.setdefault((mate.a, mate.b), []).append((pin, other))
    return {halves: tuple(found) for halves, found in pairs.items()}


def _open_options(netlist: Netlist) -> tuple[str, ...]:
    """The options that conditions of the document name, and of which the fit says nothing."""
    fit = netlist.fit
    said = (
        set()
        if fit is None
        else {name.casefold() for name in (*fit.options_with, *fit.options_without)}
    )
    conditions = {record.when for record in conditional_records(netlist.project) if record.when}
    names = {name for condition in conditions for name in option_names(parse(condition))}
    return tuple(sorted((name for name in names if name.casefold() not in said), key=natural_order))


def _with_doubts(found: Equipment, certain: Equipment) -> Equipment:
    """Mark what is there only if an open option is built in."""
    undetermined: set[object] = {
        *(ends for ends in found.leads if ends not in certain.leads),
        *(part for part in found.part_kinds if part not in certain.part_kinds),
        *(half for half in found.halves if half not in certain.halves),
        *(bar for bar in found.bars if bar not in certain.bars),
    }
    new = {
        ends: replace(lead, is_undetermined=True)
        for ends, lead in found.leads.items()
        if ends in undetermined
    }
    leads = found.leads.changed(gone=(), new=new)
    return replace(found, leads=leads, undetermined=frozenset(undetermined))
