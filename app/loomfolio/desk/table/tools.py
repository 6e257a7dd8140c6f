"""The gestures, each one generator: what it yields is shown, what it is sent are pointer and keys.

A gesture ends by returning what it came to; Escape ends each of them with nothing. Its whole state is
in its local variables, so one that is broken off leaves no trace.
"""

from __future__ import annotations

from collections.abc import Generator, Sequence
from dataclasses import replace

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.table.events import Event, KeyEvent, PointerEvent
from loomfolio.desk.table.intents import DrawLine, DrawRegion, MakeLink, MoveSheet
from loomfolio.desk.table.layout import LaidSheet, SheetPlace
from loomfolio.desk.table.preview import (
    BodyDraft,
    Click,
    Done,
    DrawnBox,
    DrawnLine,
    DrawnLink,
    Preview,
)
from loomfolio.desk.table.questions import which_one
from loomfolio.desk.table.scene import Scene
from loomfolio.desk.table.snapping import Grip, grip, held_place
from loomfolio.project import Anchor

Tool = Generator[Preview, Event, tuple[Done, ...]]
DRAG_PX = 4.0
"""A press that moves less than this is a click (the usual start-drag distance is 4 to 10 px)."""
SMALLEST_BODY_MM = 1.5
"""A smaller box is a slip of the hand: no part is drawn that small."""

LINE_HINT = (
    "Draw the missing line: click its corners, Enter ends it, Backspace takes one back, Esc leaves"
)
REGION_HINT = "Drag a box round all that is there only with an option, Esc leaves"
LINK_HINT = "Goes on at: point at the conductor on the other sheet, Esc leaves"


def is_key(event: Event, key: str) -> bool:
    """Is this the key of that name?"""
    return isinstance(event, KeyEvent) and event.key == key


def press_on_paper(scene: Scene, press: PointerEvent) -> Tool:
    """A press on paper: a click when it is let go at once, a box when it is drawn out."""
    while True:
        event = yield Preview()
        if is_key(event, "escape"):
            return ()
        if isinstance(event, PointerEvent):
            if event.action == "release":
                return (Click(press),)
            if event.is_far_from(press, DRAG_PX):
                return (yield from _draw_box(scene, press, event))


def _draw_box(scene: Scene, press: PointerEvent, event: PointerEvent) -> Tool:
    laid = scene.layout.get(press.place.sheet) if press.place else None
    if laid is None or press.place is None:
        return ()
    corner = press.place.at
    pointer = event
    while True:
        box = MmBox.around(corner, _on_paper(laid, pointer))
        crossings = scene.netlist.edge_crossings(laid.id, box)
        drawn = DrawnBox(laid.id, box, crossings)
        if pointer.action == "release":
            is_slip = min(box.x1 - box.x0, box.y1 - box.y0) < SMALLEST_BODY_MM
            return () if is_slip else (BodyDraft(laid.id, box, crossings),)
        event_now = yield Preview(hint=_box_hint(len(crossings)), box=drawn)
        if is_key(event_now, "escape"):
            return ()
        if isinstance(event_now, PointerEvent):
            pointer = event_now


def _box_hint(count: int) -> str:
    pins = "1 pin" if count == 1 else f"{count} pins"
    return f"A body with {pins}: let go to name it, Esc leaves"


def _on_paper(laid: LaidSheet, event: PointerEvent) -> MmPoint:
    """The pointer in the frame of one sheet, kept on its paper."""
    at = laid.to_sheet(event.point)
    return MmPoint(min(max(at.x, 0.0), laid.box.width), min(max(at.y, 0.0), laid.box.height))


def wait_for_region(scene: Scene) -> Tool:
    """The next drag boxes what belongs to an option."""
    press = yield from _wait(scene, Preview(hint=REGION_HINT))
    laid = scene.layout.get(press.place.sheet) if press is not None and press.place else None
    if press is None or press.place is None or laid is None:
        return ()
    corner, pointer = press.place.at, press
    while True:
        box = MmBox.around(corner, _on_paper(laid, pointer))
        if pointer.action == "release":
            is_slip = min(box.x1 - box.x0, box.y1 - box.y0) < SMALLEST_BODY_MM
            return () if is_slip else (DrawRegion(laid.id, box),)
        event = yield Preview(hint=REGION_HINT, box=DrawnBox(laid.id, box, ()))
        if is_key(event, "escape"):
            return ()
        if isinstance(event, PointerEvent):
            pointer = event


def wait_for_line(scene: Scene) -> Tool:
    """Key L: the next press begins a line."""
    press = yield from _wait(scene, Preview(hint=LINE_HINT))
    return (yield from draw_line(scene, press)) if press else ()


def wait_for_link(scene: Scene) -> Tool:
    """Key K: the next press says what goes on elsewhere."""
    hint = "Link: point at the conductor that goes on elsewhere, Esc leaves"
    while True:
        press = yield from _wait(scene, Preview(hint=hint))
        if press is None:
            return ()
        start = yield from _conductor_place(scene, press, Preview(hint=hint))
        if start is not None:
            return (yield from draw_link(scene, start, press))


def _wait(scene: Scene, preview: Preview) -> Generator[Preview, Event, PointerEvent | None]:
    """Show what the pointer would take hold of until it is pressed; None on Escape."""
    while True:
        event = yield preview
        if is_key(event, "escape"):
            return None
        if isinstance(event, PointerEvent):
            if event.action == "press":
                return event
            preview = replace(preview, grip=grip(scene, event))


def draw_line(scene: Scene, press: PointerEvent) -> Tool:
    """A missing line: dragged from here to there, or its corners clicked one after the other."""
    start = yield from _held(scene, press, None, Preview(hint=LINE_HINT))
    if start is None:
        return ()
    points, pointer, is_dragging = [start.at], press, True
    while True:
        event = yield _line_preview(scene, start.sheet, points, pointer)
        if isinstance(event, KeyEvent):
            if event.key == "escape" or (event.key == "backspace" and len(points) == 1):
                return ()
            if event.key == "enter":
                return _line(start.sheet, points)
            if event.key == "backspace":
                points.pop()
            continue
        pointer = event
        if event.action == "double":
            return _line(start.sheet, points)
        is_dropped = event.action == "release" and is_dragging and event.is_far_from(press, DRAG_PX)
        if event.action == "press" or is_dropped:
            shown = _line_preview(scene, start.sheet, points, pointer)
            place = yield from _held(scene, event, points[-1], shown)
            if place is not None and place.sheet == start.sheet:
                points.append(place.at)
            if is_dropped:
                return _line(start.sheet, points)
        is_dragging = is_dragging and event.action == "move"


def _line_preview(
    scene: Scene, sheet_id: str, points: Sequence[MmPoint], pointer: PointerEvent
) -> Preview:
    taken = grip(scene, pointer, points[-1])
    if taken is None or taken.place.sheet != sheet_id:
        hint = "A line stays on its sheet; K links to another one"
        return Preview(hint=hint, line=DrawnLine(sheet_id, tuple(points)))
    line = DrawnLine(sheet_id, (*points, taken.place.at))
    return Preview(hint=LINE_HINT, line=line, grip=taken)


def _line(sheet_id: str, points: Sequence[MmPoint]) -> tuple[Done, ...]:
    """The line as an intent, without a corner clicked twice; nothing for a single point."""
    kept = list(points[:1])
    for point in points[1:]:
        if point != kept[-1]:
            kept.append(point)
    return (DrawLine(sheet_id, tuple(kept)),) if len(kept) > 1 else ()


def draw_link(scene: Scene, start: SheetPlace, press: PointerEvent | None) -> Tool:
    """From a conductor to where it goes on: dragged there, or clicked at the other end.

    `press` is the press that chose the start, if the button is still down.
    """
    preview = Preview(hint=LINK_HINT)
    pressed = press
    while True:
        event = yield preview
        if is_key(event, "escape"):
            return ()
        if not isinstance(event, PointerEvent):
            continue
        is_dropped = event.action == "release" and pressed and event.is_far_from(pressed, DRAG_PX)
        if event.action == "release" and not is_dropped:
            pressed = None
            continue
        preview = _link_preview(start, event, grip(scene, event))
        if event.action == "press" or is_dropped:
            end = yield from _conductor_place(scene, event, preview)
            if end is not None and not _is_same_conductor(scene, start, end):
                return (MakeLink(_anchor(start), _anchor(end)),)
            preview = replace(preview, hint="No other conductor there. " + LINK_HINT)
            pressed = None


def _link_preview(start: SheetPlace, event: PointerEvent, taken: Grip | None) -> Preview:
    return Preview(hint=LINK_HINT, link=DrawnLink(start, event.point), grip=taken)


def _is_same_conductor(scene: Scene, a: SheetPlace, b: SheetPlace) -> bool:
    if a.sheet != b.sheet:
        return False
    held = (scene.netlist.snap(place.sheet, place.at).conductor for place in (a, b))
    return a == b or len(set(held)) == 1


def move_sheet(laid: LaidSheet, press: PointerEvent) -> Tool:
    """A sheet taken by its title and laid elsewhere on the table."""
    origin = laid.sheet.table_at
    place = origin
    while True:
        event = yield Preview(
            hint="Lay the sheet down where it suits, Esc leaves", sheet_at=(laid.id, place)
        )
        if is_key(event, "escape"):
            return ()
        if isinstance(event, PointerEvent):
            place = MmPoint(
                origin.x + event.point.x - press.point.x, origin.y + event.point.y - press.point.y
            )
            if event.action == "release":
                is_moved = event.is_far_from(press, DRAG_PX)
                return (MoveSheet(laid.id, place),) if is_moved else (Click(press),)


def _held(
    scene: Scene, event: PointerEvent, before: MmPoint | None, shown: Preview
) -> Generator[Preview, Event, SheetPlace | None]:
    """The place that the pointer holds on to, after asking where several conductors are as near."""
    taken = grip(scene, event, before)
    if taken is None or not taken.rivals:
        return taken.place if taken else None
    chosen = yield from which_one(scene, taken.place, taken.rivals, shown)
    return held_place(scene, taken.place, chosen) if isinstance(chosen, int) else None


def _conductor_place(
    scene: Scene, event: PointerEvent, shown: Preview
) -> Generator[Preview, Event, SheetPlace | None]:
    """A place on one conductor; None where there is none or the question was left."""
    taken = grip(scene, event)
    if taken is None or (taken.conductor is None and not taken.rivals):
        return None
    if taken.conductor is not None:
        return held_place(scene, taken.place, taken.conductor)
    chosen = yield from which_one(scene, taken.place, taken.rivals, shown)
    return held_place(scene, taken.place, chosen) if isinstance(chosen, int) else None


def _anchor(place: SheetPlace) -> Anchor:
    return Anchor(sheet=place.sheet, at=place.at)
