"""The second look as a whole: three checks of a finished reading, and the doubts they leave."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import MM_PER_INCH, WorkCancelledError
from loomfolio.reading.records import Doubt, Reading
from loomfolio.reading.second_look.breaks import check_bare_claims, check_facing_ends
from loomfolio.reading.second_look.claims import claims_of
from loomfolio.reading.second_look.findings import Finding
from loomfolio.reading.second_look.finger import check_straight_on
from loomfolio.reading.second_look.meetings import check_meetings
from loomfolio.reading.settings import ReaderSettings

_ONE_PLACE_MM = 1.5  # two doubts nearer than this are one question


def never() -> bool:
    """Nobody calls the work off."""
    return False


def second_look(
    ink: NDArray[np.bool_],
    *,
    reading: Reading,
    settings: ReaderSettings,
    cancelled: Callable[[], bool] = never,
) -> tuple[Doubt, ...]:
    """Hold a finished reading against the ink by another route; doubts where the two part.

    Parameters
    ----------
    ink : bool, (H, W)
        The ink of the page in the working image, nothing taken out.
    reading : Reading
        What the first reading made of it, in px of the given page. One without conductors leaves
        no doubts: what was not read at all cannot be asked about line by line.
    settings : ReaderSettings
        For the size of the working image.
    cancelled : callable
        Asked between the checks.

    Returns
    -------
    tuple of Doubt
        In px of the given page, those that the reading has already left out. The first reading's
        joins are never changed.
    """
    return tuple(
        Doubt(x=f.x, y=f.y, kind=f.kind, taken=f.taken)
        for f in find_partings(ink, reading=reading, settings=settings, cancelled=cancelled)
    )


def find_partings(
    ink: NDArray[np.bool_],
    *,
    reading: Reading,
    settings: ReaderSettings,
    cancelled: Callable[[], bool] = never,
) -> tuple[Finding, ...]:
    """The same as `second_look`, each place with the reason why it is doubted."""
    if not reading.conductors:
        return ()
    claims = claims_of(reading, (ink.shape[0], ink.shape[1]), settings)
    doubts = np.array([(d.x, d.y) for d in reading.doubts], dtype=np.float64).reshape(-1, 2)
    found: list[Finding] = []
    checks: tuple[Callable[[], list[Finding]], ...] = (
        lambda: check_facing_ends(claims, settings),
        lambda: check_straight_on(ink, claims, settings),
        lambda: check_meetings(ink, claims, settings),
        lambda: check_bare_claims(ink, claims, doubts * claims.scale, settings),
    )
    for check in checks:
        if cancelled():
            raise WorkCancelledError
        found += check()
    in_page = [
        Finding(
            round(f.x / claims.scale, 2), round(f.y / claims.scale, 2), f.kind, f.taken, f.reason
        )
        for f in found
    ]
    return _one_each(in_page, doubts, _ONE_PLACE_MM * reading.page.dpi / MM_PER_INCH)


def _one_each(
    found: Sequence[Finding], doubts: NDArray[np.float64], reach: float
) -> tuple[Finding, ...]:
    """Keep one finding a place, the first, and none where the first reading asks already."""
    taken = [(float(x), float(y)) for x, y in doubts]
    kept = []
    for finding in found:
        if all(math.hypot(finding.x - x, finding.y - y) > reach for x, y in taken):
            kept.append(finding)
            taken.append((finding.x, finding.y))
    return tuple(kept)
