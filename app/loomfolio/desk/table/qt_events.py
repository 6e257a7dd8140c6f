"""Qt's events as the table's own: the only place that translates one into the other."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent

from loomfolio.desk.table.events import Held, KeyEvent, NamedKey, PointerAction, PointerEvent
from loomfolio.desk.table.layout import TableLayout
from loomfolio.desk.table.view import View

_KEYS: dict[Qt.Key, NamedKey] = {
    Qt.Key.Key_Escape: "escape",
    Qt.Key.Key_Return: "enter",
    Qt.Key.Key_Enter: "enter",
    Qt.Key.Key_Backspace: "backspace",
    Qt.Key.Key_Delete: "delete",
    Qt.Key.Key_F2: "f2",
}
_COMMANDS = (
    Qt.KeyboardModifier.ControlModifier
    | Qt.KeyboardModifier.AltModifier
    | Qt.KeyboardModifier.MetaModifier
)


def pointer_event(
    event: QMouseEvent,
    action: PointerAction,
    view: View,
    layout: TableLayout,
    labels: tuple[str, ...],
) -> PointerEvent:
    """Return a mouse event in mm on the table and on the sheet under it."""
    return pointer_at(event.position(), action, view, layout, labels=labels, held=held(event))


def pointer_at(
    at: QPointF,
    action: PointerAction,
    view: View,
    layout: TableLayout,
    *,
    labels: tuple[str, ...] = (),
    held: Held | None = None,
) -> PointerEvent:
    """Return what the pointer does at a px of the window."""
    point = view.to_table(at.x(), at.y())
    return PointerEvent(
        action,
        point,
        layout.under(point),
        view.px_per_mm,
        held=held or Held(),
        labels=labels,
    )


def held(event: QMouseEvent) -> Held:
    """Return the keys held down with a mouse event."""
    modifiers = event.modifiers()
    draws = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.AltModifier
    return Held(
        ctrl=bool(modifiers & Qt.KeyboardModifier.ControlModifier),
        draws=bool(modifiers & draws),
    )


def key_event(event: QKeyEvent) -> KeyEvent | None:
    """Return a key that has a name or types something; None for all others and for commands."""
    named = _KEYS.get(Qt.Key(event.key()))
    if named is not None:
        return KeyEvent(named)
    text = event.text()
    if event.modifiers() & _COMMANDS and not _is_third_level(event):
        return None
    return KeyEvent(text=text) if text and text.isprintable() and text != " " else None


def _is_third_level(event: QKeyEvent) -> bool:
    """Whether Ctrl and Alt together type a character (AltGr on some systems)."""
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
    return event.modifiers() & both == both and event.text().isprintable()
