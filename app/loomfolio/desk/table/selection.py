"""What is selected, and how it is found again after the document has changed.

Numbers of nets and conductors mean something inside one netlist only, so a selection is carried over
by what stays: a pin, a mark, or a place on the paper.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from loomfolio.basics import MmPoint
from loomfolio.desk.table.layout import LaidSheet, SheetPlace, TableBox
from loomfolio.desk.table.preview import BodyDraft, NameDraft
from loomfolio.desk.table.scene import Scene
from loomfolio.desk.table.snapping import ON_LINE_MM, held_place
from loomfolio.desk.table.things import Thing
from loomfolio.nets import DrawnConductor
from loomfolio.project import BodyMark, NameMark


@dataclass(frozen=True, slots=True)
class Selection:
    """The selected net, and the thing through which it was selected (none when a ledger did it)."""

    net: int | None = None
    thing: Thing | None = None

    @property
    def record(self) -> str | None:
        """The mark or link that Delete would take away."""
        return self.thing.record if self.thing else None


NOTHING = Selection()


def carried(selection: Selection, old: Scene, new: Scene) -> Selection:
    """Return the same selection in a changed document; nothing where what was selected is gone."""
    if selection.thing is not None:
        thing = _carried_thing(selection.thing, new)
        return Selection(thing.net, thing) if thing else NOTHING
    net = old.net(selection.net)
    if net is None:
        return NOTHING
    for pin in net.pins:
        found = new.netlist.net_of_pin(pin)
        if found is not None:
            return Selection(found.number)
    place = _some_place(old, net.number, None)
    return Selection(_net_at(new, place)) if place else NOTHING


def _carried_thing(thing: Thing, new: Scene) -> Thing | None:
    if new.layout.get(thing.sheet) is None:
        return None
    if thing.record is not None and not _has_record(new, thing.record):
        return None
    if thing.pin is not None:
        net = new.netlist.net_of_pin(thing.pin)
        return replace(thing, net=net.number, conductor=None) if net else None
    if thing.net is None:
        return thing
    conductor = new.netlist.snap(thing.sheet, thing.at).conductor
    found = new.net_of(thing.sheet, conductor)
    return None if found is None else replace(thing, net=found, conductor=conductor)


def _has_record(scene: Scene, record: str) -> bool:
    return record in scene.mark_by_id or any(link.id == record for link in scene.project.links)


def _net_at(scene: Scene, place: SheetPlace) -> int | None:
    snap = scene.netlist.snap(place.sheet, place.at, ON_LINE_MM)
    return scene.net_of(place.sheet, snap.conductor)


def name_draft(
    scene: Scene, selection: Selection, window: TableBox, typed: str = ""
) -> NameDraft | None:
    """Return where and what to type as the name of the selected net; None where it is drawn nowhere.

    The one name mark that the net has is the one that changes. `typed` replaces what stands there.
    """
    net = scene.net(selection.net)
    if net is None:
        return None
    thing = selection.thing
    marks = scene.name_marks_of(net.number)
    chosen = scene.mark_by_id.get(thing.record) if thing and thing.record else None
    mark = chosen if isinstance(chosen, NameMark) else (marks[0] if len(marks) == 1 else None)
    place = _place_to_name(scene, selection, net.number, window)
    if place is None:
        return None
    now = mark.name if mark else net.name
    return NameDraft(place, typed or now, mark.id if mark else None, is_typed=bool(typed))


def _place_to_name(
    scene: Scene, selection: Selection, net: int, window: TableBox
) -> SheetPlace | None:
    thing = selection.thing
    if thing is not None and thing.kind == "name":
        return thing.place
    if thing is not None and thing.conductor is not None:
        return held_place(scene, thing.place, thing.conductor)
    return _some_place(scene, net, window)


def _some_place(scene: Scene, net: int, window: TableBox | None) -> SheetPlace | None:
    """A place in the middle of the net's longest straight piece, in view if any of it is."""
    best: tuple[tuple[bool, float], LaidSheet, MmPoint, DrawnConductor] | None = None
    for laid in scene.layout.sheets:
        for conductor in scene.conductors(laid.id).values():
            for line in conductor.lines if conductor.net == net else ():
                for a, b in pairwise(line):
                    middle = MmPoint((a.x + b.x) / 2, (a.y + b.y) / 2)
                    is_seen = window is not None and window.holds(laid.to_table(middle))
                    rank = (is_seen, a.distance_mm(b))
                    if best is None or rank > best[0]:
                        best = (rank, laid, middle, conductor)
    if best is None:
        return None
    _, laid, middle, conductor = best
    return held_place(scene, SheetPlace(laid.id, middle), conductor.number)


def body_draft(scene: Scene, mark_id: str) -> BodyDraft | None:
    """Return the draft that changes an existing body; None where there is no such body."""
    mark = scene.mark_by_id.get(mark_id)
    if not isinstance(mark, BodyMark):
        return None
    crossings = scene.netlist.edge_crossings(mark.sheet, mark.box)
    return BodyDraft(mark.sheet, mark.box, crossings, mark.id)
