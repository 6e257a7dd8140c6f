"""Boxes: bodies drawn as a closed rectangle in an unbroken pen, found by the paper they enclose.

A rectangle of paper that is enclosed by ink is either a mesh between crossing lines or the inside
of a box. The lines of a mesh run on past its corners; the pen of a box ends there. So a box is
told by its four corners, whatever hangs on its sides.

Legend: H, W of the working image.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from loomfolio.basics import PxBox
from loomfolio.reading.bodies import Body
from loomfolio.reading.settings import ReaderSettings

U8 = NDArray[np.uint8]
I32 = NDArray[np.int32]
F64 = NDArray[np.float64]

FRAME_SHARE = 0.55
"""A box larger than this share of the page both ways is a frame, one larger than FRAME_SIDE of it
one way, too."""
FRAME_SIDE = 0.8
FILLED_LEAST = 0.7
"""Share of the rectangle that is paper: pins, pin numbers on the pen and stubs take some."""
ON_RIM_LEAST = 0.6
"""Share of the rectangle's rim along which its paper reaches."""
BEYOND_INK_MOST = 0.34
EVEN_PX = 3


@dataclass(frozen=True)
class _Rectangle:
    """A rectangle of paper: float64 (4, 2) corners in order round it."""

    corners: F64

    @property
    def sides(self) -> F64:
        """The lengths of the four sides, each from a corner to the next."""
        return np.asarray(np.hypot(*(np.roll(self.corners, -1, axis=0) - self.corners).T))

    def grown(self, by: float) -> _Rectangle:
        """The rectangle with each side moved out by some px."""
        middle = self.corners.mean(axis=0)
        ahead = (self.corners[1] - self.corners[0]) / max(float(self.sides[0]), 1e-9)
        aside = (self.corners[3] - self.corners[0]) / max(float(self.sides[3]), 1e-9)
        rel = self.corners - middle
        signs = np.stack([np.sign(rel @ ahead), np.sign(rel @ aside)], axis=1)
        return _Rectangle(self.corners + by * (signs[:, :1] * ahead + signs[:, 1:] * aside))


def find_holes(mask: U8) -> list[I32]:
    """The px of ink round each piece of enclosed paper of an ink mask, int32 (P, 2) each."""
    if not mask.any():
        return []
    contours, tree = cv2.findContours(mask, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_SIMPLE)
    return [
        np.asarray(contour, dtype=np.int32).reshape(-1, 2)
        for contour, links in zip(contours, np.reshape(tree, (-1, 4)), strict=True)
        if links[3] >= 0
    ]


def find_boxes(
    mask: U8, holes: Sequence[I32], stroke_px: float, settings: ReaderSettings
) -> tuple[Body, ...]:
    """Find the boxes in ink, uint8 (H, W) of zeros and ones, with its holes; the largest first."""
    least, slim = settings.px(settings.glyph_max_mm), settings.px(settings.box_min_mm)
    found: list[tuple[float, Body]] = []
    for hole in holes:
        w, h = (hole.max(axis=0) - hole.min(axis=0) + 1).tolist()
        if max(w, h) < least or min(w, h) < slim or _is_frame(w, h, mask):
            continue
        rectangle = _rectangle_of(hole.reshape(-1, 1, 2))
        body = _box_round(rectangle, mask, stroke_px, settings) if rectangle else None
        if body is not None:
            found.append((float(w) * h, body))
    for halves in _halves(holes, settings):
        rectangle = _rectangle_of(halves.reshape(-1, 1, 2))
        body = _box_round(rectangle, mask, stroke_px, settings) if rectangle else None
        if body is not None:
            found.append((float(np.prod(halves.max(axis=0) - halves.min(axis=0))), body))
    return _outermost([b for _, b in sorted(found, key=lambda f: (-f[0], f[1].box))])


def _halves(holes: Sequence[I32], settings: ReaderSettings) -> Iterator[I32]:
    """The hulls of two slim holes side by side and equally long: a fuse with its line through it."""
    slim, long = settings.px(settings.half_box_min_mm), settings.px(settings.box_min_mm)
    most = settings.px(settings.half_box_max_mm)
    fits: list[tuple[I32, tuple[float, ...]]] = []
    for hole in holes:
        low, high = hole.min(axis=0), hole.max(axis=0)
        w, h = (high - low + 1).tolist()
        if slim <= min(w, h) and 2 * long <= max(w, h) <= most:
            fits.append((hole, (float(low[0]), float(low[1]), float(high[0]), float(high[1]))))
    if len(fits) < 2:
        return
    middles = np.array([((b[0] + b[2]) / 2, (b[1] + b[3]) / 2) for _, b in fits])
    for k, j in sorted(cKDTree(middles).query_pairs(settings.px(settings.half_box_apart_mm))):
        (one, a), (two, b) = fits[k], fits[j]
        beside = max(abs(a[0] - b[0]), abs(a[2] - b[2])) <= EVEN_PX
        above = max(abs(a[1] - b[1]), abs(a[3] - b[3])) <= EVEN_PX
        if beside or above:
            hull = cv2.convexHull(np.vstack([one, two]))
            yield np.asarray(hull, dtype=np.int32).reshape(-1, 2)


def without_boxes(mask: U8, boxes: Sequence[Body]) -> U8:
    """Return the ink without the boxes, their pen and what they hold."""
    left = mask.copy()
    for body in boxes:
        polygon = np.round((np.asarray(body.corners) - 0.5) * 16).astype(np.int32)
        cv2.fillConvexPoly(left, polygon, 0, cv2.LINE_8, 4)
    return left


def _is_frame(w: int, h: int, mask: U8) -> bool:
    wide, high = w / mask.shape[1], h / mask.shape[0]
    return bool(max(wide, high) > FRAME_SIDE or min(wide, high) > FRAME_SHARE)


def _rectangle_of(contour: NDArray[np.int32]) -> _Rectangle | None:
    """The rectangle that a hole fills, but for what reaches into it; None where it fills none.

    `contour` is int32 (P, 1, 2) on the ink px around the hole.
    """
    (cx, cy), (w, h), angle = cv2.minAreaRect(contour)
    if min(w, h) < 3 or min(angle % 90, 90 - angle % 90) > 4.0:
        return None
    hull = cv2.convexHull(contour)
    if cv2.contourArea(hull) < 0.95 * (w - 1) * (h - 1) - 4:
        return None
    if cv2.contourArea(contour) < FILLED_LEAST * w * h:
        return None
    corners = np.asarray(cv2.boxPoints(((cx, cy), (w, h), angle)), dtype=np.float64) + 0.5
    return _Rectangle(corners) if _on_rim(contour, corners) >= ON_RIM_LEAST else None


def _on_rim(contour: NDArray[np.int32], corners: F64) -> float:
    """Share of a rectangle's rim that a contour runs along."""
    ring = np.vstack([contour[:, 0], contour[:1, 0]]).astype(np.float64) + 0.5
    start, step = ring[:-1], np.diff(ring, axis=0)
    length = np.hypot(step[:, 0], step[:, 1])
    on = np.zeros(len(step), dtype=bool)
    for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        way = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
        normal = np.array([-way[1], way[0]])
        near = np.abs((start - a) @ normal) <= 1.8
        on |= near & (np.abs((start + step - a) @ normal) <= 1.8)
    whole = float(np.hypot(*(np.roll(corners, -1, axis=0) - corners).T).sum())
    return float(length[on].sum()) / max(whole, 1e-9)


def _box_round(
    inner: _Rectangle, mask: U8, stroke_px: float, settings: ReaderSettings
) -> Body | None:
    """The box whose inside a rectangle is, if its pen ends at all four corners."""
    pen = _pen_width(inner, mask, settings.px(settings.stroke_max_mm))
    if pen is None:
        return None
    outer = inner.grown(pen)
    if not _ends_at_corners(outer, mask, max(pen, stroke_px)):
        return None
    grown = outer.grown(1.0)
    low, high = outer.corners.min(axis=0), outer.corners.max(axis=0)
    corners = tuple((float(x), float(y)) for x, y in grown.corners)
    return Body(PxBox(*low.tolist(), *high.tolist()), corners=corners)


def _pen_width(inner: _Rectangle, mask: U8, most: float) -> float | None:
    """The usual width of the ink outside the rim; None where it is no pen."""
    steps = np.arange(0.5, most + 2.0, 0.5)
    middle = inner.corners.mean(axis=0)
    widths: list[float] = []
    for a, b in zip(inner.corners, np.roll(inner.corners, -1, axis=0), strict=True):
        way = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
        out = np.array([-way[1], way[0]])
        out = out if (a - middle) @ out > 0 else -out
        places = a + np.linspace(0.08, 0.92, 25)[:, None] * (b - a)
        ink = _ink_at(mask, places[:, None, :] + steps[None, :, None] * out)
        reach = np.where(ink.all(axis=1), most + 2.0, steps[np.argmin(ink, axis=1)])
        widths += reach.tolist()
    width = float(np.median(widths)) - 0.5
    return width if width <= most else None


def _ends_at_corners(outer: _Rectangle, mask: U8, pen: float) -> bool:
    """Tell whether no side of a rectangle is carried on past a corner."""
    corners = outer.corners
    steps = np.arange(1.5, max(2.5 * pen, 8.0), 0.5)
    for k in range(4):
        for other in (corners[(k + 1) % 4], corners[(k + 3) % 4]):
            out = corners[k] - other
            size = float(np.hypot(*out))
            out = out / max(size, 1e-9)
            inward = corners[(k + 2) % 4] - other
            inward = inward / max(float(np.hypot(*inward)), 1e-9)
            # The middle of the side's pen, carried on past the corner.
            places = corners[k] + 0.5 * pen * inward + steps[:, None] * out
            if float(_ink_at(mask, places).mean()) > BEYOND_INK_MOST:
                return False
    return True


def _ink_at(mask: U8, places: F64) -> U8:
    x = np.clip(places[..., 0].astype(np.int64), 0, mask.shape[1] - 1)
    y = np.clip(places[..., 1].astype(np.int64), 0, mask.shape[0] - 1)
    return np.asarray(mask[y, x])


def _outermost(bodies: Sequence[Body]) -> tuple[Body, ...]:
    """The bodies that lie in none of those before them."""
    kept: list[Body] = []
    for body in bodies:
        x, y = body.centre
        inside = any(b.box.x0 <= x <= b.box.x1 and b.box.y0 <= y <= b.box.y1 for b in kept)
        if not inside:
            kept.append(body)
    return tuple(kept)
