"""What lies under the pointer, smallest first, so that a small thing under a large one is reached.

A repeated click at the same place goes on to the next larger thing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from loomfolio.basics import MmPoint
from loomfolio.desk.table.events import PointerEvent
from loomfolio.desk.table.geometry import distance_to_line_mm
from loomfolio.desk.table.layout import SheetPlace
from loomfolio.desk.table.scene import Scene
from loomfolio.nets import Spot
from loomfolio.project import (
    ApartMark,
    JoinMark,
    LeadMark,
    LineMark,
    Mark,
    NameMark,
    NotConductorMark,
    PinKey,
)

ThingKind = Literal[
    "pin",
    "gap",
    "name",
    "lead note",
    "join",
    "apart",
    "not conductor",
    "spot",
    "link",
    "line",
    "conductor",
    "body",
    "sheet",
]
REACH_PX = 7.0
"""How near the pointer has to be on screen. About half the diameter of a finger-tip's pointing error
with a mouse; on the paper it is never more than the limits below."""
SMALL_REACH_MM = 1.5
CONDUCTOR_REACH_MM = 3.0
"""The snapping reach of the nets room: nothing farther away could hold a mark."""


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing on a sheet: what it is, where, and whichever of the rest it has.

    `record` is the mark or link that Delete would take away; `body` the body that a pin belongs to;
    `rivals` are the conductors about as near as each other, where the pointer lies between several.
    """

    kind: ThingKind
    sheet: str
    at: MmPoint
    net: int | None = None
    conductor: int | None = None
    record: str | None = None
    pin: PinKey | None = None
    body: str | None = None
    spot: Spot | None = None
    rivals: tuple[int, ...] = ()
    gap: str | None = None
    """The key of a gap."""

    @property
    def place(self) -> SheetPlace:
        """Where it is."""
        return SheetPlace(self.sheet, self.at)


def things_under(scene: Scene, event: PointerEvent) -> tuple[Thing, ...]:
    """Return what lies under the pointer, smallest first; nothing off the sheets."""
    place = event.place
    if place is None:
        return ()
    reach = event.reach_mm(REACH_PX, SMALL_REACH_MM)
    return (
        *_nearest_first(place, _pins(scene, place, reach)),
        *_nearest_first(place, _gaps(scene, place, reach)),
        *_labelled(scene, event),
        *_nearest_first(place, _point_marks(scene, place, reach)),
        *_nearest_first(place, _spots(scene, place, reach)),
        *_nearest_first(place, _links(scene, place, 2 * reach)),
        *_lines(scene, place, reach),
        *_conductors(scene, place, event.reach_mm(REACH_PX, CONDUCTOR_REACH_MM)),
        *_bodies(scene, place, reach),
        Thing("sheet", place.sheet, place.at),
    )


def _nearest_first(place: SheetPlace, things: Iterator[Thing]) -> list[Thing]:
    return sorted(things, key=lambda thing: thing.at.distance_mm(place.at))


def _pins(scene: Scene, place: SheetPlace, reach_mm: float) -> Iterator[Thing]:
    for placed in scene.pins(place.sheet):
        if placed.anchor.at.distance_mm(place.at) <= reach_mm:
            net = scene.netlist.net_of_pin(placed.pin)
            yield Thing(
                "pin",
                place.sheet,
                placed.anchor.at,
                net=net.number if net else None,
                conductor=placed.conductor,
                pin=placed.pin,
                body=placed.body,
            )


def _gaps(scene: Scene, place: SheetPlace, reach_mm: float) -> Iterator[Thing]:
    for gap in scene.open_gaps.get(place.sheet, ()):
        if gap.place is not None and gap.place.at.distance_mm(place.at) <= reach_mm:
            yield Thing("gap", place.sheet, gap.place.at, gap=gap.key)


_POINT_KINDS: dict[type[Mark], ThingKind] = {
    NameMark: "name",
    LeadMark: "lead note",
    JoinMark: "join",
    ApartMark: "apart",
    NotConductorMark: "not conductor",
}


def _point_marks(scene: Scene, place: SheetPlace, reach_mm: float) -> Iterator[Thing]:
    for mark in scene.marks.get(place.sheet, ()):
        if (
            isinstance(mark, JoinMark | ApartMark | NotConductorMark | LeadMark)
            and mark.at.distance_mm(place.at) <= reach_mm
        ):
            yield _of_mark(scene, _POINT_KINDS[type(mark)], mark, mark.at)


def _labelled(scene: Scene, event: PointerEvent) -> Iterator[Thing]:
    """The names whose label is drawn under the pointer."""
    for mark_id in event.labels:
        mark = scene.mark_by_id.get(mark_id)
        if isinstance(mark, NameMark):
            yield _of_mark(scene, "name", mark, mark.at)


def _of_mark(scene: Scene, kind: ThingKind, mark: Mark, at: MmPoint) -> Thing:
    conductor = scene.netlist.snap(mark.sheet, at).conductor if kind in _HOLDING else None
    net = scene.net_of(mark.sheet, conductor)
    return Thing(kind, mark.sheet, at, net=net, conductor=conductor, record=mark.id)


_HOLDING: frozenset[ThingKind] = frozenset({"name", "lead note"})


def _spots(scene: Scene, place: SheetPlace, reach_mm: float) -> Iterator[Thing]:
    for spot in scene.spots(place.sheet):
        is_askable = spot.kind != "end" or spot.is_doubt
        if is_askable and spot.at.distance_mm(place.at) <= reach_mm:
            yield Thing("spot", place.sheet, spot.at, spot=spot)


def _links(scene: Scene, place: SheetPlace, reach_mm: float) -> Iterator[Thing]:
    for end in scene.link_ends.get(place.sheet, ()):
        if end.here.distance_mm(place.at) <= reach_mm:
            held = scene.netlist.snap(place.sheet, end.here).conductor
            net = scene.net_of(place.sheet, held)
            yield Thing("link", place.sheet, end.here, net, held, record=end.link.id)


def _lines(scene: Scene, place: SheetPlace, reach_mm: float) -> Iterator[Thing]:
    for mark in scene.marks.get(place.sheet, ()):
        if isinstance(mark, LineMark) and distance_to_line_mm(place.at, mark.points) <= reach_mm:
            conductor = scene.netlist.snap(place.sheet, place.at).conductor
            net = scene.net_of(place.sheet, conductor)
            yield Thing("line", place.sheet, place.at, net, conductor, record=mark.id)


def _conductors(scene: Scene, place: SheetPlace, reach_mm: float) -> Iterator[Thing]:
    """The conductor within reach: one, or one thing with rivals where several are about as near."""
    snap = scene.netlist.snap(place.sheet, place.at, reach_mm)
    nets = {scene.net_of(place.sheet, rival) for rival in snap.rivals}
    if snap.conductor is None and len(nets) > 1:
        at = snap.at or place.at
        yield Thing("conductor", place.sheet, at, rivals=snap.rivals)
        return
    conductor = snap.conductor if snap.conductor is not None else next(iter(snap.rivals), None)
    if conductor is not None and snap.at is not None:
        net = scene.net_of(place.sheet, conductor)
        yield Thing("conductor", place.sheet, snap.at, net=net, conductor=conductor)


def _bodies(scene: Scene, place: SheetPlace, reach_mm: float) -> Iterator[Thing]:
    held = [b for b in scene.bodies_on(place.sheet) if b.box.holds(place.at, reach_mm)]
    held.sort(key=lambda body: (body.box.x1 - body.box.x0) * (body.box.y1 - body.box.y0))
    for body in held:
        yield Thing("body", place.sheet, body.box.centre, record=body.id, body=body.id)
