"""The hand over the table: it turns pointer and keys into gestures, selections and intents.

At rest a move hovers, a click selects or asks, a drag on paper draws a body, a key types a name or
begins a line or a link. Everything else is one running gesture (`tools.py`) that gets each event until
it is done. There are no modes: Escape always comes back to rest. No Qt here; tests drive it directly.
"""

from __future__ import annotations

from loomfolio.desk.table.events import Event, KeyEvent, PointerEvent
from loomfolio.desk.table.intents import NumberPins, Remove
from loomfolio.desk.table.layout import SheetPlace, TableBox
from loomfolio.desk.table.preview import (
    AT_REST,
    Again,
    BodyDraft,
    Click,
    Done,
    NameDraft,
    Outcome,
    Picked,
    Preview,
)
from loomfolio.desk.table.questions import joined_or_apart, pick_one
from loomfolio.desk.table.scene import Scene
from loomfolio.desk.table.selection import NOTHING, Selection, body_draft, carried, name_draft
from loomfolio.desk.table.things import SMALL_REACH_MM, Thing, things_under
from loomfolio.desk.table.tools import (
    DRAG_PX,
    Tool,
    draw_line,
    draw_link,
    move_sheet,
    press_on_paper,
    wait_for_line,
    wait_for_link,
    wait_for_region,
)
from loomfolio.nets import Spot
from loomfolio.project import Anchor, BodyMark


class Hand:
    """The state of pointing: what is under the pointer, what is selected, which gesture runs."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.hovered: Thing | None = None
        self.selected = NOTHING
        self.preview: Preview = AT_REST
        self.window = TableBox(0, 0, 0, 0)
        """What the window shows of the table; a name is typed where it can be seen."""
        self._tool: Tool | None = None
        self._last_click: PointerEvent | None = None
        self._turn = 0

    @property
    def is_busy(self) -> bool:
        """Is a gesture running?"""
        return self._tool is not None

    def show(self, scene: Scene) -> None:
        """Point into a changed document; the selection is carried over.

        A running gesture goes on, for its places are mm on the paper; only a choice among numbered
        conductors is dropped, since their numbers are others now.
        """
        if self.preview.lit_conductors:
            self.drop()
        self.selected = carried(self.selected, self.scene, scene)
        self.scene, self.hovered, self._last_click = scene, None, None

    def drop(self) -> None:
        """Break the running gesture off; it leaves no trace."""
        if self._tool is not None:
            self._tool.close()
        self._tool, self.preview = None, AT_REST

    def select(self, net: int | None) -> None:
        """Select a net by its number, or nothing."""
        self.selected = Selection(net) if net is not None else NOTHING

    def leave(self) -> None:
        """The pointer has left the table."""
        self.hovered = None

    # ------------------------------------------------------------------ gestures begun by a key or menu
    def begin_line(self) -> None:
        """The next press begins a missing line."""
        self._start(wait_for_line(self.scene))

    def begin_link(self, start: Anchor | None = None) -> None:
        """Begin a link at a place, or at the next press."""
        if start is None:
            self._start(wait_for_link(self.scene))
        else:
            place = SheetPlace(start.sheet, start.at)
            self._start(draw_link(self.scene, place, None))

    def begin_region(self) -> None:
        """The next drag boxes what belongs to an option."""
        self._start(wait_for_region(self.scene))

    # ------------------------------------------------------------------ events
    def point(self, event: PointerEvent) -> tuple[Outcome, ...]:
        """Take a move or the left button; return what came of it."""
        if self._tool is not None:
            return self._send(event)
        if event.action == "move":
            things = things_under(self.scene, event)
            self.hovered = things[0] if things else None
            return ()
        if event.action == "press":
            self._press(event)
        elif event.action == "double":
            return self._open(event)
        return ()

    def key(self, event: KeyEvent) -> tuple[Outcome, ...] | None:
        """Take a key; return what came of it, or None where the key means nothing here."""
        if self._tool is not None:
            return self._send(event)
        if event.key == "escape":
            self.selected = NOTHING
            return ()
        if event.key == "delete":
            return self._remove()
        if event.key in ("enter", "f2"):
            return self._edit_selected()
        return self._type(event.text) if event.text else None

    def _type(self, text: str) -> tuple[Outcome, ...] | None:
        """Typing over a selected net is its name; with none selected, L and K begin a gesture."""
        if self.selected.net is not None and text.strip():
            draft = name_draft(self.scene, self.selected, self.window, text)
            return (draft,) if draft else ()
        if text.casefold() == "l":
            self.begin_line()
        elif text.casefold() == "k":
            self.begin_link()
        else:
            return None
        return ()

    def name_selected(self) -> NameDraft | None:
        """Return the draft for the name of the selected net."""
        return name_draft(self.scene, self.selected, self.window)

    def _edit_selected(self) -> tuple[Outcome, ...] | None:
        thing = self.selected.thing
        if thing is not None and thing.kind == "body" and thing.record:
            draft: NameDraft | BodyDraft | None = body_draft(self.scene, thing.record)
        else:
            draft = self.name_selected()
        return (draft,) if draft else None

    def _remove(self) -> tuple[Outcome, ...] | None:
        thing = self.selected.thing
        if thing is None:
            return None
        if thing.kind == "pin" and thing.body:
            body = self.scene.mark_by_id.get(thing.body)
            if isinstance(body, BodyMark):
                kept = tuple(pin for pin in body.pins if pin.at != thing.at)
                self.selected = NOTHING
                return (NumberPins(body.id, kept),)
        if thing.record is None:
            return None
        self.selected = NOTHING
        return (Remove((thing.record,)),)

    # ------------------------------------------------------------------ pressing and clicking
    def _press(self, event: PointerEvent) -> None:
        if event.place is None:
            laid = self.scene.layout.title_under(event.point, event.px_per_mm)
            if laid is not None:
                self._start(move_sheet(laid, event))
            else:
                self.selected = NOTHING
        elif event.held.draws:
            self._start(draw_line(self.scene, event))
        else:
            self._start(press_on_paper(self.scene, event))

    def _click(self, event: PointerEvent) -> None:
        """Select what is under the pointer, or what comes next where it was clicked before."""
        things = things_under(self.scene, event)
        is_same = self._last_click is not None and not event.is_far_from(self._last_click, DRAG_PX)
        self._turn = self._turn + 1 if is_same else 0
        self._last_click = event
        picked = [thing for thing in things if thing.kind != "sheet"]
        if not picked:
            self.selected = NOTHING
            return
        thing = picked[self._turn % len(picked)]
        if thing.kind == "conductor" and thing.rivals:
            self._start(pick_one(thing, self.scene))
            return
        self.selected = Selection(thing.net, thing)
        spot = self._spot_of(thing)
        if spot is not None:
            self._start(joined_or_apart(thing, spot))

    def _spot_of(self, thing: Thing) -> Spot | None:
        """The place to ask about: the spot itself, or the one that a join or apart mark answers."""
        if thing.kind not in ("join", "apart"):
            return thing.spot
        spots = self.scene.spots(thing.sheet)
        near = min(spots, key=lambda spot: spot.at.distance_mm(thing.at), default=None)
        return near if near and near.at.distance_mm(thing.at) <= SMALL_REACH_MM else None

    def _open(self, event: PointerEvent) -> tuple[Outcome, ...]:
        """A double click types: the name of what was clicked, or the body."""
        thing = next((t for t in things_under(self.scene, event) if t.kind != "spot"), None)
        if thing is None or thing.kind == "sheet" or thing.rivals:
            return ()
        if thing.kind == "pin" and thing.body:
            draft = body_draft(self.scene, thing.body)
            return (draft,) if draft else ()
        self.selected = Selection(thing.net, thing)
        return self._edit_selected() or ()

    # ------------------------------------------------------------------ the running gesture
    def _start(self, tool: Tool) -> None:
        self.drop()
        self._tool = tool
        try:
            self.preview = next(tool)
        except StopIteration:
            self.drop()

    def _send(self, event: Event) -> tuple[Outcome, ...]:
        if self._tool is None:
            return ()
        try:
            self.preview = self._tool.send(event)
        except StopIteration as finished:
            done: tuple[Done, ...] = finished.value
            self._tool, self.preview = None, AT_REST
            return self._finish(done)
        return ()

    def _finish(self, done: tuple[Done, ...]) -> tuple[Outcome, ...]:
        """Turn what a gesture came to into what leaves the table."""
        outcomes: list[Outcome] = []
        for item in done:
            if isinstance(item, Click):
                self._click(item.event)
            elif isinstance(item, Again):
                outcomes.extend(self.point(item.event))
            elif isinstance(item, Picked):
                net = self.scene.net_of(item.place.sheet, item.conductor)
                thing = Thing("conductor", *item.place, net=net, conductor=item.conductor)
                self.selected = Selection(net, thing)
            else:
                outcomes.append(item)
                if isinstance(item, Remove):
                    self.selected = NOTHING
        return tuple(outcomes)
