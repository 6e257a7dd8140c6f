"""Where the pointer takes hold while something is drawn: at ends, conductors, or level with a point.

What it takes hold of is said in words. Where two conductors are about as near, it holds on to neither
and says so; Ctrl lets go of everything. Reaches are px on screen, so that zooming in is the way to be
exact, and never more than the snapping reach of the nets room on the paper.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from loomfolio.basics import MmPoint
from loomfolio.desk.table.events import PointerEvent
from loomfolio.desk.table.geometry import foot_on_lines
from loomfolio.desk.table.layout import SheetPlace
from loomfolio.desk.table.scene import Scene
from loomfolio.nets import DrawnConductor

SNAP_REACH_PX = 10.0
ON_LINE_MM = 0.05
"""A place this near to a conductor lies on it: far less than any printed stroke."""

RIVAL_ENDS_MM = 0.4
"""A second end less than this much farther away is about as near (the margin of the nets room)."""

CLEAR_STEP_MM, CLEAR_REACH_MM = 0.5, 12.0
"""How finely and how far along a conductor a place is looked for that no other conductor disputes."""


@dataclass(frozen=True, slots=True)
class Grip:
    """The place that the pointer takes hold of, and in words what it is.

    `rivals` are conductors about as near as each other; a person has to say which one is meant.
    """

    place: SheetPlace
    says: str
    conductor: int | None = None
    rivals: tuple[int, ...] = ()


def grip(scene: Scene, event: PointerEvent, before: MmPoint | None = None) -> Grip | None:
    """Return what the pointer holds on to; None off the sheets.

    `before` is the last point of a line being drawn: places level with it or straight above or below
    it are taken too.
    """
    if event.place is None:
        return None
    sheet_id, at = event.place
    if event.held.ctrl:
        return Grip(event.place, "free")
    reach = event.reach_mm(SNAP_REACH_PX)
    end = _nearest_end(scene, sheet_id, at, reach)
    if end is not None:
        return end
    snap = scene.netlist.snap(sheet_id, at, reach)
    if snap.conductor is not None and snap.at is not None:
        return _on_conductor(scene, SheetPlace(sheet_id, snap.at), snap.conductor, before, reach)
    nets = {scene.net_of(sheet_id, rival) for rival in snap.rivals}
    if len(nets) > 1:
        return Grip(
            SheetPlace(sheet_id, snap.at or at), "between two conductors", None, snap.rivals
        )
    if snap.rivals and snap.at is not None:
        return Grip(SheetPlace(sheet_id, snap.at), "conductor", snap.rivals[0])
    return _level(event.place, before, reach)


def _nearest_end(scene: Scene, sheet_id: str, at: MmPoint, reach_mm: float) -> Grip | None:
    """The nearest open end; two ends of different nets about as near are rivals."""
    near = sorted(
        (end for end in scene.ends(sheet_id) if end.at.distance_mm(at) <= reach_mm),
        key=lambda end: end.at.distance_mm(at),
    )
    if not near:
        return None
    best = near[0]
    limit = best.at.distance_mm(at) + RIVAL_ENDS_MM
    as_near = {end.conductor: end for end in reversed(near) if end.at.distance_mm(at) <= limit}
    if len({scene.net_of(sheet_id, conductor) for conductor in as_near}) > 1:
        place = SheetPlace(sheet_id, best.at)
        return Grip(place, "between two ends", None, tuple(sorted(as_near)))
    return Grip(SheetPlace(sheet_id, best.at), "end of a conductor", best.conductor)


def _on_conductor(
    scene: Scene, place: SheetPlace, conductor: int, before: MmPoint | None, reach_mm: float
) -> Grip:
    """On the conductor, if need be where it crosses the level of the point before."""
    if before is not None:
        for at, words in (
            (MmPoint(before.x, place.at.y), "straight from the last point"),
            (MmPoint(place.at.x, before.y), "level with the last point"),
        ):
            if at.distance_mm(place.at) <= reach_mm:
                found = scene.netlist.snap(place.sheet, at, ON_LINE_MM)
                if found.conductor == conductor:
                    return Grip(SheetPlace(place.sheet, at), f"conductor, {words}", conductor)
    return Grip(place, "conductor", conductor)


def _level(place: SheetPlace, before: MmPoint | None, reach_mm: float) -> Grip:
    sheet_id, at = place
    if before is not None and abs(at.x - before.x) <= reach_mm:
        return Grip(SheetPlace(sheet_id, MmPoint(before.x, at.y)), "straight from the last point")
    if before is not None and abs(at.y - before.y) <= reach_mm:
        return Grip(SheetPlace(sheet_id, MmPoint(at.x, before.y)), "level with the last point")
    return Grip(place, "free")


def held_place(scene: Scene, place: SheetPlace, conductor: int) -> SheetPlace:
    """Return a place on a conductor, as near as can be, that no other conductor disputes.

    A mark that is put exactly on a crossing would belong to either line; a few tenths of a mm along the
    one that was pointed at, it belongs to that one. Where the whole conductor is disputed, the
    nearest point of it comes back.
    """
    drawn = scene.conductors(place.sheet).get(conductor)
    if drawn is None:
        return place
    near = foot_on_lines(place.at, drawn.lines)
    for at in _outwards(drawn, near):
        if scene.netlist.snap(place.sheet, at).conductor == conductor:
            return SheetPlace(place.sheet, at)
    return SheetPlace(place.sheet, near)


def _outwards(drawn: DrawnConductor, near: MmPoint) -> list[MmPoint]:
    """Points of a conductor's lines within reach, nearest first."""
    points = [near]
    for line in drawn.lines:
        for a, b in pairwise(line):
            length = a.distance_mm(b)
            count = max(int(length / CLEAR_STEP_MM), 1)
            for step in range(count + 1):
                share = step / count
                at = MmPoint(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share)
                if at.distance_mm(near) <= CLEAR_REACH_MM:
                    points.append(at)
    return sorted(points, key=near.distance_mm)
