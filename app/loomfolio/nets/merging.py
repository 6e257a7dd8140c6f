"""Nets over all sheets: the sheets' groups, joined by what sheets share and by what the document says.

The sheets' groups are numbered through; joining works on these numbers, and pins that no sheet gives a
conductor get numbers behind them. Most groups are joined to nothing else: their nets are taken over from the
call before, as they are, where their numbers are the same.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from loomfolio.nets.mating import mate_pairs, pair_text, pins_of_halves
from loomfolio.nets.numbered import FIRST_WITHOUT_SHEET
from loomfolio.nets.records import NameClaim, Net
from loomfolio.nets.release import Confirmations
from loomfolio.nets.sheet_nets import SheetNets
from loomfolio.project import (
    JOINED_THROUGHOUT,
    InnerPin,
    Part,
    PinKey,
    Project,
    natural_order,
)


@dataclass(frozen=True, slots=True)
class _PartPins:
    """The pins that a part's own record speaks of, and its bars."""

    part: Part
    pins: frozenset[PinKey]
    bars: tuple[tuple[PinKey, ...], ...]
    claims: Mapping[PinKey, NameClaim]


@dataclass(frozen=True, slots=True)
class _SheetResult:
    """The nets of a sheet's groups as they came out, with the numbers that they rest on.

    `is_plain` tells that no group of the sheet was joined to anything, and none got a name from a record.
    """

    sheet: SheetNets
    first: int
    nets: tuple[Net, ...]
    net_by_number: Mapping[int, Net]
    net_by_pin: Mapping[PinKey, int]
    numbers: tuple[int, ...]
    is_plain: bool


@dataclass
class MergeMemory:
    """What earlier calls worked out of parts and sheets."""

    parts: dict[str, _PartPins] = field(default_factory=dict)
    sheets: dict[str, _SheetResult] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Merged:
    """The nets, the net of each conductor of each sheet, and of each pin."""

    nets: dict[int, Net]
    numbers_on: dict[str, tuple[int, ...]]
    net_by_pin: dict[PinKey, int]


def merged_nets(
    project: Project,
    sheets: Mapping[str, SheetNets],
    first_conductor: Mapping[str, int],
    confirmations: Confirmations,
    memory: MergeMemory,
) -> Merged:
    """Return the nets of a document: those with conductors in the order of these, then the rest by their pins."""
    merger = _Merger(project, sheets, memory)
    merger.join(confirmations)
    return _Numbering(merger, first_conductor, memory).nets()


class _Merger:
    """The groups of all sheets while they are joined. Nodes are numbers of groups, then of pins without one."""

    def __init__(
        self, project: Project, sheets: Mapping[str, SheetNets], memory: MergeMemory
    ) -> None:
        self.project, self.sheets = project, sheets
        self.names = list(sheets)
        self.own = list(sheets.values())
        self.start: list[int] = []
        count = 0
        for own in self.own:
            self.start.append(count)
            count += len(own.groups)
        self.group_count = count
        self.parent = list(range(count))
        self.joined: set[int] = set()
        """Nodes that are in a block with another one."""
        self.loose: dict[PinKey, int] = {}
        self._sheets_of_part: dict[str, list[int]] = {}
        for index, own in enumerate(self.own):
            for part in own.pins_of_part:
                self._sheets_of_part.setdefault(part, []).append(index)
        self.part_pins = [self._part_pins(part, memory) for part in project.parts]

    def _part_pins(self, part: Part, memory: MergeMemory) -> _PartPins:
        known = memory.parts.get(part.id)
        if known is None or known.part is not part:
            known = memory.parts[part.id] = _pins_of_part(part)
        return known

    # ------------------------------------------------------------------------------------- nodes

    def node(self, pin: PinKey) -> int:
        """Return the node of a pin: a group that it is drawn on, or a node of its own."""
        for index in self._sheets_of_part.get(pin.part, ()):
            group = self.own[index].group_of_pin.get(pin)
            if group is not None:
                return self.start[index] + group
        node = self.loose.get(pin)
        if node is None:
            node = self.loose[pin] = len(self.parent)
            self.parent.append(node)
        return node

    def root(self, node: int) -> int:
        """Return the node that stands for the block of a node."""
        parent = self.parent
        while parent[node] != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    def merge(self, nodes: Iterable[int]) -> None:
        """Put nodes into one block; the lowest one stands for it."""
        roots = {self.root(node) for node in nodes}
        if len(roots) > 1:
            first = min(roots)
            self.joined.update(roots)
            for root in roots:
                self.parent[root] = first

    # ----------------------------------------------------------------------------------- joining

    def join(self, confirmations: Confirmations) -> None:
        """Join what is the same metal over all sheets."""
        self._take_in_all_pins()
        self._join_shared_pins()
        self._join_parts()
        self._join_links(confirmations)
        for pair in self._mated_pairs(confirmations):
            self.merge(map(self.node, pair))
        for lead in self.project.leads:
            if lead.known.is_sure:
                self.merge(map(self.node, lead.ends))

    def _take_in_all_pins(self) -> None:
        """Give a node to every pin that the document speaks of and no sheet gives a conductor."""
        for own in self.own:
            for pin in own.bare:
                self.node(pin)
        for told in self.part_pins:
            if told.pins:
                drawn = [
                    self.own[index].pins for index in self._sheets_of_part.get(told.part.id, ())
                ]
                for pin in told.pins.difference(*drawn):
                    self.node(pin)
        for pin in _pins_of_other_records(self.project):
            self.node(pin)

    def _join_shared_pins(self) -> None:
        """The same pin on two sheets is one."""
        for part, indices in self._sheets_of_part.items():
            if len(indices) < 2:
                continue
            seen: dict[PinKey, int] = {}
            for index in indices:
                own = self.own[index]
                for pin in own.pins_of_part[part]:
                    group = own.group_of_pin.get(pin)
                    if group is not None:
                        node = self.start[index] + group
                        other = seen.setdefault(pin, node)
                        if other != node:
                            self.merge((other, node))

    def _join_parts(self) -> None:
        """What parts join inside: bars, and everything of a splice or a ground point."""
        throughout: dict[str, list[int]] = {
            part.id: [] for part in self.project.parts if part.kind in JOINED_THROUGHOUT
        }
        for part, nodes in throughout.items():
            for index in self._sheets_of_part.get(part, ()):
                nodes.extend(map(self.node, self.own[index].pins_of_part[part]))
        for pin, node in self.loose.items():
            if pin.part in throughout:
                throughout[pin.part].append(node)
        for nodes in throughout.values():
            self.merge(nodes)
        for told in self.part_pins:
            for bar in told.bars:
                self.merge(map(self.node, bar))

    def _join_links(self, confirmations: Confirmations) -> None:
        index_of = {name: index for index, name in enumerate(self.names)}
        for link in self.project.links:
            if link.b is None or not confirmations.is_link_confirmed(link):
                continue
            ends = ((link.a.sheet, "a"), (link.b.sheet, "b"))
            nodes = [self._link_node(index_of[sheet], link.id, side) for sheet, side in ends]
            if None not in nodes:
                self.merge(node for node in nodes if node is not None)

    def _link_node(self, index: int, link: str, side: str) -> int | None:
        own = self.own[index]
        conductor = own.graph.link_snaps[link, side].conductor
        return None if conductor is None else self.start[index] + own.group_of_conductor[conductor]

    def _mated_pairs(self, confirmations: Confirmations) -> Iterator[tuple[PinKey, PinKey]]:
        by_half = pins_of_halves(self.project, self.all_pins())
        for mate in self.project.mates:
            for pair in mate_pairs(mate, by_half):
                if confirmations.is_mate_confirmed(mate, pair_text(pair)):
                    yield mate.a.pin(pair.a), mate.b.pin(pair.b)

    def all_pins(self) -> Iterator[PinKey]:
        """Yield every pin, those of several sheets more than once."""
        for own in self.own:
            yield from own.group_of_pin
        yield from self.loose


def _pins_of_part(part: Part) -> _PartPins:
    cavities = {
        PinKey(part=part.id, connector=connector.name, half=half.name, pin=cavity.pin): cavity
        for connector in part.connectors
        for half in connector.halves
        for cavity in half.cavities
    }
    ways = [(way.relation, tuple(_outer(part.id, pin) for pin in way.pins)) for way in part.ways]
    return _PartPins(
        part=part,
        pins=frozenset({*cavities, *(pin for _, pins in ways for pin in pins)}),
        bars=tuple(pins for relation, pins in ways if relation == "joined"),
        claims={
            pin: NameClaim(cavity.name, part.id, cavity.known)
            for pin, cavity in cavities.items()
            if cavity.name
        },
    )


def _outer(part: str, pin: InnerPin) -> PinKey:
    return PinKey(part=part, connector=pin.connector, half=pin.half, pin=pin.pin)


def _pins_of_other_records(project: Project) -> Iterator[PinKey]:
    for mate in project.mates:
        yield from (mate.a.pin(pair.a) for pair in mate.pairs)
        yield from (mate.b.pin(pair.b) for pair in mate.pairs)
    for lead in project.leads:
        yield from lead.ends
    for group in project.groups:
        for ends in (*group.pins, group.screen_ends):
            yield from ends


# ---------------------------------------------------------------------------------------- numbering


class _Numbering:
    """Makes the nets out of the blocks, taking over what is the same as in the call before."""

    def __init__(
        self, merger: _Merger, first_conductor: Mapping[str, int], memory: MergeMemory
    ) -> None:
        self._merger, self._first, self._memory = merger, first_conductor, memory
        self._loose = list(merger.loose)
        self._claims = self._claims_of_records()
        self._members: dict[int, list[int]] = {}
        for node in self._involved():
            self._members.setdefault(merger.root(node), []).append(node)
        self._joined_sheets = {
            bisect_right(merger.start, node) - 1
            for members in self._members.values()
            for node in members
            if node < merger.group_count
        }
        self._claimed_parts = {pin.part for pin in self._claims}
        self._numbers: dict[int, int] = {}
        self._next_loose = FIRST_WITHOUT_SHEET
        self._nets: dict[int, Net] = {}
        self._numbers_on: dict[str, tuple[int, ...]] = {}
        self._net_by_pin: dict[PinKey, int] = {}

    def _involved(self) -> list[int]:
        """The nodes of blocks of more than one node, in order."""
        merger = self._merger
        found = set(merger.joined)
        found.update(merger.root(node) for node in merger.joined)
        return sorted(found)

    def _claims_of_records(self) -> dict[PinKey, list[NameClaim]]:
        claims: dict[PinKey, list[NameClaim]] = {}
        for told in self._merger.part_pins:
            for pin, claim in told.claims.items():
                claims.setdefault(pin, []).append(claim)
        for lead in self._merger.project.leads:
            if lead.name:
                claim = NameClaim(lead.name, lead.id, lead.known)
                claims.setdefault(lead.ends[0], []).append(claim)
        return claims

    def nets(self) -> Merged:
        """Return all nets."""
        kept: dict[str, _SheetResult] = {}
        for index, name in enumerate(self._merger.names):
            kept[name] = self._take_sheet(index, name)
        self._memory.sheets = kept
        self._take_loose()
        return Merged(self._nets, self._numbers_on, self._net_by_pin)

    def _take_sheet(self, index: int, name: str) -> _SheetResult:
        own, first = self._merger.own[index], self._first[name]
        before = self._memory.sheets.get(name)
        if before is not None and (before.sheet is not own or before.first != first):
            before = None
        is_plain = index not in self._joined_sheets and not self._claimed_parts & own.parts
        if before is not None and is_plain and before.is_plain:
            result = before
            self._nets.update(before.net_by_number)
        else:
            result = self._sheet_anew(index, before, is_plain=is_plain)
        self._net_by_pin.update(result.net_by_pin)
        self._numbers_on[name] = result.numbers
        return result

    def _sheet_anew(
        self, index: int, before: _SheetResult | None, *, is_plain: bool
    ) -> _SheetResult:
        own, first = self._merger.own[index], self._first[self._merger.names[index]]
        nets: list[Net] = []
        is_same = before is not None
        for number, _ in enumerate(own.groups):
            known = None if before is None else before.nets[number]
            net = self._net_of_group(index, number, known)
            nets.append(net)
            is_same = is_same and known is not None and net.number == known.number
        return _SheetResult(
            sheet=own,
            first=first,
            nets=tuple(nets),
            net_by_pin=before.net_by_pin if before is not None and is_same else _by_pin(own, nets),
            numbers=tuple(nets[group].number for group in own.group_of_conductor),
            net_by_number={net.number: net for net in nets},
            is_plain=is_plain,
        )

    def _net_of_group(self, index: int, group: int, known: Net | None) -> Net:
        node = self._merger.start[index] + group
        root = self._merger.root(node)
        members = self._members.get(root)
        if members is not None:
            number = self._numbers.get(root)
            return self._nets[number] if number is not None else self._made(root, members)
        own, first = self._merger.own[index], self._first[self._merger.names[index]]
        number = first + own.groups[group].conductors[0]
        claims = self._claims_of_group(index, group)
        if known is None or known.number != number or known.claims != claims:
            pins = own.groups[group].pins
            conductors = tuple(first + n for n in own.groups[group].conductors)
            sheets = (self._merger.names[index],)
            known = Net(number, _one_name(claims), claims, pins, sheets, conductors)
        self._nets[number] = known
        return known

    def _claims_of_group(self, index: int, group: int) -> tuple[NameClaim, ...]:
        own = self._merger.own[index]
        claims = own.claims.get(group, ())
        if self._claims:
            told = [c for pin in own.groups[group].pins for c in self._claims.get(pin, ())]
            return (*claims, *told) if told else claims
        return claims

    def _made(self, root: int, members: Sequence[int]) -> Net:
        """The net of a block of several nodes."""
        merger = self._merger
        pins: set[PinKey] = set()
        conductors: list[int] = []
        sheets: dict[str, None] = {}
        claims: list[NameClaim] = []
        for node in members:
            if node >= merger.group_count:
                pins.add(self._loose_pin(node))
                continue
            index = self._sheet_of(node)
            own, name = merger.own[index], merger.names[index]
            group = own.groups[node - merger.start[index]]
            pins.update(group.pins)
            conductors += [self._first[name] + number for number in group.conductors]
            sheets[name] = None
            claims += own.claims.get(node - merger.start[index], ())
        in_order = tuple(sorted(pins, key=lambda pin: pin.sort_key))
        told = (*claims, *(c for pin in in_order for c in self._claims.get(pin, ())))
        conductors.sort()
        number = conductors[0] if conductors else self._next_loose
        self._next_loose += not conductors
        self._numbers[root] = number
        net = Net(
            number,
            _one_name(told),
            told,
            in_order,
            tuple(sorted(sheets)),
            tuple(conductors),
        )
        self._nets[number] = net
        return net

    def _loose_pin(self, node: int) -> PinKey:
        return self._loose[node - self._merger.group_count]

    def _sheet_of(self, node: int) -> int:
        return bisect_right(self._merger.start, node) - 1

    def _take_loose(self) -> None:
        """The nets of pins that no sheet gives a conductor, in the order in which a person counts."""
        names = {part.id: natural_order(part.name) for part in self._merger.project.parts}
        in_order = sorted(
            self._merger.loose.items(),
            key=lambda item: (
                names[item[0].part],
                natural_order(item[0].connector),
                natural_order(item[0].half),
                natural_order(item[0].pin),
            ),
        )
        for pin, node in in_order:
            root = self._merger.root(node)
            members = self._members.get(root, [node])
            number = self._numbers.get(root)
            net = self._nets[number] if number is not None else self._made(root, members)
            self._net_by_pin[pin] = net.number


def _by_pin(own: SheetNets, nets: Sequence[Net]) -> dict[PinKey, int]:
    return {
        pin: net.number for group, net in zip(own.groups, nets, strict=True) for pin in group.pins
    }


def _one_name(claims: Sequence[NameClaim]) -> str:
    """The one claimed name; empty for none, or for several."""
    names = {claim.name for claim in claims}
    return next(iter(names)) if len(names) == 1 else ""
