"""Screens: at ground where they are drawn, and only there.

A screen is a cable group with stated ends. An end is at ground where its net holds a ground point. Whether
one end or both belong to ground is for the maker to say; what counts is that it is so as drawn.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomfolio.nets import Netlist
from loomfolio.project import CableGroup, PinKey


@dataclass(frozen=True, slots=True)
class ScreenEnd:
    """A stated end of a screen, and the ground points on its net by name."""

    pin: PinKey
    grounds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ScreenCheck:
    """A screen with its ends. `references` are the references at which its ends stand."""

    group: CableGroup
    ends: tuple[ScreenEnd, ...]
    references: tuple[str, ...]

    @property
    def grounded(self) -> tuple[ScreenEnd, ...]:
        """The ends that are at ground."""
        return tuple(end for end in self.ends if end.grounds)


def screen_checks(netlist: Netlist) -> tuple[ScreenCheck, ...]:
    """Return each screen with where it is at ground."""
    parts = {part.id: part for part in netlist.project.parts}
    names = {reference.id: reference.name for reference in netlist.project.references}

    def of_group(group: CableGroup) -> Iterator[tuple[ScreenEnd, set[str]]]:
        for pin in group.screen_ends:
            net = netlist.net_of_pin(pin)
            points = [parts[p.part] for p in (net.pins if net is not None else ())]
            grounds = {p.name: p for p in points if p.kind == "ground point"}
            references = {names[p.reference] for p in grounds.values() if p.reference in names}
            yield ScreenEnd(pin, tuple(sorted(grounds))), references

    found = []
    for group in netlist.project.groups:
        if group.kind == "screen":
            told = list(of_group(group))
            references = {name for _, names_of in told for name in names_of}
            ends = tuple(end for end, _ in told)
            found.append(ScreenCheck(group, ends, tuple(sorted(references))))
    return tuple(found)
