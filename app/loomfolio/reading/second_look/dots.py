"""Is there a dot on a four-way? How far ink fills the corners between the arms, against the page.

The arms are measured away from the middle: their widths and axes give the corners that two bars
would leave bare. What fills a corner beyond its point is counted in line widths; of the four corners
the second least counts, for a dot fills all of them and a letter that touches only one or two.
Whether that is much is told by the other four-ways of the same page, drawn by the same pen and
blurred by the same scanner: a dot stands out among them.

Legend: Q four-ways.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.second_look.claims import look_at

F64 = NDArray[np.float64]
Bools = NDArray[np.bool_]

_STEP_PX = 0.25
_RADII_WIDTHS = np.array([2.2, 2.6, 3.0, 3.4])
_MOST_UNEVEN = 1.6  # of the widest arm to the thinnest: beyond it an arm is no line


def corner_fill(ink: Bools, centres: F64, angles: F64, widths: F64) -> F64:
    """How far ink goes beyond the corners of a four-way, in line widths; nan where arms are odd.

    Parameters
    ----------
    ink : bool, (H, W)
    centres, widths : float64, (Q, 2) and (Q,)
    angles : float64, (Q, 4)
        Of the arms, rising, in radians.
    """
    if len(centres) == 0:
        return np.zeros(0)
    along = np.stack([np.cos(angles), np.sin(angles)], axis=-1)
    across = np.stack([-along[..., 1], along[..., 0]], axis=-1)
    width, offset = _arm_profiles(ink, centres, along, across, widths)
    centre = _meeting_points(centres, across, offset)
    mean = width.mean(axis=1)
    after = np.roll(np.arange(4), -1)
    sine = np.sin(angles[:, after] - angles)
    corner = width[:, after, None] * along + width[:, :, None] * along[:, after]
    corner = corner / (2 * np.where(np.abs(sine) < 0.2, np.nan, sine))[..., None]
    distance = np.hypot(corner[..., 0], corner[..., 1])
    reach = _ink_reach(ink, centre, corner / distance[..., None], distance, widths)
    fill = np.sort(reach - distance, axis=1)[:, 1] / mean
    # Where an arm is no line, or the arms do not meet here, the corners tell nothing.
    odd = width.max(axis=1) > _MOST_UNEVEN * width.min(axis=1) + 1
    far = np.hypot(*(centre - centres).T) > widths
    return np.where(odd | far, np.nan, fill)


def _arm_profiles(
    ink: Bools, centres: F64, along: F64, across: F64, widths: F64
) -> tuple[F64, F64]:
    """Width of each arm, and how far its axis passes beside the centre; float64 (Q, 4) both."""
    half = 1.5 * float(widths.max()) + 2
    beside = np.arange(-half, half + _STEP_PX, _STEP_PX)
    radii = _RADII_WIDTHS * widths[:, None]
    points = (
        centres[:, None, None, None]
        + radii[:, None, :, None, None] * along[:, :, None, None]
        + beside[:, None] * across[:, :, None, None]
    )
    inked = look_at(ink, points) & (np.abs(beside) <= 1.5 * widths[:, None, None, None] + 2)
    inked &= _joined_to_middle(inked)
    count = inked.sum(axis=-1)
    width = np.median(count, axis=-1) * _STEP_PX
    middle = (inked * beside).sum(axis=-1) / np.maximum(count, 1)
    return np.maximum(width, 1.0), np.median(middle, axis=-1)


def _joined_to_middle(inked: Bools) -> Bools:
    """Keep of each profile the run that is nearest to its middle."""
    size = inked.shape[-1]
    run = np.cumsum(~inked, axis=-1)
    place = np.abs(np.arange(size) - size // 2)
    nearest = np.where(inked, place, 4 * size).argmin(axis=-1)
    own = np.take_along_axis(run, nearest[..., None], axis=-1)
    return np.asarray(run == own)


def _meeting_points(centres: F64, across: F64, offset: F64) -> F64:
    """The point nearest to the axes of all arms, float64 (Q, 2)."""
    normal = np.einsum("qai,qaj->qij", across, across)
    right = np.einsum("qai,qa->qi", across, offset)
    normal += 1e-6 * np.eye(2)
    return np.asarray(centres + np.linalg.solve(normal, right[..., None])[..., 0])


def _ink_reach(ink: Bools, centre: F64, way: F64, distance: F64, widths: F64) -> F64:
    """How far ink goes without a break from the centre along each way; float64 (Q, 4)."""
    longest = float(4 * widths.max() + 4)
    steps = np.arange(0, longest, _STEP_PX)
    points = centre[:, None, None] + steps[:, None] * way[:, :, None]
    bare = ~look_at(ink, np.nan_to_num(points))
    bare &= steps >= 0.5 * distance[..., None]
    bare[..., -1] = True
    return np.asarray(steps[bare.argmax(axis=-1)])
