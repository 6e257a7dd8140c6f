"""What the ink at a node looks like: a plain crossing, a dot, an arrow head, a filled symbol.

The measure of a dot is how far the ink reaches between each two neighbouring arms. It is taken on
the darkness of the page enlarged four times, so that it is good to a fraction of a px, and
compared with the same measure of the node's arms drawn as plain lines. A dot fills all of the
spaces between arms, the half disc of a squeezed hop only those on one side.

Legend: H, W of the working image.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.graph import Arm, Node

U8 = NDArray[np.uint8]
F64 = NDArray[np.float64]

ENLARGED = 4
"""Times that a node is enlarged for measuring."""

CORNERS = 0.15
"""A blob with a larger share of its ink in corners is a triangle or a bar rather than a dot; drawn
triangles measure 0.25 and more, dots of any size up to 0.05 (measured on generated pages)."""


@dataclass(frozen=True)
class InkView:
    """The ink of a page, uint8 (H, W) zeros and ones, and the darkness it was found in, (H, W).

    `share` is the part of the darkest ink around that a px needs to be ink.
    """

    mask: U8
    darkness: U8
    share: float


def dot_ratio(view: InkView, node: Node, width: float) -> float:
    """How far the ink reaches between arms against plain lines: about 1 without a dot.

    Of all spaces between arms the second narrowest counts.
    """
    x, y = node.centre
    reach = int(4 * width) + 4
    x0, y0 = max(0, int(x) - reach), max(0, int(y) - reach)
    area = np.s_[y0 : int(y) + reach, x0 : int(x) + reach]
    soft = _soft_ink(view.mask[area], view.darkness[area])
    if not soft.any():
        return 1.0
    large = cv2.resize(soft, None, fx=ENLARGED, fy=ENLARGED, interpolation=cv2.INTER_CUBIC)
    ink = (large >= view.share * float(soft.max())).astype(np.uint8)
    depth = _depth(ink)
    widths = tuple(_width_along(depth, arm, (x0, y0), width) for arm in node.arms)
    plain = _plain_depth(node, widths, width)
    ways = _between_arms(node)
    reached = _reaches(depth, (x - x0, y - y0), ways, 4 * width)
    middle = plain.shape[0] / ENLARGED / 2
    expected = np.maximum(_reaches(plain, (middle, middle), ways, 4 * width), 0.4 * width)
    ratios = np.sort(reached / expected)
    return float(ratios[min(1, len(ratios) - 1)])


def _between_arms(node: Node) -> F64:
    """Unit directions halfway between each two neighbouring arms, float64 (A, 2)."""
    angles = np.sort([math.atan2(a.dy, a.dx) for a in node.arms])
    following = np.append(angles[1:], angles[0] + 2 * math.pi)
    halves = (angles + following) / 2
    return np.stack([np.cos(halves), np.sin(halves)], axis=1)


def _reaches(depth: F64, at: tuple[float, float], ways: F64, most: float) -> F64:
    """How far the ink reaches from a place of the crop along each way, at most `most` px."""
    steps = np.arange(0.0, most, 0.5 / ENLARGED)
    x = at[0] + ways[:, 0:1] * steps
    y = at[1] + ways[:, 1:2] * steps
    column = np.clip((x * ENLARGED).astype(int), 0, depth.shape[1] - 1)
    row = np.clip((y * ENLARGED).astype(int), 0, depth.shape[0] - 1)
    paper = depth[row, column] <= 0.0
    return np.where(paper.any(axis=1), steps[np.argmax(paper, axis=1)], most)


def _soft_ink(mask: U8, darkness: U8) -> U8:
    """Darkness where there is ink or its rim; ink that was added or is faint counts as dark."""
    if mask.size == 0:
        return mask
    rim = cv2.dilate(np.ascontiguousarray(mask), np.ones((3, 3), np.uint8))
    soft = np.where(rim > 0, darkness, 0)
    top = int(soft.max(initial=0))
    return np.where((mask > 0) & (soft < top // 3), top, soft).astype(np.uint8)


def _depth(ink: U8) -> F64:
    """Distance of each enlarged px from paper, in px of the working image."""
    depth = cv2.distanceTransform(ink, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    # The distance runs from px centre to px centre of the paper: half a px too much.
    # In a crop that is all ink the library gives a number without end: hold it to the crop's size.
    held = np.minimum(np.asarray(depth, dtype=np.float64), float(max(ink.shape)))
    return np.maximum(held - 0.5, 0.0) / ENLARGED


def _width_along(depth: F64, arm: Arm, corner: tuple[int, int], width: float) -> float:
    """Width of an arm in the same measure, just outside the node; as fitted if it is too short."""
    steps = np.arange(0.8, 2.4, 0.2) * width
    steps = steps[steps < 0.8 * arm.length]
    if len(steps) < 3:
        return arm.width
    beside = np.arange(-1.0, 1.1, 0.25)
    x = arm.x - corner[0] + steps[:, None] * arm.dx - beside[None, :] * arm.dy
    y = arm.y - corner[1] + steps[:, None] * arm.dy + beside[None, :] * arm.dx
    column = np.clip((x * ENLARGED).astype(int), 0, depth.shape[1] - 1)
    row = np.clip((y * ENLARGED).astype(int), 0, depth.shape[0] - 1)
    return 2.0 * float(np.median(depth[row, column].max(axis=1)))


def _plain_depth(node: Node, widths: tuple[float, ...], width: float) -> F64:
    """The depth of ink that arms of some widths make where they meet without a dot."""
    reach = 3.5 * width + 2
    x, y = node.centre
    size = int(2 * reach * ENLARGED)
    patch = np.zeros((size, size), dtype=np.uint8)
    for arm, pen in zip(node.arms, widths, strict=True):
        half = min(pen, 1.3 * width) / 2 - 0.5 / ENLARGED
        sx, sy = -arm.dy * half, arm.dx * half
        ax, ay = arm.x - x - pen * arm.dx, arm.y - y - pen * arm.dy
        bx, by = arm.x - x + 4 * width * arm.dx, arm.y - y + 4 * width * arm.dy
        corners = ((ax + sx, ay + sy), (bx + sx, by + sy), (bx - sx, by - sy), (ax - sx, ay - sy))
        polygon = np.round(((np.array(corners) + reach) * ENLARGED - 0.5) * 16).astype(np.int32)
        cv2.fillConvexPoly(patch, polygon, 1, cv2.LINE_8, 4)
    return _depth(patch)


def is_filled_symbol(mask: U8, node: Node, width: float) -> bool:
    """Tell whether a blob is wide both ways without being round: an arrow head, a diode, a pin.

    The blob is what an opening by a disc wider than any line leaves. It is round where next to no
    ink lies outside its widest circle and off the arms; the corners of a triangle do, by a third of it.
    """
    if node.box is None or min(node.box[2] - node.box[0], node.box[3] - node.box[1]) <= 2 * width:
        return False
    reach = int(3 * width) + 3
    x0, y0 = max(0, int(node.box[0]) - reach), max(0, int(node.box[1]) - reach)
    crop = np.ascontiguousarray(mask[y0 : int(node.box[3]) + reach, x0 : int(node.box[2]) + reach])
    size = round(1.75 * width) | 1
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (size, size))
    opened = cv2.morphologyEx(crop, cv2.MORPH_OPEN, disc, borderValue=0)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(opened, connectivity=8)
    if len(stats) < 2:
        return False
    largest = 1 + int(np.argmax(stats[1:, 4]))
    _, _, w, h, area = stats[largest].tolist()
    if max(w, h) < 2.6 * width + 1:
        return False
    return area > 0.93 * w * h or _corner_share(crop, labels == largest, node, (x0, y0)) > CORNERS


def _corner_share(ink: U8, blob: NDArray[np.bool_], node: Node, corner: tuple[int, int]) -> float:
    """The node's ink outside the blob's widest circle and off the arms, as a share of that circle.

    The ink is that of the node's whole box, so that a short stroke across the place counts, too.
    """
    depth = cv2.distanceTransform(ink, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    depth = np.where(blob, depth, 0.0)
    row, column = np.unravel_index(int(np.argmax(depth)), depth.shape)
    radius = float(depth[row, column]) - 0.5
    left, top, right, bottom = node.box if node.box is not None else (0.0, 0.0, 0.0, 0.0)
    ys, xs = np.nonzero(ink)
    is_near = (xs + corner[0] >= left - 1) & (xs + corner[0] <= right + 1)
    is_near &= (ys + corner[1] >= top - 1) & (ys + corner[1] <= bottom + 1)
    ys, xs = ys[is_near], xs[is_near]
    off = np.hypot(xs - column, ys - row) > radius + 1.0
    for arm in node.arms:
        along = (xs + 0.5 + corner[0] - arm.x) * arm.dx + (ys + 0.5 + corner[1] - arm.y) * arm.dy
        beside = (xs + 0.5 + corner[0] - arm.x) * arm.dy - (ys + 0.5 + corner[1] - arm.y) * arm.dx
        off &= ~((along > -2 * radius) & (np.abs(beside) <= arm.width / 2 + 1.0))
    return float(off.sum()) / max(1.0, math.pi * radius * radius)


def is_arrow_head(mask: U8, node: Node, width: float) -> bool:
    """Tell an arrow head from a diode: its ink narrows to the line at one end and has no bar."""
    a, b = node.arms
    length = math.hypot(b.x - a.x, b.y - a.y)
    if length < 2 * width:
        return False
    gx, gy = (b.x - a.x) / length, (b.y - a.y) / length
    along, beside = np.meshgrid(
        np.linspace(-1.5 * width, length + 1.5 * width, 25), np.arange(-8.0, 8.1, 0.5) * width / 2
    )
    xs = np.clip((a.x + along * gx - beside * gy).astype(int), 0, mask.shape[1] - 1)
    ys = np.clip((a.y + along * gy + beside * gx).astype(int), 0, mask.shape[0] - 1)
    profile = mask[ys, xs].sum(axis=0) * width / 4
    return bool(min(profile[:4].max(), profile[-4:].max()) <= 1.7 * width)
