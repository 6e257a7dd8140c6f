"""The paper as tiles: from the pyramid's fitting level to pixmaps, within a fixed memory.

::

    sheet on screen -> level -> visible tiles -> pixmap cache (least recently used goes first)
                          └─ level not held -> loader (worker) -> pyramid store -> changed

While a page loads, its nearest coarser level is shown. Tiles carry a border of one px of their
neighbours, so that smoothing shows no seams.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from PySide6.QtCore import QObject, QRectF, QTimer, Signal
from PySide6.QtGui import QPainter, QPixmap

from loomfolio.basics import MM_PER_INCH
from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.layout import LaidSheet
from loomfolio.desk.table.loader import PyramidLoader, page_key
from loomfolio.desk.table.paper_ink import PaperInk
from loomfolio.desk.table.pyramid import Pyramid, level_for
from loomfolio.desk.table.seams import PixelsSource
from loomfolio.project import Sheet

TILE_PX = 512
TILE_CACHE_BYTES = 192 * 2**20
PYRAMID_BYTES = 512 * 2**20
NEW_TILES_A_FRAME = 12
"""About 5 ms (measured: 0.1 to 0.4 ms each)."""
CRISP_ABOVE = 3.0
"""From this many device px for one of the page on, each page px is shown as a sharp square."""


class TileKey(NamedTuple):
    """One tile of one level of one page."""

    page: str
    level: int
    column: int
    row: int


class PaperTiles(QObject):
    """Paints the pages of sheets. `changed` tells that a page arrived and is worth painting again."""

    changed = Signal()
    failed = Signal(object, str)

    def __init__(
        self,
        parent: QObject | None = None,
        *,
        tile_bytes: int = TILE_CACHE_BYTES,
        pyramid_bytes: int = PYRAMID_BYTES,
    ) -> None:
        super().__init__(parent)
        self._tile_bytes, self._pyramid_bytes = tile_bytes, pyramid_bytes
        self._tiles: OrderedDict[TileKey, QPixmap] = OrderedDict()
        self._pyramids: OrderedDict[str, Pyramid] = OrderedDict()
        self._faults: dict[str, str] = {}
        self._source: PixelsSource | None = None
        self._ink: PaperInk | None = None
        self._again = QTimer(self)
        self._again.setSingleShot(True)
        self._again.setInterval(0)
        self._again.timeout.connect(self.changed)
        self._loader = PyramidLoader(self)
        self._loader.loaded.connect(self._take)
        self._loader.failed.connect(self._take_fault)
        self.shut_down: Callable[[], None] = self._loader.shut_down

    def show(self, sheets: Iterable[Sheet], source: PixelsSource) -> None:
        """Hold pages of these sheets only; a page that failed is tried again with a new source."""
        self._source = source
        self._faults.clear()
        keys = {page_key(sheet) for sheet in sheets}
        for gone in [key for key in self._pyramids if key not in keys]:
            del self._pyramids[gone]
        for tile in [tile for tile in self._tiles if tile.page not in keys]:
            del self._tiles[tile]

    def set_ink(self, ink: PaperInk) -> None:
        """Show the pages on another paper; tiles made for the old one are dropped."""
        if ink != self._ink:
            self._ink = ink
            self._tiles.clear()

    @property
    def is_idle(self) -> bool:
        """Whether no page is being loaded and no tile is yet to be made."""
        return self._loader.is_idle and not self._again.isActive()

    @property
    def held_bytes(self) -> tuple[int, int]:
        """The memory of tiles and of pyramids."""
        pyramids = sum(pyramid.size_bytes for pyramid in self._pyramids.values())
        return sum(_bytes_of(tile) for tile in self._tiles.values()), pyramids

    def fault_of(self, sheet: Sheet) -> str:
        """Return the sentence that says why a page cannot be shown; empty when it can."""
        return self._faults.get(page_key(sheet), "")

    def paint(self, painter: QPainter, canvas: Canvas, laid: LaidSheet) -> bool:
        """Paint what is seen of one page; False where nothing of it is there yet."""
        across = canvas.view.px_per_mm * canvas.ratio * MM_PER_INCH / laid.sheet.x_dpi
        wished = level_for(across)
        pyramid = self._pyramid(laid.sheet, wished)
        if pyramid is None:
            return False
        level = self._ready_level(canvas, laid, pyramid, pyramid.held_near(wished))
        is_smooth = across < CRISP_ABOVE
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, is_smooth)
        for target, source, key in _visible_tiles(canvas, laid, pyramid, level):
            painter.drawPixmap(target, self._tile(key, pyramid), source)
        self._drop_tiles()
        return True

    def _ready_level(self, canvas: Canvas, laid: LaidSheet, pyramid: Pyramid, level: int) -> int:
        """The level itself, or the next coarser one while too many of its tiles are yet to be made.

        A frame makes so many of them and no more; it is painted again until all are there.
        """
        wanted = (key for _, _, key in _visible_tiles(canvas, laid, pyramid, level))
        missing = [key for key in wanted if key not in self._tiles]
        if len(missing) <= NEW_TILES_A_FRAME or level == pyramid.last:
            return level
        for key in missing[:NEW_TILES_A_FRAME]:
            self._tile(key, pyramid)
        self._again.start()
        return level + 1

    def _pyramid(self, sheet: Sheet, level: int) -> Pyramid | None:
        """The page's pyramid, asked for where it is not there or lacks the level."""
        key = page_key(sheet)
        pyramid = self._pyramids.get(key)
        if pyramid is not None:
            self._pyramids.move_to_end(key)
        is_lacking = pyramid is None or min(level, pyramid.last) < pyramid.first
        if is_lacking and self._source is not None and key not in self._faults:
            self._loader.want(sheet, self._source)
        return pyramid

    def _tile(self, key: TileKey, pyramid: Pyramid) -> QPixmap:
        tile = self._tiles.get(key)
        if tile is None:
            pixels = pyramid.level(key.level)
            x0, y0 = max(key.column * TILE_PX - 1, 0), max(key.row * TILE_PX - 1, 0)
            x1, y1 = (key.column + 1) * TILE_PX + 1, (key.row + 1) * TILE_PX + 1
            ink = self._ink or PaperInk.plain()
            tile = self._tiles[key] = ink.pixmap(pixels[y0:y1, x0:x1])
        self._tiles.move_to_end(key)
        return tile

    def _drop_tiles(self) -> None:
        held = sum(_bytes_of(tile) for tile in self._tiles.values())
        while held > self._tile_bytes and len(self._tiles) > 1:
            _, gone = self._tiles.popitem(last=False)
            held -= _bytes_of(gone)

    def _take(self, sheet: Sheet, pyramid: Pyramid) -> None:
        """Hold a page that arrived; those not looked at for longest give up their fine levels."""
        key = page_key(sheet)
        self._pyramids[key] = pyramid
        self._pyramids.move_to_end(key)
        held = sum(other.size_bytes for other in self._pyramids.values())
        for other in [k for k in self._pyramids if k != key]:
            if held <= self._pyramid_bytes:
                break
            thin = self._pyramids[other].thinned()
            held -= self._pyramids[other].size_bytes - thin.size_bytes
            self._pyramids[other] = thin
        self.changed.emit()

    def _take_fault(self, sheet: Sheet, sentence: str) -> None:
        self._faults[page_key(sheet)] = sentence
        self.failed.emit(sheet, sentence)
        self.changed.emit()


def _bytes_of(tile: QPixmap) -> int:
    return tile.width() * tile.height() * 4


def _visible_tiles(
    canvas: Canvas, laid: LaidSheet, pyramid: Pyramid, level: int
) -> Iterator[tuple[QRectF, QRectF, TileKey]]:
    """Where each visible tile goes on screen, which part of its pixmap that is, and its key."""
    page = canvas.rect(laid.box)
    seen = page.intersected(canvas.area)
    if seen.isEmpty():
        return
    height, width = pyramid.level(level).shape[:2]
    step_x, step_y = page.width() / width, page.height() / height  # screen px per level px
    columns = _span(seen.left() - page.left(), seen.right() - page.left(), step_x, width)
    rows = _span(seen.top() - page.top(), seen.bottom() - page.top(), step_y, height)
    for row in rows:
        for column in columns:
            x0, y0 = column * TILE_PX, row * TILE_PX
            x1, y1 = min(x0 + TILE_PX, width), min(y0 + TILE_PX, height)
            target = QRectF(
                page.left() + x0 * step_x,
                page.top() + y0 * step_y,
                (x1 - x0) * step_x,
                (y1 - y0) * step_y,
            )
            source = QRectF(min(x0, 1), min(y0, 1), x1 - x0, y1 - y0)
            yield target, source, TileKey(page_key(laid.sheet), level, column, row)


def _span(first_px: float, last_px: float, step: float, extent: int) -> range:
    """The tiles along one axis that a stretch of the screen touches."""
    first = max(math.floor(first_px / step / TILE_PX), 0)
    last = min(math.ceil(last_px / step / TILE_PX), math.ceil(extent / TILE_PX))
    return range(first, max(last, first))
