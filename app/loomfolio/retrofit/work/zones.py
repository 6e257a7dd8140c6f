"""Where things lie and where leads run: zones, the shortest way between them, length, what a zone asks for.

A half lies where it is placed, else where its part is. The length of a lead is the shortest way between
the zones of its ends and an allowance; where a zone or a way is not known, it is measured on the vehicle.
The bundle through an opening has the diameter 1.2·√(sum of the squares of its leads' diameters).
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from loomfolio.electrics import Bound, Figure, Insulation, Tables, given
from loomfolio.project import PinKey, Project, Zone, ZoneWay
from loomfolio.retrofit.records import Node
from loomfolio.retrofit.work.practice import practice

MEASURE = "measure on the vehicle"


@dataclass(frozen=True, slots=True)
class LaidWay:
    """A way through zones; `length_m` is None where it has to be measured, and `reason` says why."""

    zones: tuple[str, ...]
    ways: tuple[str, ...]
    length_m: Figure | None
    reason: str


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What the zones of a lead ask for: the warmest ambient, whether one is wet, whether one shakes.

    None where not all of them say so; what one of them says is the harder condition counts at once.
    """

    ambient_c: float | None
    is_wet: bool | None
    is_shaken: bool | None


class ZoneMap:
    """The zones of a document, and where things lie in them."""

    def __init__(self, project: Project) -> None:
        self.zones: Mapping[str, Zone] = {zone.id: zone for zone in project.zones}
        self.ways: Mapping[str, ZoneWay] = {way.id: way for way in project.zone_ways}
        self._of_half = {one.half: one.zone for one in project.placements if one.half is not None}
        self._of_part = {one.part: one.zone for one in project.placements if one.half is None}
        self._next: dict[str, list[ZoneWay]] = {}
        for way in project.zone_ways:
            for zone in way.zones:
                self._next.setdefault(zone, []).append(way)

    def zone_of(self, node: Node) -> str | None:
        """Return the zone in which a pin, splice or ground point lies; None where nobody has said."""
        if isinstance(node, PinKey):
            return self._of_half.get(node.half_key) or self._of_part.get(node.part)
        return self._of_part.get(node)

    def zone_of_part(self, part: str) -> str | None:
        """Return the zone in which a part lies, or that of its only placed halves."""
        own = self._of_part.get(part)
        if own is not None:
            return own
        halves = {zone for half, zone in self._of_half.items() if half.part == part}
        return next(iter(halves)) if len(halves) == 1 else None

    def name(self, zone: str | None) -> str:
        """Return the name of a zone; empty for none."""
        return "" if zone is None else self.zones[zone].name

    def covers(self, zone: str | None) -> str:
        """Return in words what comes off before a zone can be worked in."""
        if zone is None:
            return "it is not said where it lies"
        covers = self.zones[zone].covers
        return f"take off {', '.join(covers)}" if covers else "open already"

    def shortest(self, start: str, end: str) -> tuple[ZoneWay, ...] | None:
        """Return the shortest way between two zones; empty within one, None where none leads there.

        Of two ways of one length the one over the earlier names is taken.
        """
        heap: list[tuple[float, tuple[str, ...], str]] = [(0.0, (), start)]
        done: set[str] = set()
        while heap:
            length, path, zone = heapq.heappop(heap)
            if zone == end:
                return tuple(self.ways[one] for one in path)
            if zone in done:
                continue
            done.add(zone)
            for way in self._next.get(zone, ()):
                other = way.zones[1] if way.zones[0] == zone else way.zones[0]
                if other not in done:
                    heapq.heappush(heap, (length + way.length_m, (*path, way.id), other))
        return None

    def between(self, a: str | None, b: str | None) -> LaidWay:
        """Return how a lead runs between two zones, and how long it gets with its allowance."""
        if a is None or b is None:
            known = tuple(zone for zone in (a, b) if zone is not None)
            return LaidWay(known, (), None, f"{MEASURE}: it is not said where both ends lie")
        found = self.shortest(a, b)
        if found is None:
            why = f"{MEASURE}: no way leads from {self.name(a)} to {self.name(b)}"
            return LaidWay((a, b), (), None, why)
        zones = [a]
        for way in found:
            zones.append(way.zones[1] if way.zones[0] == zones[-1] else way.zones[0])
        return LaidWay(tuple(zones), tuple(way.id for way in found), _length(found), "")

    def surroundings(self, zones: Iterable[str]) -> Surroundings:
        """Return what some zones together ask for; of no zone nothing is known."""
        own = [self.zones[zone] for zone in zones]
        ambients = [zone.ambient_c for zone in own if zone.ambient_c is not None]
        is_whole = len(ambients) == len(own)
        return Surroundings(
            ambient_c=max(ambients) if ambients and is_whole else None,
            is_wet=_any_known([zone.is_wet for zone in own]),
            is_shaken=_any_known(
                [None if z.vibration is None else z.vibration == "high" for z in own]
            ),
        )


def _any_known(values: Sequence[bool | None]) -> bool | None:
    if any(values):
        return True
    return None if None in values or not values else False


def _length(ways: Sequence[ZoneWay]) -> Figure:
    end, inside = practice("service allowance at each end"), practice("way inside one zone")
    parts = [given(way.label or "way", way.length_m, "m") for way in ways]
    total = sum(part.value for part in parts) + 2 * end.value + inside.value
    formula = (
        "ways + way inside the zones + 2 · allowance" if ways else "way inside + 2 · allowance"
    )
    return Figure("length of the lead", round(total, 3), "m", formula, (*parts, inside, end))


def insulation_for(surroundings: Surroundings, tables: Tables) -> tuple[Insulation | None, str]:
    """Return the plainest insulation that stands the zones of a lead, and why.

    The plainest is the one with the lowest limit that leaves room above the warmest ambient. None, where
    no ambient is known or none stands it.
    """
    if surroundings.ambient_c is None:
        return None, "The ambient of its zones is not known"
    room = practice("room of an insulation above the ambient")
    least_c = surroundings.ambient_c + room.value
    rising = sorted(tables.insulations, key=lambda one: (one.limit_c.value, one.name))
    vehicle = [one for one in rising if one.limit_c.value >= max(least_c, _LEAST_CLASS_C)]
    why = f"{surroundings.ambient_c:g} °C and {room.value:g} K of room"
    if not vehicle:
        return None, f"No insulation of the table stands {why}"
    return vehicle[0], f"the plainest that stands {why}"


_LEAST_CLASS_C = 100.0
"""Vehicle leads are bought from class B (ISO 6722: 100 °C) upward; building cable is none."""


def bundle_diameter(outsides: Sequence[Figure]) -> Figure:
    """Return the diameter of leads that are laid together, in mm; zero for none."""
    factor = practice("diameter of a bundle over the root of the sum of squares")
    root = math.sqrt(sum(outside.value**2 for outside in outsides))
    value = root * factor.value if len(outsides) > 1 else root
    return Figure("bundle", value, "mm", "1.2 · √(sum of the squares)", (factor, *outsides))


def opening_bound(bundle: Figure, bore_mm: float) -> Bound:
    """Return a bundle held against the bore that it has to pass."""
    share = practice("greatest bundle over the bore of an opening")
    bore = given("bore", bore_mm, "mm")
    limit = Figure(
        "room for the bundle", bore.value * share.value, "mm", "bore · share", (bore, share)
    )
    return Bound("bundle through the opening", bundle, limit, "at most")
