"""A drawn page as it comes from a scanner, a copier, a camera or a screen, with its truth in pixels.

The page is painted clean at the resolution of the damage, then spoiled by one of the ways in
`damage`; the truth goes through the same mapping. The boxes are what a person would drag: upright,
round the part as it now lies on the page, a little generous.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

import numpy as np
from numpy.typing import NDArray

from accuracy.damage import DAMAGES
from accuracy.marks import Body, DrawnPage, Terminal, WordKind
from accuracy.paint import MM_PER_INCH, Image8, paint
from accuracy.style import style_for

Points = NDArray[np.float64]

_OUTSIDE_MM = 0.4  # a terminal lies this far outside the box that was dragged round its body
_DRAG_MM = (0.0, 0.5)  # how generously a person drags a box
_STEP_MM = 0.1
_FARTHEST_MM = 8.0


@dataclass(frozen=True, slots=True)
class TrueWord:
    """A printed text, the box round it in pixels, and what it says."""

    text: str
    box: tuple[float, float, float, float]
    kind: WordKind


@dataclass(frozen=True, slots=True)
class Truth:
    """What is true of a page, in pixels of its image; arrays are (N, 2) or (N, 4) float64."""

    terminals: Points
    nets: tuple[tuple[int, ...], ...]
    net_lines: tuple[Points, ...]  # per net the segments x0 y0 x1 y1
    joins: Points
    crossings: Points
    words: tuple[TrueWord, ...] = ()

    @property
    def places(self) -> int:
        """The number of joins and crossings."""
        return len(self.joins) + len(self.crossings)


@dataclass(frozen=True, slots=True)
class Scan:
    """An image with its truth; pixels are grey (H, W) or RGB (H, W, 3) uint8."""

    seed: int
    damage: str
    pixels: Image8
    dpi: float
    boxes: tuple[tuple[float, float, float, float], ...]
    truth: Truth
    features: tuple[tuple[str, tuple[float, float]], ...] = ()  # conventions, and where


def scan_page(page: DrawnPage, damage: str, *, with_boxes: bool = True) -> Scan:
    """Return a page under a damage, by name from `damage.DAMAGES`."""
    spec = DAMAGES[damage]
    rng = Random(f"{damage} {page.seed}")
    style = style_for(page.seed)
    painted = paint(page, spec.dpi, thinnest_px=spec.thinnest_px)
    pixels, mapping = spec.spoil(painted, rng)
    scale = spec.dpi / MM_PER_INCH

    def to_px(points: Points) -> Points:
        return mapping(points * scale)

    if style.colouring in ("black", "light") and pixels.ndim == 3:
        pixels = np.ascontiguousarray(pixels[:, :, 1])
    if style.one_bit and spec.may_be_one_bit:
        pixels = np.where(pixels < 128, 0, 255).astype(np.uint8)
    boxes = [_dragged(body, to_px, rng, scale) for body in page.bodies]
    own = [boxes[t.body] if with_boxes and t.body is not None and page.bodies[t.body].marked else None
           for t in page.terminals]  # fmt: skip
    truth = Truth(
        terminals=_terminals(page.terminals, own, to_px, scale),
        nets=tuple(net.terminals for net in page.nets),
        net_lines=tuple(_segments(net.lines, to_px) for net in page.nets),
        joins=to_px(_array([join.at for join in page.joins])),
        crossings=to_px(_array([cross.at for cross in page.crossings])),
        words=tuple(
            TrueWord(word.text, _round_box(word.box, to_px), word.kind) for word in page.words
        ),
    )
    given = [box for body, box in zip(page.bodies, boxes, strict=True) if body.marked]
    places = to_px(_array([at for _, at in page.features])).tolist()
    return Scan(
        seed=page.seed,
        damage=damage,
        pixels=pixels,
        dpi=spec.dpi,
        boxes=tuple(given) if with_boxes else (),
        truth=truth,
        features=tuple(
            (name, (x, y)) for (name, _), (x, y) in zip(page.features, places, strict=True)
        ),
    )


def _array(points: list[tuple[float, float]]) -> Points:
    return np.array(points, dtype=np.float64).reshape(-1, 2)


def _segments(
    lines: tuple[tuple[tuple[float, float], ...], ...], to_px: Callable[[Points], Points]
) -> Points:
    ends = np.array(lines, dtype=np.float64).reshape(-1, 2)
    return to_px(ends).reshape(-1, 4)


def _round_box(
    box: tuple[float, float, float, float], to_px: Callable[[Points], Points]
) -> tuple[float, float, float, float]:
    """The upright box round a box as it lies on the page."""
    x0, y0, x1, y1 = box
    corners = to_px(_array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]))
    (left, top), (right, bottom) = corners.min(axis=0), corners.max(axis=0)
    return float(left), float(top), float(right), float(bottom)


def _dragged(
    body: Body, to_px: Callable[[Points], Points], rng: Random, scale: float
) -> tuple[float, float, float, float]:
    left, top, right, bottom = _round_box(body.box, to_px)
    grow = [rng.uniform(*_DRAG_MM) * scale for _ in range(4)]
    return (
        left - grow[0], top - grow[1], right + grow[2], bottom + grow[3],
    )  # fmt: skip


def _terminals(
    terminals: tuple[Terminal, ...],
    boxes: list[tuple[float, float, float, float] | None],
    to_px: Callable[[Points], Points],
    scale: float,
) -> Points:
    """The terminals in pixels, each moved out along its line until it is outside its body's box."""
    if not terminals:
        return np.zeros((0, 2))
    steps = np.arange(0, _FARTHEST_MM, _STEP_MM)
    at = np.array([t.at for t in terminals])[:, None, :]
    out = np.array([t.outward for t in terminals])[:, None, :]
    ways = to_px((at + out * steps[None, :, None]).reshape(-1, 2)).reshape(len(terminals), -1, 2)
    chosen = []
    for way, box in zip(ways, boxes, strict=True):
        first = 0
        if box is not None:
            margin = _OUTSIDE_MM * scale
            outside = (
                (way[:, 0] < box[0] - margin) | (way[:, 0] > box[2] + margin)
                | (way[:, 1] < box[1] - margin) | (way[:, 1] > box[3] + margin)
            )  # fmt: skip
            first = int(np.argmax(outside))
        chosen.append(way[first])
    return np.array(chosen)
