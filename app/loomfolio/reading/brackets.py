"""Open brackets: connectors drawn as one or two sides with a short hook at each end.

A line whose both ends turn the same way by a mm or two and stop in the open is no conductor: it is
the side of a connector whose pins end at its back. Two that open towards each other are one body.

Legend: H, W of the working image; all is written for upright brackets, level ones are turned over.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import PxBox
from loomfolio.reading.bars import PageBars
from loomfolio.reading.bodies import Body
from loomfolio.reading.settings import ReaderSettings

U8 = NDArray[np.uint8]
F64 = NDArray[np.float64]
Bar = tuple[float, float, float, float]

BEHIND_PX = 7
"""So far behind a corner there must be paper: a pen that went on would show."""


@dataclass(frozen=True)
class _Bracket:
    """One side with its hooks: which way they point along x (1 or -1), its box; `even` hooks are alike."""

    hand: int
    box: PxBox
    even: bool


def find_brackets(whole: U8, bars: PageBars, settings: ReaderSettings) -> tuple[Body, ...]:
    """Find brackets among the bars of a page.

    `whole` is the ink with all bodies, uint8 (H, W) of zeros and ones: a hook that has one ahead is
    a lead that ends there.
    """
    upright = _paired(_upright(whole, bars, settings), settings)
    turned = np.ascontiguousarray(whole.T)
    level = _paired(_upright(turned, bars.turned, settings), settings)
    boxes = upright + [PxBox(b.y0, b.x0, b.y1, b.x1) for b in level]
    return tuple(_body(b) for b in sorted(boxes))


def _body(box: PxBox) -> Body:
    x0, y0, x1, y1 = box
    corners = ((x0 - 1, y0 - 1), (x1 + 1, y0 - 1), (x1 + 1, y1 + 1), (x0 - 1, y1 + 1))
    return Body(box, corners=corners)


def _upright(whole: U8, bars: PageBars, settings: ReaderSettings) -> list[_Bracket]:
    """The upright sides with two hooks, in order along x."""
    px = settings.px
    sides = bars.upright.boxes[bars.upright.length >= px(settings.bracket_min_mm)]
    hooks = bars.level.boxes
    size = hooks[:, 2] - hooks[:, 0]
    hooks = hooks[(size <= px(settings.hook_max_mm)) & (size >= px(settings.hook_min_mm))]
    found: list[_Bracket] = []
    for y0, x0, y1, x1 in sides.tolist():
        near = hooks[(hooks[:, 0] <= x1) & (hooks[:, 2] >= x0)]
        for hand in (1, -1):
            ends = [_hook_at(near, (x0, y0, x1, y1), y, hand) for y in (y0, y1)]
            if all(_is_free(whole, hook, hand, settings) for hook in ends) and not _goes_on(
                whole, (x0, y0, x1, y1), hand
            ):
                tips = [hook for hook in ends if hook is not None]
                low = min(x0, *(h[0] for h in tips))
                high = max(x1, *(h[2] for h in tips))
                lengths = [h[2] - h[0] for h in tips]
                even = max(lengths) - min(lengths) <= 2.5
                found.append(_Bracket(hand, PxBox(low, y0, high, y1), even))
                break
    return sorted(found, key=lambda b: (b.box.x0, b.box.y0))


def _hook_at(hooks: F64, side: Bar, end: float, hand: int) -> Bar | None:
    """The hook that turns off one end of a side, back to back with it."""
    x0, y0, x1, y1 = side
    # The slant of a long side: either edge of the box may be its back at this end.
    slant = max(3.0, 0.05 * (y1 - y0))
    back = hooks[:, 0] - x0 if hand > 0 else x1 - hooks[:, 2]
    edge = np.abs(hooks[:, 1] - end) if end == y0 else np.abs(hooks[:, 3] - end)
    fits = (back >= -2.0) & (back <= slant) & (edge <= 3.0)
    reach = hooks[:, 2] - x1 if hand > 0 else x0 - hooks[:, 0]
    fits &= reach > 1.0
    if fits.sum() != 1:
        return None
    a, b, c, d = hooks[int(np.argmax(fits))].tolist()
    return a, b, c, d


def _is_free(mask: U8, hook: Bar | None, hand: int, settings: ReaderSettings) -> bool:
    """Tell whether there is paper ahead of the tip of a hook and on both sides of it."""
    if hook is None:
        return False
    x0, y0, x1, y1 = (int(v) for v in hook)
    reach = int(settings.px(settings.hook_free_mm))
    tip = slice(x1 - BEHIND_PX, x1) if hand > 0 else slice(x0, x0 + BEHIND_PX)
    far = slice(x1 + 1, x1 + reach) if hand > 0 else slice(max(0, x0 - reach), max(0, x0 - 1))
    sides = mask[max(y0 - BEHIND_PX, 0) : max(y0 - 1, 0), tip], mask[y1 + 1 : y1 + BEHIND_PX, tip]
    return not (mask[y0:y1, far].any() or sides[0].any() or sides[1].any())


def _goes_on(whole: U8, side: Bar, hand: int) -> bool:
    """Tell whether ink goes on behind the corners of a side, ahead along it or to its back."""
    x0, y0, x1, y1 = (int(v) for v in side)
    left, right = (x0 - BEHIND_PX, x1 + 3) if hand > 0 else (x0 - 3, x1 + BEHIND_PX)
    left = max(left, 0)
    corner = BEHIND_PX // 2
    above = whole[max(y0 - BEHIND_PX, 0) : y0 - 1, left:right]
    below = whole[y1 + 2 : y1 + BEHIND_PX + 1, left:right]
    back = slice(left, x0 - 1) if hand > 0 else slice(x1 + 2, right)
    beside = (whole[max(y0 - 2, 0) : y0 + corner, back], whole[y1 - corner : y1 + 2, back])
    return bool(above.any() or below.any() or beside[0].any() or beside[1].any())


def _paired(brackets: list[_Bracket], settings: ReaderSettings) -> list[PxBox]:
    """The boxes of brackets: one round both of a pair that open towards each other."""
    boxes: list[PxBox] = []
    used: set[int] = set()
    slack = settings.px(0.8)
    for k, left in enumerate(brackets):
        if left.hand < 0 or k in used:
            continue
        for j in range(k + 1, len(brackets)):
            right = brackets[j]
            if right.hand > 0 or j in used or right.box.x0 < left.box.x1:
                continue
            apart = max(abs(left.box.y0 - right.box.y0), abs(left.box.y1 - right.box.y1))
            if apart <= slack and right.box.x1 - left.box.x0 <= settings.px(
                settings.bracket_apart_mm
            ):
                used |= {k, j}
                low, high = min(left.box.y0, right.box.y0), max(left.box.y1, right.box.y1)
                boxes.append(PxBox(left.box.x0, low, right.box.x1, high))
                break
    return boxes + [b.box for k, b in enumerate(brackets) if k not in used and b.even]
