"""The page while it is being laid out: raster, wiring, parts, and which area is still empty."""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

import cv2
import numpy as np
from numpy.typing import NDArray

from accuracy.grid import Grid, Node, Route
from accuracy.lettering import width_of, written
from accuracy.marks import (
    Body,
    Box,
    Cross,
    Join,
    Lettering,
    Mark,
    Point,
    Role,
    Stroke,
    Word,
    WordKind,
    rectangle,
)
from accuracy.style import Style
from accuracy.symbols import Shape
from accuracy.wiring import End, Wiring

_CELL_MM = 0.25
SKEW_REACH = 0.06  # how far the box round a skewed body grows, as a share of its side


@dataclass(slots=True)
class Pin:
    """A pin of a laid out part: where its line ends and where on the raster it starts."""

    number: int
    name: str
    body: int
    at: Point
    outward: Point
    start: Node
    net: int = 0


class Empty:
    """Which area of the page nothing has been drawn on yet, in cells of 0.25 mm."""

    def __init__(self, width_mm: float, height_mm: float) -> None:
        self.cells = np.zeros(
            (int(height_mm / _CELL_MM) + 1, int(width_mm / _CELL_MM) + 1), np.uint8
        )

    def _window(self, box: Box) -> tuple[slice, slice]:
        x0, y0, x1, y1 = (round(v / _CELL_MM) for v in box)
        return slice(max(y0, 0), max(y1, y0) + 1), slice(max(x0, 0), max(x1, x0) + 1)

    def is_free(self, box: Box) -> bool:
        """Is the box inside the page and empty?"""
        rows, columns = self.cells.shape
        x0, y0, x1, y1 = box
        inside = x0 > 0 and y0 > 0 and x1 < columns * _CELL_MM and y1 < rows * _CELL_MM
        return inside and not self.cells[self._window(box)].any()

    def window(self, box: Box) -> NDArray[np.uint8]:
        """Return the cells of a box: 1 where something is drawn."""
        return self.cells[self._window(box)]

    def fill(self, box: Box) -> None:
        """Mark a box as used."""
        self.cells[self._window(box)] = 1

    def line(self, a: Point, b: Point) -> None:
        """Mark the cells under a line as used."""
        ends = [(round(x / _CELL_MM), round(y / _CELL_MM)) for x, y in (a, b)]
        cv2.line(self.cells, ends[0], ends[1], 1, 1)


class Draft:
    """Everything of a page under construction."""

    def __init__(self, seed: int, style: Style) -> None:
        self.seed, self.style = seed, style
        self.rng = Random(f"page {seed}")
        self.margin_mm = 12.0
        pitch = style.pitch_mm
        self.origin = (self.margin_mm + 6, self.margin_mm + 6)
        usable = [side - 2 * (self.margin_mm + 6) for side in (style.width_mm, style.height_mm)]
        self.grid = Grid(int(usable[1] / pitch) + 1, int(usable[0] / pitch) + 1)
        self.wiring = Wiring()
        self.empty = Empty(style.width_mm, style.height_mm)
        self.bodies: list[Body] = []
        self.pins: list[Pin] = []
        self.marks: list[Mark] = []
        self.late: list[Mark] = []  # small conductor marks, drawn after the lines
        self.over: list[Mark] = []  # letters and decoys, drawn last
        self.words: list[Word] = []
        self.plain_edges: set[int] = set()
        self.crossings: list[Cross] = []
        self.joins: list[Join] = []
        self.pictures: list[Box] = []  # title block, tables, connector faces
        self.tags: set[str] = set()
        self.features: list[tuple[str, Point]] = []
        self.routes: dict[int, list[Route]] = {}
        self.nets = 0

    def at(self, node: Node) -> Point:
        """Return where a node of the raster lies on the page in mm."""
        pitch = self.style.pitch_mm
        return self.origin[0] + node[1] * pitch, self.origin[1] + node[0] * pitch

    def steps(self, length_mm: float) -> int:
        """How many raster steps cover a length."""
        return math.ceil(length_mm / self.style.pitch_mm - 1e-9)

    def nodes_in(self, box: Box, margin_mm: float) -> tuple[int, int, int, int]:
        """The block of nodes (first row and column, last row and column) under a box with margin."""
        x0, y0, x1, y1 = box
        pitch = self.style.pitch_mm
        return (
            math.ceil((y0 - margin_mm - self.origin[1]) / pitch - 1e-9),
            math.ceil((x0 - margin_mm - self.origin[0]) / pitch - 1e-9),
            math.floor((y1 + margin_mm - self.origin[1]) / pitch + 1e-9),
            math.floor((x1 + margin_mm - self.origin[0]) / pitch + 1e-9),
        )

    def is_clear(self, box: Box, margin_mm: float) -> bool:
        """Does a box lie on the raster, and it and its margin on unused nodes and empty paper?"""
        (x0, y0), (x1, y1) = self.at((0, 0)), self.at((self.grid.rows - 1, self.grid.columns - 1))
        inside = box[0] >= x0 - 3 and box[1] >= y0 - 3 and box[2] <= x1 + 3 and box[3] <= y1 + 3
        wide = (box[0] - margin_mm, box[1] - margin_mm, box[2] + margin_mm, box[3] + margin_mm)
        nodes = self.nodes_in(box, margin_mm)
        return inside and self.grid.is_clear(*nodes) and self.empty.is_free(wide)

    def body(self, box: Box, kind: str, *, marked: bool = True) -> int:
        """Register a body: its nodes, with the margin a skewed page needs, are out of use."""
        side = max(box[2] - box[0], box[3] - box[1])
        self.grid.block(*self.nodes_in(box, SKEW_REACH * side + 0.9))
        self.empty.fill(box)
        self.bodies.append(Body(box, kind, marked=marked))
        self.note(kind, ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2))
        return len(self.bodies) - 1

    def pin(self, name: str, body: int, at: Point, outward: Point, clear_mm: float) -> Pin | None:
        """Add a pin whose line runs straight out for at least `clear_mm` to the raster."""
        pitch = self.style.pitch_mm
        row = (at[1] + outward[1] * clear_mm - self.origin[1]) / pitch
        column = (at[0] + outward[0] * clear_mm - self.origin[0]) / pitch
        node = (_ahead(row, outward[1]), _ahead(column, outward[0]))
        grid = self.grid
        if not grid.holds(node) or not grid.is_clear(*node, *node):
            return None
        pin = Pin(len(self.pins), name, body, at, outward, node)
        self.pins.append(pin)
        self.grid.reserve(node, -2 - pin.number)
        self.empty.line(at, self.at(node))
        return pin

    def stroke(self, *points: Point, width_mm: float | None = None, closed: bool = False) -> None:
        """Draw a line of a body."""
        width = self.style.line_mm if width_mm is None else width_mm
        self.marks.append(Stroke(tuple(points), width, self.style.ink, Role.BODY, closed))

    def outline(self, box: Box) -> None:
        """Draw the outline of a body."""
        self.stroke(*rectangle(box), closed=True)

    def write(
        self,
        text: str,
        at: Point,
        height_mm: float,
        *,
        turned: bool = False,
        kind: WordKind = WordKind.LABEL,
    ) -> None:
        """Write in the lettering of the page and mark the area as used."""
        self.marks += self.letters(text, at, height_mm, turned=turned, kind=kind)
        self.empty.fill(self.text_box(text, at, height_mm, turned=turned))

    def letters(
        self,
        text: str,
        at: Point,
        height_mm: float,
        *,
        turned: bool = False,
        kind: WordKind = WordKind.LABEL,
    ) -> list[Mark]:
        """Return the marks of a text in the lettering of the page, and note what is written where."""
        self.words.append(
            Word(text, self.text_box(text, at, height_mm, turned=turned), kind, turned)
        )
        ink = self.style.ink
        if self.style.lettering == "strokes":
            width = max(0.15, min(self.style.line_mm, height_mm / 8))
            return list(written(text, at, height_mm, turned=turned, width_mm=width, colour=ink))
        narrow = self.style.lettering == "narrow"
        return [Lettering(at, text, height_mm, ink, turned, narrow)]

    def is_unwritten(self, box: Box) -> bool:
        """Is no text written there yet? Inside bodies nothing else keeps texts apart."""
        x0, y0, x1, y1 = box
        return not any(
            x0 < other.box[2] + 0.3
            and other.box[0] < x1 + 0.3
            and y0 < other.box[3] + 0.3
            and other.box[1] < y1 + 0.3
            for other in self.words[-400:]
        )

    def text_box(self, text: str, at: Point, height_mm: float, *, turned: bool = False) -> Box:
        """Return the area a text takes."""
        wide, high = width_of(text, height_mm) / 2, height_mm / 2
        if turned:
            wide, high = high, wide
        return at[0] - wide, at[1] - high, at[0] + wide, at[1] + high

    def set_shape(self, shape: Shape, at: Point, along: Point, scale: float = 1.0) -> Box:
        """Draw a symbol with its x axis along a direction; return the box it takes."""

        def place(points: tuple[Point, ...]) -> tuple[Point, ...]:
            return tuple(
                (
                    at[0] + scale * (x * along[0] - y * along[1]),
                    at[1] + scale * (x * along[1] + y * along[0]),
                )
                for x, y in points
            )

        ink, width = self.style.ink, self.style.line_mm
        drawn = [Stroke(place(line), width, ink, Role.BODY) for line in shape.lines]
        drawn += [Stroke(place(line), width, ink, Role.BODY, True) for line in shape.closed]
        drawn += [Stroke(place(line), width, ink, Role.BODY, True, ink) for line in shape.filled]
        self.marks += drawn
        xs = [p[0] for s in drawn for p in s.points]
        ys = [p[1] for s in drawn for p in s.points]
        return min(xs), min(ys), max(xs), max(ys)

    def note(self, feature: str, at: Point) -> None:
        """Note that a convention is drawn, and where."""
        self.tags.add(feature)
        self.features.append((feature, at))

    def new_net(self) -> int:
        """Return the id of a new net."""
        self.nets += 1
        return self.nets

    def lay(self, net: int, route: Route) -> None:
        """Give a route to a net."""
        self.grid.take(route, net)
        self.routes.setdefault(net, []).append(route)

    def end_of(self, pin: Pin) -> End:
        """The pin as the wiring knows it."""
        return End(pin.name, pin.body, pin.outward)


def _ahead(place: float, direction: float) -> int:
    """The next whole step in a direction; across the direction, the nearest."""
    if direction > 0:
        return math.ceil(place - 1e-6)
    if direction < 0:
        return math.floor(place + 1e-6)
    return round(place)
