"""What is lit over the sheets just now: the net pointed at, the selected one, the followed ways.

Forms first: pointed at is one firm line with its pins as squares; selected has a broad light halo;
followed is broader still, with chevrons in the direction walked. What may go to the bench is a solid
double line, what may not is hollow.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPixmap

from loomfolio.basics import MmPoint
from loomfolio.desk.table import forms
from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.geometry import points_along
from loomfolio.desk.table.ink import Ink
from loomfolio.desk.table.label_book import LabelBook
from loomfolio.desk.table.labels import paint_label
from loomfolio.desk.table.layout import LaidSheet
from loomfolio.desk.table.lines import LineStore, run_lines
from loomfolio.desk.table.scene import Scene
from loomfolio.nets import Way, WayStep

POINTED_PX, SELECTED_PX, FOLLOWED_PX = 2.5, 2.5, 4.0
HALO_PX = 6.0
COVER_PX = 2.0
"""How much broader than the print a line of ours is that has to hide it."""
CHEVRON_EVERY_MM, CHEVRON_APART_PX = 25.0, 48.0
"""Chevrons stand 25 mm apart on the paper; zoomed out, so many mm that they are 48 px apart."""
PIN_SQUARE_PX = 7.0
CORE = 0.85
"""How far the print shows no more through the middle of a double or hollow line."""
CORRIDOR_MM = 9.0
"""Along a followed way the print keeps its strength this far across, so that it can be read."""


@dataclass(frozen=True, slots=True)
class Rails:
    """A double line: its whole width, and how wide the middle is that is left open, px."""

    width: float
    middle: float

    @property
    def is_hollow(self) -> bool:
        """Whether the rails are thin against what lies between them."""
        return self.middle > self.width / 2


HOLLOW_SELECTED, SOLID_SELECTED = Rails(6.0, 4.0), Rails(6.0, 1.5)
HOLLOW_FOLLOWED, SOLID_FOLLOWED = Rails(8.0, 5.5), Rails(8.0, 2.0)


@dataclass(frozen=True, slots=True)
class Bench:
    """What painters of lit things need at hand."""

    canvas: Canvas
    scene: Scene
    store: LineStore
    sheets: Sequence[LaidSheet]

    @property
    def ink(self) -> Ink:
        """Colours and sizes on the paper."""
        return Ink(self.canvas)

    def lines(self, laid: LaidSheet, net: int) -> list[QLineF]:
        """Return a net's lines on one sheet, mm."""
        conductors = self.scene.netlist.conductors_on(laid.id)
        return self.store.get(laid.id, conductors).of_net(net)

    def stroke_px(self, laid: LaidSheet, net: int) -> float:
        """Return how broad the net is printed here at this zoom, px."""
        conductors = self.scene.netlist.conductors_on(laid.id)
        stroke_mm = self.store.get(laid.id, conductors).stroke_mm(net)
        return stroke_mm * self.canvas.view.px_per_mm

    def over_print(self, laid: LaidSheet, net: int, width_px: float) -> float:
        """Return a width that hides the printed stroke, where that is broader: black swallows blue."""
        stroke_px = self.stroke_px(laid, net)
        return width_px if stroke_px <= width_px else stroke_px + COVER_PX

    def broad(self, laid: LaidSheet, net: int, rails: Rails) -> Rails:
        """Return rails whose middle clears the printed stroke, or for double lines covers it."""
        more = max(self.stroke_px(laid, net) + COVER_PX - rails.middle, 0.0)
        if rails.is_hollow:
            return Rails(rails.width + more, rails.middle + more)
        return Rails(max(rails.width, rails.middle + more), rails.middle)


def paint_pointed(painter: QPainter, bench: Bench, nets: Iterable[int]) -> None:
    """One firm line over the whole net, on all sheets in view, and its pins."""
    colour = bench.ink.of("followed")
    for net in nets:
        _stroke_net(painter, bench, net, colour, POINTED_PX)
        paint_pins(painter, bench, net)


def paint_selected(painter: QPainter, bench: Bench, net: int) -> None:
    """The net over a broad light halo; hollow or double by whether it may go to the bench."""
    ink = bench.ink
    _paint_halo(painter, bench, net)
    release = bench.scene.release.get(net)
    if release is None:
        _stroke_net(painter, bench, net, ink.of("followed"), SELECTED_PX)
    else:
        rails = SOLID_SELECTED if release.is_released else HOLLOW_SELECTED
        colour = ink.of("confirmed" if release.is_released else "followed")
        layer = bench.canvas.blank()
        for laid in bench.sheets:
            _paint_rails(
                layer, bench, laid, bench.lines(laid, net), colour, bench.broad(laid, net, rails)
            )
        painter.drawPixmap(0, 0, layer)
    paint_pins(painter, bench, net)


def paint_conductor(painter: QPainter, bench: Bench, number: int) -> None:
    """One conductor alone, as a candidate of a question."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for laid in bench.sheets:
        lines = bench.store.get(laid.id, bench.scene.netlist.conductors_on(laid.id))
        position = lines.position.get(number)
        if position is not None:
            painter.save()
            painter.setTransform(bench.canvas.frame(laid))
            painter.setPen(forms.stroke(bench.ink.of("doubt"), POINTED_PX))
            painter.drawLines(lines.lines[position])
            painter.restore()


def paint_pins(painter: QPainter, bench: Bench, net: int) -> None:
    """The net's pins as small filled squares, on every sheet in view."""
    ink = bench.ink
    by_id = {laid.id: laid for laid in bench.sheets}
    for placed in bench.scene.pins_of_net.get(net, ()):
        laid = by_id.get(placed.anchor.sheet)
        if laid is not None:
            at = bench.canvas.px(laid, placed.anchor.at)
            forms.paint_square(painter, at, PIN_SQUARE_PX, ink.of("followed"), ink.paper)


def _stroke_net(
    painter: QPainter,
    bench: Bench,
    net: int,
    colour: QColor,
    width_px: float,
    *,
    rim_px: float = 0.0,
) -> None:
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for laid in bench.sheets:
        painter.save()
        painter.setTransform(bench.canvas.frame(laid))
        width = bench.over_print(laid, net, width_px) + 2 * rim_px
        painter.setPen(forms.stroke(colour, width))
        painter.drawLines(bench.lines(laid, net))
        painter.restore()


def _paint_halo(painter: QPainter, bench: Bench, net: int) -> None:
    """A broad stripe as of a highlighter: the print stays readable in it."""
    theme = bench.canvas.theme
    is_dark = theme.paper_colours.name == "dark"
    share = 0.35 if is_dark else 0.25
    tint = QColor(theme.paper_colours.mixed("table" if is_dark else "paper", "followed", share))
    mode = QPainter.CompositionMode
    painter.save()
    painter.setCompositionMode(
        mode.CompositionMode_Lighten if is_dark else mode.CompositionMode_Darken
    )
    _stroke_net(painter, bench, net, tint, SELECTED_PX, rim_px=HALO_PX)
    painter.restore()


def _paint_rails(
    layer: QPixmap,
    bench: Bench,
    laid: LaidSheet,
    lines: list[QLineF],
    colour: QColor,
    rails: Rails,
) -> None:
    """Draw lines as two rails into a layer: a broad line whose middle is paper again."""
    if not lines:
        return
    with QPainter(layer) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setTransform(bench.canvas.frame(laid))
        painter.setPen(forms.stroke(colour, rails.width))
        painter.drawLines(lines)
        core = bench.ink.paper
        core.setAlphaF(CORE)
        painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Source)
        painter.setPen(forms.stroke(core, rails.middle))
        painter.drawLines(lines)


# ---------------------------------------------------------------------- followed ways


def paint_ways(painter: QPainter, bench: Bench, ways: Sequence[Way]) -> None:
    """The drawn runs of followed ways, with chevrons in the direction walked, and their pins."""
    ink = bench.ink
    runs = _runs(bench, ways)
    layer = bench.canvas.blank()
    for laid, points, step in runs:
        _paint_run(layer, bench, laid, points, step)
    painter.drawPixmap(0, 0, layer)
    for laid, points, _ in runs:
        _paint_chevrons(painter, bench, laid, points)
    by_id = {laid.id: laid for laid in bench.sheets}
    for step in (step for way in ways for step in way.steps):
        laid_there = by_id.get(step.place.sheet) if step.place else None
        if laid_there is not None and step.place is not None and step.pin is not None:
            at = bench.canvas.px(laid_there, step.place.at)
            forms.paint_square(painter, at, PIN_SQUARE_PX + 1, ink.of("followed"), ink.paper)


def cut_corridors(painter: QPainter, bench: Bench, ways: Sequence[Way]) -> None:
    """Take the haze away along the drawn runs of ways."""
    width = CORRIDOR_MM * bench.canvas.view.px_per_mm
    for laid, points, _ in _runs(bench, ways):
        painter.save()
        painter.setTransform(bench.canvas.frame(laid), combine=True)
        painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Clear)
        pen = forms.stroke(bench.ink.paper, width)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.drawPolyline([QPointF(*point) for point in points])
        painter.restore()


def paint_names(painter: QPainter, bench: Bench, nets: Iterable[int], book: LabelBook) -> None:
    """Write the names of lit nets again where they lie, over the haze."""
    ink = bench.ink
    marks = {mark.id for net in nets for mark in bench.scene.name_marks_of(net)}
    for laid in bench.sheets:
        for label, box in book.on(laid, bench.canvas, bench.scene, ink):
            if label.record in marks:
                paint_label(
                    painter, box, label.text, ink.bold, ink=ink.of("followed"), paper=ink.paper
                )


_Run = tuple[LaidSheet, tuple[MmPoint, ...], WayStep]


def _runs(bench: Bench, ways: Sequence[Way]) -> list[_Run]:
    """Each drawn run once, though several ways may walk it."""
    by_id = {laid.id: laid for laid in bench.sheets}
    found: dict[tuple[str, tuple[MmPoint, ...]], _Run] = {}
    for step in (step for way in ways for step in way.steps):
        for sheet_id, points in step.lines:
            laid = by_id.get(sheet_id)
            if laid is not None and len(points) > 1:
                found.setdefault((sheet_id, points), (laid, points, step))
    return list(found.values())


def _paint_run(
    layer: QPixmap, bench: Bench, laid: LaidSheet, points: tuple[MmPoint, ...], step: WayStep
) -> None:
    ink = bench.ink
    lines = run_lines(points)
    release = bench.scene.release.get(step.net) if step.net is not None else None
    has_open = any(not piece.is_confirmed for piece in step.pieces)
    if release is None and not has_open:
        with QPainter(layer) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setTransform(bench.canvas.frame(laid))
            width = (
                bench.over_print(laid, step.net, FOLLOWED_PX)
                if step.net is not None
                else FOLLOWED_PX
            )
            painter.setPen(forms.stroke(ink.of("followed"), width))
            painter.drawLines(lines)
        return
    is_released = release is not None and release.is_released and not has_open
    rails = SOLID_FOLLOWED if is_released else HOLLOW_FOLLOWED
    if step.net is not None:
        rails = bench.broad(laid, step.net, rails)
    colour = ink.of("confirmed" if is_released else "followed")
    _paint_rails(layer, bench, laid, lines, colour, rails)


def _paint_chevrons(
    painter: QPainter, bench: Bench, laid: LaidSheet, points: tuple[MmPoint, ...]
) -> None:
    ink, scale = bench.ink, bench.canvas.view.px_per_mm
    every = max(CHEVRON_EVERY_MM, CHEVRON_APART_PX / scale)
    length = sum(a.distance_mm(b) for a, b in pairwise(points))
    if length * scale < 14.0:
        return
    for at, angle in points_along(points, every, min(every, length) / 2):
        spot: QPointF = bench.canvas.px(laid, at)
        forms.paint_chevron(painter, spot, angle, 11.0, ink.of("followed"), ink.paper)
