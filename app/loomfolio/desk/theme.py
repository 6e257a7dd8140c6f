"""How the desk looks: a palette, fonts and measures made from the roles of `colours.py`.

A `Theme` is handed down to every widget that paints by itself (`set_theme`). On the paper the light
set is used in both themes, since the paper stays light; the dark set only while it is inverted.
All measures are px at 1x, multiplied by the text scale that the person chose (100 to 200 %).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QFontDatabase, QFontInfo, QGuiApplication, QPalette

from loomfolio.basics import asset_path
from loomfolio.desk.colours import Colours, Role, ThemeName, colours

ThemeChoice = Literal["system", "light", "dark"]
TextSize = Literal["small", "body", "head", "title"]

GRID_PX = 4
ROW_PX = 32
ICON_PX = 20
TEXT_SIZES_PX: dict[TextSize, int] = {"small": 12, "body": 14, "head": 18, "title": 24}
SMALLEST_SCALE, LARGEST_SCALE = 1.0, 2.0


@dataclass(frozen=True, slots=True)
class Theme:
    """The set of colours for the desk, the one for the paper, and the text scale."""

    colours: Colours
    paper_colours: Colours
    scale: float = 1.0

    @property
    def is_dark(self) -> bool:
        """Whether this is the dark set."""
        return self.colours.name == "dark"

    def colour(self, role: Role) -> QColor:
        """Return the colour of a role on table and panels."""
        return QColor(self.colours.of(role))

    def on_paper(self, role: Role) -> QColor:
        """Return the colour of a role on the paper."""
        return QColor(self.paper_colours.of(role))

    def tint(self, ground: Role, ink: Role, share: float) -> QColor:
        """Return `ground` with a share (0 to 1) of `ink` in it."""
        return QColor(self.colours.mixed(ground, ink, share))

    @property
    def field(self) -> QColor:
        """The ground of what can be typed into, and of tables: a step off the panel."""
        if self.is_dark:
            return self.tint("panel", "table", 0.45)
        return self.tint("panel", "paper", 0.7)

    def px(self, measure: float) -> int:
        """Return a measure of the 4-px grid at the chosen text scale."""
        return round(measure * self.scale)

    def font(
        self, size: TextSize = "body", *, is_mono: bool = False, is_bold: bool = False
    ) -> QFont:
        """Return the sans or mono font in one of the four sizes."""
        sans, mono = _families()
        font = QFont([mono] if is_mono else [sans])
        font.setPixelSize(self.px(TEXT_SIZES_PX[size]))
        font.setWeight(QFont.Weight.DemiBold if is_bold else QFont.Weight.Normal)
        if is_mono:
            font.setStyleHint(QFont.StyleHint.Monospace)
        return font


def make_theme(
    choice: ThemeChoice = "system", *, scale: float = 1.0, is_paper_dark: bool = False
) -> Theme:
    """Return the theme of a choice; `system` asks the desktop, light where that is silent."""
    name: ThemeName = system_theme() if choice == "system" else choice
    held = min(max(scale, SMALLEST_SCALE), LARGEST_SCALE)
    return Theme(colours(name), colours("dark" if is_paper_dark else "light"), held)


def system_theme() -> ThemeName:
    """Return which of the two the desktop asks for."""
    is_dark = QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark
    return "dark" if is_dark else "light"


def palette_of(theme: Theme) -> QPalette:
    """Return the Qt palette of a theme, for everything that Qt itself paints."""
    palette = QPalette()
    role = QPalette.ColorRole
    for target, colour in (
        (role.Window, theme.colour("panel")),
        (role.WindowText, theme.colour("text")),
        (role.Base, theme.field),
        (role.AlternateBase, theme.colour("panel")),
        (role.Text, theme.colour("text")),
        (role.PlaceholderText, theme.colour("second text")),
        (role.Button, theme.colour("panel")),
        (role.ButtonText, theme.colour("text")),
        (role.BrightText, theme.colour("stop")),
        (role.Highlight, theme.colour("followed")),
        (role.HighlightedText, theme.colour("panel")),
        (role.Link, theme.colour("followed")),
        (role.LinkVisited, theme.colour("followed")),
        (role.ToolTipBase, theme.colour("text")),
        (role.ToolTipText, theme.colour("panel")),
        (role.Light, theme.tint("panel", "hairline", 0.15)),
        (role.Midlight, theme.tint("panel", "hairline", 0.2)),
        (role.Mid, theme.tint("panel", "hairline", 0.5)),
        (role.Dark, theme.colour("hairline")),
        (role.Shadow, theme.colour("text")),
        (role.Accent, theme.colour("followed")),
    ):
        palette.setColor(target, colour)
    faint = theme.tint("panel", "text", 0.45)
    for target in (role.WindowText, role.Text, role.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, target, faint)
    return palette


@cache
def _families() -> tuple[str, str]:
    """The sans and the mono family: ours from `assets/fonts/`, else what the system calls so."""
    ours: list[str] = []
    folder = asset_path("fonts")
    for path in sorted(folder.rglob("*.[ot]tf")) if folder.is_dir() else ():
        number = QFontDatabase.addApplicationFont(str(path))
        ours.extend(QFontDatabase.applicationFontFamilies(number) if number >= 0 else ())
    sans = [family for family in ours if "mono" not in family.casefold()]
    mono = [family for family in ours if "mono" in family.casefold()]
    return (
        sans[0] if sans else QFontInfo(QFontDatabase.systemFont(_SystemFont.GeneralFont)).family(),
        mono[0] if mono else QFontInfo(QFontDatabase.systemFont(_SystemFont.FixedFont)).family(),
    )


_SystemFont = QFontDatabase.SystemFont
