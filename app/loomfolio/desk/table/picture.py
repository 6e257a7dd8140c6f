"""Paints the table: kept layers of paper and marks, a haze while a way is followed, and what is lit.

::

    table, sheets, pages ─ layer 1 ┐
    quiet conductors, marks ─ layer 2 ├─> haze ─> titles ─> the resting picture ─> lit things ─> screen
                                                            (kept while only the pointer moves)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter, QPixmap

from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.hover_card import card_for, paint_card
from loomfolio.desk.table.label_book import LabelBook
from loomfolio.desk.table.layers import KeptLayer
from loomfolio.desk.table.lines import LineStore
from loomfolio.desk.table.lit import (
    Bench,
    cut_corridors,
    paint_names,
    paint_pointed,
    paint_selected,
    paint_ways,
)
from loomfolio.desk.table.overlay import paint_overlay
from loomfolio.desk.table.paper import paint_sheet, paint_table, paint_title, veil
from loomfolio.desk.table.pin_run import PinRun
from loomfolio.desk.table.preview import AT_REST, Preview
from loomfolio.desk.table.previews import (
    paint_flash,
    paint_link_ends,
    paint_picked,
    paint_preview,
    paint_run,
)
from loomfolio.desk.table.resting import paint_marks, paint_quiet_lines
from loomfolio.desk.table.scene import Scene
from loomfolio.desk.table.selection import NOTHING, Selection
from loomfolio.desk.table.signs import SignedRun
from loomfolio.desk.table.things import Thing
from loomfolio.desk.table.tiles import PaperTiles
from loomfolio.nets import Way
from loomfolio.project import Anchor

SHEET_REACH_PX = 40.0
"""A sheet this far outside still throws its shadow and title into the part to be painted."""


@dataclass(frozen=True, slots=True)
class Lit:
    """What is lit over the resting picture."""

    hovered: Thing | None = None
    pointer: QPointF | None = None
    selected: Selection = NOTHING
    ways: Sequence[Way] = ()
    preview: Preview = AT_REST
    run: tuple[str, PinRun] | None = None
    overlay: Sequence[SignedRun] = ()
    """Two fits over each other."""
    flash: tuple[Anchor, float] | None = None
    """A place that calls for attention, and how far the call has run (0 to 1)."""


class TablePicture:
    """The painters, and the pictures that they keep."""

    def __init__(self, tiles: PaperTiles) -> None:
        self._tiles = tiles
        self.store = LineStore()
        self.book = LabelBook(self.store)
        self._scene = Scene.empty()
        self._paper = KeptLayer(self._paint_paper)
        self._marks = KeptLayer(self._paint_marks)
        self._haze = KeptLayer(self._paint_haze)
        self._ways: Sequence[Way] = ()
        self._rest: QPixmap | None = None
        self._key: object = None

    def forget_pages(self) -> None:
        """Paint the pages anew the next time: one of them arrived."""
        self._paper.forget()
        self._key = None

    def paint(
        self, painter: QPainter, canvas: Canvas, scene: Scene, lit: Lit, *, is_moving: bool
    ) -> None:
        """Paint the whole table. While `is_moving`, slow layers are shown scaled."""
        self._scene, self._ways = scene, lit.ways
        sheets = scene.layout.within(canvas.seen_table(SHEET_REACH_PX))
        bench = Bench(canvas, scene, self.store, sheets)
        painter.drawPixmap(0, 0, self._resting(bench, lit.ways, lit.overlay, is_moving=is_moving))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        _paint_lit(painter, bench, lit)

    def _resting(
        self, bench: Bench, ways: Sequence[Way], overlay: Sequence[SignedRun], *, is_moving: bool
    ) -> QPixmap:
        key = (bench.canvas, bench.scene, ways, overlay, is_moving)
        if self._rest is None or key != self._key:
            self._rest = self._composed(bench, ways, overlay, is_moving=is_moving)
            self._key = key
        return self._rest

    def _composed(
        self, bench: Bench, ways: Sequence[Way], overlay: Sequence[SignedRun], *, is_moving: bool
    ) -> QPixmap:
        canvas, scene = bench.canvas, bench.scene
        picture = canvas.blank()
        with QPainter(picture) as painter:
            self._paper.draw(painter, canvas, scene.layout, is_moving=False)
            self._marks.draw(painter, canvas, scene, is_moving=is_moving)
            if overlay:
                paint_overlay(painter, bench, overlay)
            if ways:
                self._haze.draw(painter, canvas, (scene, ways), is_moving=is_moving)
            for laid in bench.sheets:
                paint_title(painter, canvas, laid, scene)
            if ways:
                _paint_walked(painter, bench, ways, self.book)
        return picture

    def _paint_paper(self, painter: QPainter, canvas: Canvas) -> None:
        paint_table(painter, canvas)
        for laid in self._scene.layout.within(canvas.seen_table(SHEET_REACH_PX)):
            paint_sheet(painter, canvas, laid, self._tiles)

    def _paint_marks(self, painter: QPainter, canvas: Canvas) -> None:
        scene = self._scene
        sheets = scene.layout.within(canvas.seen_table(SHEET_REACH_PX))
        for laid in sheets:
            lines = self.store.get(laid.id, scene.netlist.conductors_on(laid.id))
            paint_quiet_lines(painter, canvas, laid, scene, lines)
        for laid in sheets:
            paint_marks(painter, canvas, laid, scene, self.book)

    def _paint_haze(self, painter: QPainter, canvas: Canvas) -> None:
        """A haze over all sheets that is open along the followed ways."""
        scene = self._scene
        sheets = scene.layout.within(canvas.seen_table(SHEET_REACH_PX))
        for laid in sheets:
            veil(painter, canvas, laid)
        cut_corridors(painter, Bench(canvas, scene, self.store, sheets), self._ways)


def _paint_walked(painter: QPainter, bench: Bench, ways: Sequence[Way], book: LabelBook) -> None:
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    paint_ways(painter, bench, ways)
    nets = {step.net for way in ways for step in way.steps if step.net is not None}
    paint_names(painter, bench, nets, book)


def _paint_lit(painter: QPainter, bench: Bench, lit: Lit) -> None:
    if lit.selected.net is not None:
        paint_selected(painter, bench, lit.selected.net)
    if lit.selected.thing is not None:
        paint_picked(painter, bench, lit.selected.thing)
    is_at_rest = lit.preview is AT_REST
    if lit.hovered is not None and is_at_rest:
        _paint_hovered(painter, bench, lit.hovered, lit.selected.net)
    if lit.run is not None:
        paint_run(painter, bench, *lit.run)
    paint_preview(painter, bench, lit.preview)
    if lit.flash is not None:
        paint_flash(painter, bench, *lit.flash)
    if lit.hovered is not None and lit.pointer is not None and is_at_rest:
        card = card_for(bench.scene, lit.hovered)
        if card is not None:
            paint_card(painter, bench.canvas, lit.pointer, card)


def _paint_hovered(painter: QPainter, bench: Bench, hovered: Thing, selected: int | None) -> None:
    """What is under the pointer; the selected net shows its own form already."""
    nets = {bench.scene.net_of(hovered.sheet, rival) for rival in hovered.rivals}
    lit = sorted(net for net in {hovered.net, *nets} - {selected} if net is not None)
    paint_pointed(painter, bench, lit)
    if hovered.kind == "link":
        paint_link_ends(painter, bench, hovered)
    elif hovered.kind in ("spot", "body", "join", "apart"):
        paint_picked(painter, bench, hovered)
