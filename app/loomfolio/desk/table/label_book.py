"""Keeps the labels of each sheet at the present scale, and tells which lie under the pointer."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QPointF, QRectF

from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.ink import Ink
from loomfolio.desk.table.labels import PlacedLabel, lay_labels
from loomfolio.desk.table.layout import LaidSheet
from loomfolio.desk.table.lines import LineStore
from loomfolio.desk.table.scene import Scene


class LabelBook:
    """The labels of all sheets seen so far at one scale; another scale or document starts anew."""

    def __init__(self, store: LineStore) -> None:
        self._store = store
        self._key: object = None
        self._sheets: dict[str, tuple[PlacedLabel, ...]] = {}

    def on(
        self, laid: LaidSheet, canvas: Canvas, scene: Scene, ink: Ink
    ) -> Iterator[tuple[PlacedLabel, QRectF]]:
        """Yield the labels of a sheet with their boxes in the window."""
        key = (scene, canvas.view.px_per_mm, canvas.theme)
        if key != self._key:
            self._key, self._sheets = key, {}
        if laid.id not in self._sheets:
            lines = self._store.get(laid.id, scene.netlist.conductors_on(laid.id))
            self._sheets[laid.id] = lay_labels(scene, laid.id, lines, ink)
        corner = canvas.frame(laid)
        for label in self._sheets[laid.id]:
            yield label, label.box.translated(corner.dx(), corner.dy())

    def under(self, at: QPointF, canvas: Canvas, scene: Scene) -> tuple[str, ...]:
        """Return the records whose label lies under a px, topmost first."""
        ink = Ink(canvas)
        found = [
            label.record
            for laid in scene.layout.within(canvas.seen_table(0.0).grown(20.0))
            for label, box in self.on(laid, canvas, scene, ink)
            if label.record and box.contains(at)
        ]
        return tuple(reversed(found))
