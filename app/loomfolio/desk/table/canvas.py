"""The window as painters see it: which part of the table, at which scale, in which colours.

Everything of ours is measured in px of the window and stays the same size at any zoom; only places
come from the paper. The device ratio matters to pixmaps alone.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPixmap, QTransform

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.table.layout import LaidSheet, TableBox, TablePoint
from loomfolio.desk.table.view import View
from loomfolio.desk.theme import Theme


@dataclass(frozen=True, slots=True)
class Canvas:
    """A view, the window's size in px, its device ratio, and the theme."""

    view: View
    width: int
    height: int
    ratio: float
    theme: Theme

    @property
    def window(self) -> TableBox:
        """What is seen of the table."""
        return self.view.window(self.width, self.height)

    def px(self, laid: LaidSheet, at: MmPoint) -> QPointF:
        """Return where a place on a sheet is seen."""
        return self.point(laid.to_table(at))

    def point(self, at: TablePoint) -> QPointF:
        """Return where a place on the table is seen."""
        return QPointF(*self.view.to_px(at))

    def rect(self, box: TableBox) -> QRectF:
        """Return where a box on the table is seen, kept to whole device px so that edges are sharp."""
        x0, y0 = self.view.to_px(TablePoint(box.x0, box.y0))
        x1, y1 = self.view.to_px(TablePoint(box.x1, box.y1))
        left, top = self.snapped(x0), self.snapped(y0)
        return QRectF(left, top, self.snapped(x1) - left, self.snapped(y1) - top)

    def box(self, laid: LaidSheet, box: MmBox) -> QRectF:
        """Return where a box on a sheet is seen, with sharp edges."""
        return self.rect(laid.on_table(box))

    def snapped(self, px: float) -> float:
        """Return the nearest whole device px."""
        return round(px * self.ratio) / self.ratio

    def frame(self, laid: LaidSheet) -> QTransform:
        """Return the way from mm on a sheet to px of the window."""
        x, y = self.view.to_px(TablePoint(laid.box.x0, laid.box.y0))
        scale = self.view.px_per_mm
        return QTransform(scale, 0, 0, scale, x, y)

    def blank(self) -> QPixmap:
        """Return a transparent pixmap of the window's size at the real device ratio."""
        size = QSize(round(self.width * self.ratio), round(self.height * self.ratio))
        pixmap = QPixmap(size)
        pixmap.setDevicePixelRatio(self.ratio)
        pixmap.fill(Qt.GlobalColor.transparent)
        return pixmap
