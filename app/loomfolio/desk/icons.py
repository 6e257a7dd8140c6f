"""Our own icons: SVG on a 20-px grid with a 1.5-px stroke, drawn in the colour of the theme.

The files under `assets/icons/` draw in `currentColor`; here that word is replaced and the picture
rendered at the real device ratio, so that an icon is as sharp at 150 % as at 100 %.
"""

from __future__ import annotations

from functools import cache

from PySide6.QtCore import QByteArray, QPoint, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QIconEngine, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer

from loomfolio.basics import asset_path
from loomfolio.desk.theme import ICON_PX, Theme


@cache
def icon_names() -> frozenset[str]:
    """Return the names of all icons that there are."""
    return frozenset(path.stem for path in asset_path("icons").glob("*.svg"))


def paint_icon(painter: QPainter, name: str, box: QRectF, colour: QColor) -> None:
    """Draw an icon into `box` in one colour; `KeyError` for a name that there is no file of."""
    _renderer(name, colour.name()).render(painter, box)


def theme_icon(name: str, theme: Theme) -> QIcon:
    """Return an icon in the text colour of the theme, paler where its button is disabled."""
    normal = theme.colour("text").name()
    disabled = theme.tint("panel", "text", 0.4).name()
    return QIcon(_SvgEngine(name, normal, disabled))


class _SvgEngine(QIconEngine):
    """Draws one SVG file at whatever size and device ratio Qt asks for."""

    def __init__(self, name: str, normal: str, disabled: str) -> None:
        super().__init__()
        self._name, self._normal, self._disabled = name, normal, disabled

    def paint(self, painter: QPainter, rect: QRect, mode: QIcon.Mode, state: QIcon.State) -> None:
        del state
        colour = self._disabled if mode == QIcon.Mode.Disabled else self._normal
        _renderer(self._name, colour).render(painter, QRectF(rect))

    def pixmap(self, size: QSize, mode: QIcon.Mode, state: QIcon.State) -> QPixmap:
        pixmap = QPixmap(size)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        self.paint(painter, QRect(QPoint(0, 0), size), mode, state)
        painter.end()
        return pixmap

    def actualSize(self, size: QSize, mode: QIcon.Mode, state: QIcon.State) -> QSize:
        del mode, state
        return size

    def clone(self) -> QIconEngine:
        return _SvgEngine(self._name, self._normal, self._disabled)


@cache
def _svg(name: str) -> str:
    if name not in icon_names():
        raise KeyError(name)
    return asset_path("icons", f"{name}.svg").read_text(encoding="utf-8")


@cache
def _renderer(name: str, colour: str) -> QSvgRenderer:
    return QSvgRenderer(QByteArray(_svg(name).replace("currentColor", colour).encode()))


ICON_SIZE = QSize(ICON_PX, ICON_PX)
