"""What one sheet joins by itself: its conductors and pins in groups, made once for each state of the sheet.

Everything here counts conductors from 0 on the sheet and depends on the sheet's graph alone, so that an
edit elsewhere leaves it valid; the nets over all sheets are put together from it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from loomfolio.nets.grouping import Grouping
from loomfolio.nets.pin_matching import MatchedPin
from loomfolio.nets.records import NameClaim
from loomfolio.nets.release import anchor_of
from loomfolio.nets.sheet_graph import SheetGraph
from loomfolio.project import Anchor, NameMark, PinKey

PinPlace = tuple[int, MatchedPin]
"""A node of the sheet's graph at which a pin took a conductor, and the pin as it was matched."""


@dataclass(frozen=True, slots=True)
class SheetGroup:
    """Conductors that are one piece on this sheet, and the pins on them in natural order."""

    conductors: tuple[int, ...]
    pins: tuple[PinKey, ...]


@dataclass(frozen=True, eq=False)
class SheetNets:
    """The groups of one sheet, in the order of their first conductor. `bare` pins took no conductor."""

    graph: SheetGraph
    groups: tuple[SheetGroup, ...]
    group_of_pin: Mapping[PinKey, int]
    bare: frozenset[PinKey]

    @cached_property
    def pins(self) -> frozenset[PinKey]:
        """All pins that are drawn here."""
        return frozenset(self.group_of_pin) | self.bare

    @cached_property
    def parts(self) -> frozenset[str]:
        """The parts that have pins here."""
        return frozenset(self.pins_of_part)

    @cached_property
    def pins_of_part(self) -> Mapping[str, tuple[PinKey, ...]]:
        """The pins drawn here by their part, in the order of the bodies."""
        found: dict[str, dict[PinKey, None]] = {}
        for matched in self.graph.pins:
            found.setdefault(matched.key.part, {})[matched.key] = None
        return {part: tuple(pins) for part, pins in found.items()}

    @cached_property
    def draws_a_pin_twice(self) -> bool:
        """Does a pin end two conductors here, or stand in two bodies?"""
        places = [matched.key for matched in self.graph.pins for _ in matched.nodes or (0,)]
        return len(set(places)) < len(places)

    @cached_property
    def group_of_conductor(self) -> tuple[int, ...]:
        """The group of each conductor."""
        numbers = [0] * len(self.graph.conductors)
        for number, group in enumerate(self.groups):
            for conductor in group.conductors:
                numbers[conductor] = number
        return tuple(numbers)

    @cached_property
    def claims(self) -> Mapping[int, tuple[NameClaim, ...]]:
        """The names that marks give to each group."""
        found: dict[int, list[NameClaim]] = {}
        for held in self.graph.holds:
            if isinstance(held.mark, NameMark) and held.snap.conductor is not None:
                place = anchor_of(self.graph.sheet.id, held.mark.at)
                claim = NameClaim(held.mark.name, held.mark.id, held.mark.known, place)
                found.setdefault(self.group_of_conductor[held.snap.conductor], []).append(claim)
        return {group: tuple(claims) for group, claims in found.items()}

    @cached_property
    def place_of(self) -> Mapping[PinKey, Anchor]:
        """Where each pin is drawn first on this sheet."""
        return {
            matched.key: anchor_of(self.graph.sheet.id, matched.pin.at)
            for matched in reversed(self.graph.pins)
        }

    @cached_property
    def ends_of_conductor(self) -> Mapping[int, tuple[PinPlace, ...]]:
        """The pins at the ends of each conductor."""
        found: dict[int, list[PinPlace]] = {}
        for matched in self.graph.pins:
            for node in matched.nodes:
                found.setdefault(self.graph.component[node], []).append((node, matched))
        return {conductor: tuple(places) for conductor, places in found.items()}

    @cached_property
    def conductors_of_pin(self) -> Mapping[PinKey, tuple[int, ...]]:
        """The conductors that end at each pin."""
        found: dict[PinKey, dict[int, None]] = {}
        for conductor, places in self.ends_of_conductor.items():
            for _, matched in places:
                found.setdefault(matched.key, {})[conductor] = None
        return {pin: tuple(sorted(conductors)) for pin, conductors in found.items()}


def sheet_nets(graph: SheetGraph) -> SheetNets:
    """Return the groups of a sheet: a pin that took two conductors, or that is drawn twice, joins them."""
    grouping: Grouping[int | PinKey] = Grouping()
    for number in range(len(graph.conductors)):
        grouping.add(number)
    for matched in graph.pins:
        grouping.merge((matched.key, *(graph.component[node] for node in matched.nodes)))
    groups: list[SheetGroup] = []
    bare: set[PinKey] = set()
    for things in grouping.groups():
        conductors = tuple(sorted(thing for thing in things if isinstance(thing, int)))
        pins = sorted((t for t in things if isinstance(t, PinKey)), key=lambda pin: pin.sort_key)
        if conductors:
            groups.append(SheetGroup(conductors, tuple(pins)))
        else:
            bare.update(pins)
    groups.sort(key=lambda group: group.conductors[0])
    by_pin = {pin: number for number, group in enumerate(groups) for pin in group.pins}
    return SheetNets(graph, tuple(groups), by_pin, frozenset(bare))
