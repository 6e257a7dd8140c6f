"""Where on the table things lie: the boxes that a view is fitted to."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from loomfolio.basics import MmPoint
from loomfolio.desk.table.layout import LaidSheet, TableBox
from loomfolio.desk.table.scene import Scene
from loomfolio.desk.table.selection import Selection
from loomfolio.nets import Way
from loomfolio.project import BodyMark, LineMark

AROUND_MM = 8.0
"""What is shown around a thing that has no extent of its own."""


def box_of_net(scene: Scene, number: int) -> TableBox | None:
    """Return the box around all that is drawn of a net, with its pins; None if nothing is."""
    boxes = [
        _around(laid, (point for line in conductor.lines for point in line))
        for laid in scene.layout.sheets
        for conductor in scene.conductors(laid.id).values()
        if conductor.net == number
    ]
    for placed in scene.pins_of_net.get(number, ()):
        laid = scene.layout.get(placed.anchor.sheet)
        boxes += [_around(laid, [placed.anchor.at])] if laid else []
    return TableBox.around(boxes)


def box_of_ways(scene: Scene, ways: Sequence[Way]) -> TableBox | None:
    """Return the box around all drawn runs and places of ways; None if nothing is drawn."""
    boxes: list[TableBox] = []
    for step in (step for way in ways for step in way.steps):
        places = [*step.lines]
        if step.place is not None:
            places.append((step.place.sheet, (step.place.at,)))
        for sheet_id, points in places:
            laid = scene.layout.get(sheet_id)
            if laid is not None:
                boxes.append(_around(laid, points))
    return TableBox.around(boxes)


def box_of_selection(scene: Scene, selection: Selection) -> TableBox | None:
    """Return the box around what is selected: the net, else the mark; None for nothing."""
    if selection.net is not None:
        return box_of_net(scene, selection.net)
    thing = selection.thing
    laid = scene.layout.get(thing.sheet) if thing else None
    if thing is None or laid is None:
        return None
    mark = scene.mark_by_id.get(thing.record) if thing.record else None
    if isinstance(mark, BodyMark):
        return laid.on_table(mark.box).grown(AROUND_MM)
    if isinstance(mark, LineMark):
        return _around(laid, mark.points).grown(AROUND_MM)
    return _around(laid, [thing.at]).grown(AROUND_MM)


def _around(laid: LaidSheet, points: Iterable[MmPoint]) -> TableBox:
    held = [laid.to_table(point) for point in points]
    xs, ys = [point.x for point in held], [point.y for point in held]
    return TableBox(min(xs), min(ys), max(xs), max(ys))
