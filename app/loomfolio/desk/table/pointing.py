"""The surface with sheets on it, and the hand: Qt's events in, gestures and signals out.

The frame's side of the table is `light_table.py`; here is what the person does.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, Signal
from PySide6.QtGui import (
    QAction,
    QContextMenuEvent,
    QInputMethodEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import QMenu, QWidget

from loomfolio.desk.table.editors import Editors
from loomfolio.desk.table.events import KeyEvent, NamedKey, PointerAction, PointerEvent
from loomfolio.desk.table.flash import Flash
from loomfolio.desk.table.hand import Hand
from loomfolio.desk.table.layout import SheetPlace
from loomfolio.desk.table.picture import Lit, TablePicture
from loomfolio.desk.table.preview import BodyDraft, NameDraft, Outcome
from loomfolio.desk.table.qt_events import held, key_event, pointer_at
from loomfolio.desk.table.scene import Scene
from loomfolio.desk.table.selection import NOTHING, Selection
from loomfolio.desk.table.signs import SignedRun
from loomfolio.desk.table.surface import TableSurface
from loomfolio.desk.table.things import Thing, things_under
from loomfolio.desk.table.tiles import PaperTiles
from loomfolio.desk.theme import Theme
from loomfolio.nets import Way

_ANSWER_KEYS: dict[str, NamedKey] = {"Esc": "escape", "Del": "delete"}


@dataclass(frozen=True, slots=True)
class MenuAsked:
    """What a context menu is about: the place, and what lies there, smallest first."""

    place: SheetPlace | None
    things: tuple[Thing, ...]


MenuSource = Callable[[MenuAsked], Sequence[QAction | None]]
"""Returns the actions for a place in their order; None is a line between groups."""


@dataclass(frozen=True, slots=True)
class _Told:
    """What was last told through signals."""

    hovered: int | None = None
    selected: Selection = NOTHING
    hint: str = ""


class PointingTable(TableSurface):
    """A table that can be pointed at; its signals are explained at `LightTable`."""

    intended = Signal(object)
    net_hovered = Signal(object)
    net_selected = Signal(object)
    thing_selected = Signal(object)
    place_hovered = Signal(str, object)
    hint_changed = Signal(str)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._tiles = PaperTiles(self)
        self._tiles.changed.connect(self._on_pages)
        self._picture = TablePicture(self._tiles)
        self._hand = Hand(Scene.empty())
        self._editors = Editors(self, theme)
        self._editors.intended.connect(self.intended)
        self._editors.changed.connect(self.sync)
        self._editors.chosen.connect(self._answer_by_click)
        self._flash = Flash(self)
        self._flash.changed.connect(self.update)
        self._ways: Sequence[Way] = ()
        self._overlay: Sequence[SignedRun] = ()
        self._menu_source: MenuSource | None = None
        self._pointer_px: QPointF | None = None
        self._bare_press: PointerEvent | None = None
        self._told = _Told()
        self.setAttribute(Qt.WidgetAttribute.WA_InputMethodEnabled)
        self.view_moved.connect(self._on_view)

    @property
    def scene(self) -> Scene:
        """What is shown."""
        return self._hand.scene

    # ------------------------------------------------------------------ painting
    def paintEvent(self, event: QPaintEvent) -> None:
        del event
        hand = self._hand
        lit = Lit(
            hovered=hand.hovered if self._editors.run is None else None,
            pointer=self._pointer_px,
            selected=hand.selected,
            ways=self._ways,
            overlay=self._overlay,
            preview=hand.preview,
            run=self._editors.run,
            flash=self._flash.now,
        )
        with QPainter(self) as painter:
            is_moving = self._mover.is_moving
            self._picture.paint(painter, self.canvas(), self.scene, lit, is_moving=is_moving)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._on_view()

    def _on_pages(self) -> None:
        self._picture.forget_pages()
        self.update()

    def _on_view(self) -> None:
        self._hand.window = self.canvas().window
        self._editors.place(self.scene, self.canvas())

    # ------------------------------------------------------------------ the pointer
    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        pressed = self._translated(event, "press")
        is_bare = (
            pressed.place is None
            and self.scene.layout.title_under(pressed.point, self.view.px_per_mm) is None
        )
        if self.begins_pan(event):
            self.begin_pan(event.position())
        elif event.button() != Qt.MouseButton.LeftButton or self._editors.press(pressed):
            return
        elif is_bare:
            self._bare_press = pressed
            self.begin_pan(event.position())
        else:
            self._point(pressed)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self._pointer_px = event.position()
        if self.is_panning:
            self.pan_to(event.position())
            return
        moved = self._translated(event, "move")
        self._point(moved)
        self.place_hovered.emit(*(moved.place or ("", None)))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self.is_panning:
            bare, self._bare_press = self._bare_press, None
            if self.end_pan(event.position()):
                if event.button() == Qt.MouseButton.RightButton:
                    self._open_menu(event.position(), event.globalPosition().toPoint())
                elif bare is not None:
                    self._point(bare)
        elif event.button() == Qt.MouseButton.LeftButton:
            self._point(self._translated(event, "release"))

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton and not self._editors.is_open:
            self._point(self._translated(event, "double"))

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self._pointer_px = None
        self._hand.leave()
        self.place_hovered.emit("", None)
        self.sync()

    def _translated(self, event: QMouseEvent, action: PointerAction) -> PointerEvent:
        at = event.position()
        labels = self._labels_under(at)
        return pointer_at(at, action, self.view, self.scene.layout, labels=labels, held=held(event))

    def _labels_under(self, at: QPointF) -> tuple[str, ...]:
        """The records of labels under a px; while a move runs labels are not where they will be."""
        if self._mover.is_moving:
            return ()
        return self._picture.book.under(at, self.canvas(), self.scene)

    def _point(self, event: PointerEvent) -> None:
        self.take(self._hand.point(event))

    def hover_again(self) -> None:
        """Look again at what lies under the pointer, after the document changed below it."""
        if self._pointer_px is not None and not self._hand.is_busy:
            labels = self._labels_under(self._pointer_px)
            layout = self.scene.layout
            self._point(pointer_at(self._pointer_px, "move", self.view, layout, labels=labels))

    # ------------------------------------------------------------------ the keys
    def event(self, event: QEvent) -> bool:
        """Keep the keys that mean something here from being taken as shortcuts."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            key = key_event(event)
            is_name = key is not None and key.text and self._hand.selected.net is not None
            if key is not None and (self._hand.is_busy or is_name):
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = key_event(event)
        outcomes = self._hand.key(key) if key is not None else None
        if outcomes is not None:
            self.take(outcomes)
        elif not self.navigate(event):
            super().keyPressEvent(event)

    def inputMethodEvent(self, event: QInputMethodEvent) -> None:
        """A composed character begins a name as a typed one does."""
        outcomes = self._hand.key(KeyEvent(text=event.commitString()))
        if event.commitString() and outcomes is not None:
            self.take(outcomes)
        event.accept()

    def _answer_by_click(self, choice: str) -> None:
        key = KeyEvent(_ANSWER_KEYS[choice]) if choice in _ANSWER_KEYS else KeyEvent(text=choice)
        self.take(self._hand.key(key) or ())

    # ------------------------------------------------------------------ the menu
    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """By its key the menu is about what is selected; by the mouse it opens on release."""
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            thing = self._hand.selected.thing
            laid = self.scene.layout.get(thing.sheet) if thing else None
            at = QPointF(self.rect().center())
            if thing is not None and laid is not None:
                at = self.canvas().px(laid, thing.at)
            self._open_menu(at, self.mapToGlobal(at.toPoint()))
        event.accept()

    def _open_menu(self, at: QPointF, at_screen: QPoint) -> None:
        if self._menu_source is None:
            return
        labels = self._labels_under(at)
        asked = pointer_at(at, "move", self.view, self.scene.layout, labels=labels)
        things = things_under(self.scene, asked)
        if not self._hand.is_busy and things and things[0].kind != "sheet" and not things[0].rivals:
            self._hand.selected = Selection(things[0].net, things[0])
            self.sync()
        actions = self._menu_source(MenuAsked(asked.place, things))
        if not actions:
            return
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for action in actions:
            if action is None:
                menu.addSeparator()
            else:
                menu.addAction(action)
        menu.popup(at_screen)

    # ------------------------------------------------------------------ outcomes
    def take(self, outcomes: Sequence[Outcome]) -> None:
        """Hand on what gestures came to: intents to the frame, drafts to their editor."""
        self.sync()
        for outcome in outcomes:
            if isinstance(outcome, NameDraft | BodyDraft):
                self._editors.open(outcome, self.scene, self.canvas())
            else:
                self.intended.emit(outcome)
        if outcomes:
            self.sync()

    def sync(self) -> None:
        """Tell what changed since it was last told, ask the question there is, and paint."""
        hand, before = self._hand, self._told
        hovered = hand.hovered.net if hand.hovered else None
        hint = self._editors.hint or hand.preview.hint
        self._told = _Told(hovered, hand.selected, hint)
        self._editors.ask(hand.preview.question, self.scene, self.canvas())
        if not self.is_panning:
            self.setCursor(_cursor(hand))
        if hovered != before.hovered:
            self.net_hovered.emit(hovered)
        if hand.selected.net != before.selected.net:
            self.net_selected.emit(hand.selected.net)
        if hand.selected.thing != before.selected.thing:
            self.thing_selected.emit(hand.selected.thing)
        if hint != before.hint:
            self.hint_changed.emit(hint)
        self.update()

    def sync_silently(self) -> None:
        """Take the selection as told already: it was the frame that made it."""
        self._told = _Told(self._told.hovered, self._hand.selected, self._told.hint)
        self.sync()


def _cursor(hand: Hand) -> Qt.CursorShape:
    if hand.is_busy and hand.preview.question is None:
        return Qt.CursorShape.CrossCursor
    if hand.hovered is not None and hand.hovered.kind != "sheet":
        return Qt.CursorShape.PointingHandCursor
    return Qt.CursorShape.ArrowCursor
