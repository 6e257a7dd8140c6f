"""The window as painters see it: which part of the table, at which scale, in which colours.

Everything of ours is measured in px of the window and stays the same size at any zoom; only places
come from the paper. The device ratio matters to pixmaps alone, and to this: the view is held to whole
device px, so that a picture that was only pushed can be shifted instead of painted again.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPixmap, QTransform

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.table.layout import LaidSheet, TableBox, TablePoint
from loomfolio.desk.table.view import View
from loomfolio.desk.theme import Theme

HALF_SLACK_PX = 1e-6
"""Far below a px and above the error of the arithmetic: a half stays a half wherever it is pushed."""


@dataclass(frozen=True, slots=True)
class Canvas:
    """A view, the window's size in px, its device ratio, and the theme.

    `clip` is the part of the window that is to be painted; None means all of it.
    """

    view: View
    width: int
    height: int
    ratio: float
    theme: Theme
    clip: QRectF | None = None

    @staticmethod
    def of(view: View, width: int, height: int, ratio: float, theme: Theme) -> Canvas:
        """Return the canvas of a window, its view held to whole device px."""
        steps = view.px_per_mm * ratio
        held = replace(
            view,
            left_mm=round(view.left_mm * steps) / steps,
            top_mm=round(view.top_mm * steps) / steps,
        )
        return Canvas(held, width, height, ratio, theme)

    @property
    def area(self) -> QRectF:
        """What is to be painted, px."""
        return self.clip or QRectF(0, 0, self.width, self.height)

    def within(self, clip: QRectF) -> Canvas:
        """Return the same canvas with a part of it to be painted."""
        return replace(self, clip=clip)

    @property
    def window(self) -> TableBox:
        """What is seen of the table in the part to be painted."""
        return self.seen_table(0.0)

    def seen_table(self, margin_px: float) -> TableBox:
        """Return what lies in the part to be painted, and so many px around it."""
        area = self.area.adjusted(-margin_px, -margin_px, margin_px, margin_px)
        x0, y0 = self.view.to_table(area.left(), area.top())
        x1, y1 = self.view.to_table(area.right(), area.bottom())
        return TableBox(x0, y0, x1, y1)

    def seen(self, laid: LaidSheet, margin_px: float) -> MmBox:
        """Return the same in the frame of a sheet."""
        return laid.part_in(self.seen_table(margin_px))

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
        """Return the nearest whole device px; halves always go the same way, also after a push."""
        return math.floor(px * self.ratio + 0.5 + HALF_SLACK_PX) / self.ratio

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
