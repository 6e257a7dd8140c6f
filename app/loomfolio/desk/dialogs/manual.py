"""The manual page: how the table is worked, and every action with its keys, made from the table."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from PySide6.QtWidgets import QDialog, QHBoxLayout, QPushButton, QTextBrowser, QVBoxLayout, QWidget

from loomfolio.desk.actions import ACTIONS, MENUS, Action
from loomfolio.desk.theme import Theme

GESTURES: tuple[tuple[str, str], ...] = (
    ("Point at a conductor", "its whole net lights up, with its pins"),
    ("Click it and type", "that is its name"),
    ("Drag a box round a part", "its pins are found where conductors cross the edge"),
    ("Click a crossing or a dot", "J joined, A apart"),
    ("Shift and drag", "draws a line that the print has lost"),
    ("Double click a box", "changes its part and its pins"),
    ("Click a ring with a bar", "shows the gap in its ledger; X closes it, G goes to the next"),
    ("Delete", "takes a mark off"),
    ("Wheel", "zooms about the pointer; the middle or right button pans, arrows too"),
    ("Drag the title of a sheet", "lays it elsewhere"),
    ("W or M in the survey", "says from which side you look; then one letter for each cavity"),
    ("Esc", "leaves whatever was begun; nothing of it stays"),
)


_STYLE = (
    "<style>td {{ padding: 4px 16px 4px 0; border-bottom: 1px solid {rule}; }}"
    " .keys {{ font-weight: 600; white-space: nowrap; }} .faint {{ color: {faint}; }}"
    " code {{ font-family: '{mono}'; }}</style>"
)
_ALL_OF_IT = (
    "<p>Everything can be found by typing in the search field (Ctrl+K). What changes the "
    "document can be done by a script or in a shell too.</p>"
)


def manual_html(theme: Theme) -> str:
    """Return the manual page."""
    rule = theme.colours.mixed("panel", "hairline", 0.4)
    faint = theme.colours.of("second text")
    parts = [
        _STYLE.format(rule=rule, faint=faint, mono=theme.font(is_mono=True).family()),
        "<h2>On the table</h2>",
        _table((f"<b>{escape(what)}</b>", escape(does)) for what, does in GESTURES),
        "<h2>Every action</h2>",
        _ALL_OF_IT,
    ]
    for menu in MENUS:
        rows = [_row(action) for action in ACTIONS if action.menu == menu]
        parts += [f"<h3>{menu}</h3>", _table(rows)]
    return "".join(parts)


def _row(action: Action) -> Sequence[str]:
    keys = " or ".join(escape(key) for key in action.keys)
    ways = [f"<code>{escape(way)}</code>" for way in (action.library, action.shell) if way]
    tip = f"<br><span class='faint'>{escape(action.tip)}</span>" if action.tip else ""
    title = escape(action.title.removesuffix("…"))
    return (f"{title}{tip}", f"<span class='keys'>{keys}</span>", "<br>".join(ways))


def _table(rows: Iterable[Sequence[str]]) -> str:
    lines = ("<tr>" + "".join(f"<td>{cell}</td>" for cell in row) + "</tr>" for row in rows)
    return f"<table width='100%' cellspacing='0'>{''.join(lines)}</table>"


class ManualDialog(QDialog):
    """The manual page in a window of its own, which may stay open."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Manual")
        self.page = QTextBrowser(self)
        self.page.setFrameShape(QTextBrowser.Shape.NoFrame)
        self.page.setHtml(manual_html(theme))
        close = QPushButton("Close", self)
        close.clicked.connect(self.accept)
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(close)
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 16, 16, 16)
        column.addWidget(self.page)
        column.addLayout(row)
        self.resize(820, 720)
