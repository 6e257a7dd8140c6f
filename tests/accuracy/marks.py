"""What is drawn on a generated page: strokes and letters in mm, and the truth that goes with them.

A page is a display list. Nothing here knows pixels: `paint` turns the list into an image at any
resolution, `damage` spoils the image, and the truth is carried along as points in mm.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum

Point = tuple[float, float]
Rgb = tuple[int, int, int]
Box = tuple[float, float, float, float]

BLACK: Rgb = (0, 0, 0)
WHITE: Rgb = (255, 255, 255)


class Role(StrEnum):
    """What a mark is, so that a test can draw the conductors alone."""

    CONDUCTOR = "conductor"
    BODY = "body"
    TEXT = "text"
    DECOY = "decoy"
    FURNITURE = "furniture"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A polyline or, when `closed`, an outline; curves are flattened into it."""

    points: tuple[Point, ...]
    width_mm: float
    colour: Rgb
    role: Role
    closed: bool = False
    fill: Rgb | None = None


@dataclass(frozen=True, slots=True)
class Lettering:
    """A line of text round the middle `at`; `turned` reads from below."""

    at: Point
    text: str
    height_mm: float
    colour: Rgb = BLACK
    turned: bool = False
    narrow: bool = False


Mark = Stroke | Lettering


class WordKind(StrEnum):
    """What a printed text says."""

    PIN = "pin number"
    NAME = "part name"
    COLOUR = "wire colour"
    LABEL = "label"
    FURNITURE = "furniture"


@dataclass(frozen=True, slots=True)
class Word:
    """A text as printed, with the area that it takes and what it says; `turned` reads from below."""

    text: str
    box: Box
    kind: WordKind
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Terminal:
    """The end of a conductor at a body: `at` lies on its ink, `outward` points away from the body."""

    name: str
    at: Point
    outward: Point
    body: int | None


@dataclass(frozen=True, slots=True)
class Body:
    """A part on the page; only `marked` ones are given to the reader as boxes."""

    box: Box
    kind: str
    marked: bool = True


@dataclass(frozen=True, slots=True)
class Join:
    """A place where drawn conductor is joined."""

    at: Point
    kind: str


@dataclass(frozen=True, slots=True)
class Cross:
    """A place where two conductors pass without being joined."""

    at: Point
    kind: str


@dataclass(frozen=True, slots=True)
class Net:
    """Terminals (by index) that drawn conductor joins, and the centre lines it is drawn along."""

    terminals: tuple[int, ...]
    lines: tuple[tuple[Point, ...], ...]


@dataclass(frozen=True, slots=True)
class DrawnPage:
    """A page as drawn, in mm, with its truth."""

    seed: int
    width_mm: float
    height_mm: float
    marks: tuple[Mark, ...]
    terminals: tuple[Terminal, ...]
    nets: tuple[Net, ...]
    bodies: tuple[Body, ...]
    joins: tuple[Join, ...]
    crossings: tuple[Cross, ...]
    tags: tuple[str, ...] = field(default=())
    features: tuple[tuple[str, Point], ...] = field(default=())  # conventions, and where
    words: tuple[Word, ...] = field(default=())


def arc(
    centre: Point, radius: float, start_deg: float, end_deg: float, pieces: int = 16
) -> list[Point]:
    """Return points along a circle from one angle to the other; angles grow clockwise (y is down)."""
    steps = [
        math.radians(start_deg + (end_deg - start_deg) * k / pieces) for k in range(pieces + 1)
    ]
    return [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in steps]


def ellipse(centre: Point, radius_x: float, radius_y: float, pieces: int = 64) -> list[Point]:
    """Return the points of a closed ellipse."""
    steps = [2 * math.pi * k / pieces for k in range(pieces)]
    return [(centre[0] + radius_x * math.cos(a), centre[1] + radius_y * math.sin(a)) for a in steps]


def rectangle(box: Box) -> list[Point]:
    """Return the corners of a box."""
    x0, y0, x1, y1 = box
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def length_of(points: Sequence[Point]) -> float:
    """Return the length of a polyline."""
    return sum(math.dist(a, b) for a, b in itertools.pairwise(points))


def piece_of(points: Sequence[Point], start: float, end: float) -> list[Point]:
    """Return the part of a polyline between two distances along it."""
    out: list[Point] = []
    at = 0.0
    for a, b in itertools.pairwise(points):
        span = math.dist(a, b)
        if span == 0:
            continue
        low, high = max(start, at), min(end, at + span)
        if low < high:
            first, last = ((t - at) / span for t in (low, high))
            ends = [(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for t in (first, last)]
            out += ends if not out else ends[1:]
        at += span
    return out


def dashes(points: Sequence[Point], dash: float, gap: float) -> list[list[Point]]:
    """Cut a polyline into dashes that begin and end with a whole dash, as drawing programs do."""
    length = length_of(points)
    count = max(1, round((length + gap) / (dash + gap)))
    scale = length / (count * (dash + gap) - gap)
    period, ink = (dash + gap) * scale, dash * scale
    pieces = [piece_of(points, k * period, k * period + ink) for k in range(count)]
    return [piece for piece in pieces if len(piece) > 1]
