"""Pictures that are kept and follow the view, so that each frame paints only what is new.

A layer that was only pushed is shifted, and painted anew along the edges that came into view. At
another scale it is painted as a whole; while a move runs and that is known to be slow, the old picture
is shown scaled until the move has ended.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import replace

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter, QPixmap

from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.view import View

PaintLayer = Callable[[QPainter, Canvas], None]
SLOW_S = 0.008
"""A layer that takes longer than half a frame at 60 Hz is not painted anew while a move runs."""


class KeptLayer:
    """One layer: `paint` draws the clip of a canvas that it is handed; the rest is kept."""

    def __init__(self, paint: PaintLayer) -> None:
        self._paint = paint
        self._pixmap: QPixmap | None = None
        self._canvas: Canvas | None = None
        self._content: object = None
        self.took_s = 0.0
        """How long the last whole painting took; a slow layer is spared while a move runs."""

    def forget(self) -> None:
        """Paint all anew the next time."""
        self._canvas = None

    def draw(self, onto: QPainter, canvas: Canvas, content: object, *, is_moving: bool) -> None:
        """Draw the layer of a canvas. `content` is compared by identity or value: what is on it."""
        old = self._canvas
        is_same_content = old is not None and content == self._content
        if self._pixmap is None or old is None or not is_same_content or not _is_alike(old, canvas):
            self._paint_whole(canvas, content)
        elif old.view.px_per_mm == canvas.view.px_per_mm:
            self._shift(old, canvas)
        elif is_moving and self.took_s > SLOW_S:
            _draw_scaled(onto, self._pixmap, old, canvas)
            return
        else:
            self._paint_whole(canvas, content)
        if self._pixmap is not None:
            onto.drawPixmap(0, 0, self._pixmap)

    def _paint_whole(self, canvas: Canvas, content: object) -> None:
        started = time.perf_counter()
        self._pixmap = canvas.blank()
        with QPainter(self._pixmap) as painter:
            self._paint(painter, canvas)
        self.took_s = time.perf_counter() - started
        self._canvas, self._content = canvas, content

    def _shift(self, old: Canvas, canvas: Canvas) -> None:
        """Shift the picture by whole device px and paint what came into view."""
        steps = canvas.view.px_per_mm * canvas.ratio
        dx = round((old.view.left_mm - canvas.view.left_mm) * steps)
        dy = round((old.view.top_mm - canvas.view.top_mm) * steps)
        self._canvas = canvas
        pixmap = self._pixmap
        if pixmap is None or (dx == 0 and dy == 0):
            return
        whole = QRect(0, 0, pixmap.width(), pixmap.height())
        pixmap.scroll(dx, dy, whole)
        # Clips are set in device px, where they are whole numbers: a clip at 7.2 px would fade its edge.
        pixmap.setDevicePixelRatio(1.0)
        with QPainter(pixmap) as painter:
            for part in _uncovered(whole, dx, dy):
                self._fill(painter, canvas, part)
        pixmap.setDevicePixelRatio(canvas.ratio)

    def _fill(self, painter: QPainter, canvas: Canvas, part: QRect) -> None:
        """Paint one part of the picture, given in device px, anew."""
        ratio = canvas.ratio
        painter.save()
        painter.setClipRect(part)
        painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Clear)
        painter.fillRect(part, "black")
        painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceOver)
        painter.scale(ratio, ratio)
        clip = QRectF(
            part.x() / ratio, part.y() / ratio, part.width() / ratio, part.height() / ratio
        )
        self._paint(painter, canvas.within(clip))
        painter.restore()


def _uncovered(whole: QRect, dx: int, dy: int) -> Iterator[QRect]:
    """What a shift leaves open: one strip at a side, and one above or below beside it."""
    shifted = whole.translated(dx, dy).intersected(whole)
    if shifted.isEmpty():
        yield whole
        return
    if dx:
        left = 0 if dx > 0 else shifted.right() + 1
        yield QRect(left, 0, abs(dx), whole.height())
    if dy:
        top = 0 if dy > 0 else shifted.bottom() + 1
        yield QRect(shifted.left(), top, shifted.width(), abs(dy))


def _is_alike(a: Canvas, b: Canvas) -> bool:
    """Whether two canvases differ in their view alone."""
    return replace(a, view=View()) == replace(b, view=View())


def _draw_scaled(onto: QPainter, pixmap: QPixmap, old: Canvas, canvas: Canvas) -> None:
    window = old.window
    x0, y0 = canvas.view.to_px(window.corner)
    factor = canvas.view.px_per_mm / old.view.px_per_mm
    target = QRectF(x0, y0, old.width * factor, old.height * factor)
    onto.drawPixmap(target, pixmap, QRectF(0, 0, pixmap.width(), pixmap.height()))
