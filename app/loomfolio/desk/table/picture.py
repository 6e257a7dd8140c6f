"""Paints the table: one kept picture of all that rests, and over it what is lit just now.

The resting picture is made anew only when the view, the document, the theme or a page changed; a
pointer that moves over it costs one copy and what is lit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter, QPixmap

from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.hover_card import card_for, paint_card
from loomfolio.desk.table.labels import LabelField
from loomfolio.desk.table.layout import LaidSheet
from loomfolio.desk.table.lines import LineStore
from loomfolio.desk.table.lit import Bench, paint_pointed, paint_selected, paint_ways
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
from loomfolio.desk.table.resting import QUIET, paint_marks, paint_quiet_lines
from loomfolio.desk.table.scene import Scene
from loomfolio.desk.table.selection import NOTHING, Selection
from loomfolio.desk.table.things import Thing
from loomfolio.desk.table.tiles import PaperTiles
from loomfolio.nets.records import Way
from loomfolio.project import Anchor

SHEET_REACH_MM = 20.0
"""A sheet this far outside the window still throws its shadow and title into it."""


@dataclass(frozen=True, slots=True)
class Lit:
    """What is lit over the resting picture."""

    hovered: Thing | None = None
    pointer: QPointF | None = None
    selected: Selection = NOTHING
    ways: Sequence[Way] = ()
    preview: Preview = AT_REST
    run: tuple[str, PinRun] | None = None
    flash: tuple[Anchor, float] | None = None
    """A place that calls for attention, and how far the call has run (0 to 1)."""


@dataclass
class TablePicture:
    """The painters, and the resting picture that they keep."""

    tiles: PaperTiles
    store: LineStore = field(default_factory=LineStore)
    labels: LabelField = field(default_factory=LabelField)
    _rest: QPixmap | None = None
    _key: tuple[Canvas, int, bool] | None = None

    def forget(self) -> None:
        """Make the resting picture anew at the next painting: a page arrived."""
        self._key = None

    def paint(self, painter: QPainter, canvas: Canvas, scene: Scene, lit: Lit) -> None:
        """Paint the whole table."""
        sheets = scene.layout.within(canvas.window.grown(SHEET_REACH_MM))
        painter.drawPixmap(0, 0, self._resting(canvas, scene, sheets, is_faded=bool(lit.ways)))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        _paint_lit(painter, Bench(canvas, scene, self.store, sheets), lit)

    def _resting(
        self, canvas: Canvas, scene: Scene, sheets: Sequence[LaidSheet], *, is_faded: bool
    ) -> QPixmap:
        key = (canvas, id(scene), is_faded)
        if self._rest is None or key != self._key:
            self._rest, self._key = self._make_rest(canvas, scene, sheets, is_faded=is_faded), key
        return self._rest

    def _make_rest(
        self, canvas: Canvas, scene: Scene, sheets: Sequence[LaidSheet], *, is_faded: bool
    ) -> QPixmap:
        picture = canvas.blank()
        painter = QPainter(picture)
        paint_table(painter, canvas)
        for laid in sheets:
            paint_sheet(painter, canvas, laid, self.tiles)
        layer = canvas.blank()
        paint_quiet_lines(layer, canvas, sheets, scene, self.store)
        painter.setOpacity(QUIET)
        painter.drawPixmap(0, 0, layer)
        painter.setOpacity(1.0)
        self.labels = LabelField()
        for laid in sheets:
            paint_marks(painter, canvas, laid, scene, self.labels)
            if is_faded:
                veil(painter, canvas, laid)
            paint_title(painter, canvas, laid, scene)
        painter.end()
        return picture


def _paint_lit(painter: QPainter, bench: Bench, lit: Lit) -> None:
    if lit.ways:
        paint_ways(painter, bench, lit.ways)
    if lit.selected.net is not None:
        paint_selected(painter, bench, lit.selected.net)
    if lit.selected.thing is not None:
        paint_picked(painter, bench, lit.selected.thing)
    hovered = lit.hovered
    if hovered is not None and lit.preview is AT_REST:
        nets = [bench.scene.net_of(hovered.sheet, rival) for rival in hovered.rivals]
        paint_pointed(painter, bench, {net for net in (hovered.net, *nets) if net is not None})
        if hovered.kind == "link":
            paint_link_ends(painter, bench, hovered)
        elif hovered.kind in ("spot", "body", "join", "apart"):
            paint_picked(painter, bench, hovered)
    if lit.run is not None:
        paint_run(painter, bench, *lit.run)
    paint_preview(painter, bench, lit.preview)
    if lit.flash is not None:
        paint_flash(painter, bench, *lit.flash)
    if hovered is not None and lit.pointer is not None and lit.preview is AT_REST:
        card = card_for(bench.scene, hovered)
        if card is not None:
            paint_card(painter, bench.canvas, lit.pointer, card)
