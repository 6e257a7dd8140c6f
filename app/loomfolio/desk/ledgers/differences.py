"""Which rows go and which come when one list of keys becomes another; no Qt in here.

Strategy: the keys that stay are the longest run of common keys that stand in the same order in
both lists (longest increasing subsequence by patience sorting, n log n). All other old rows are
taken out in whole ranges from the bottom up, so that no index shifts under the next; then all other
new rows are put in from the top down. A key that changed its place is taken out and put in.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class RowRange:
    """Rows `first` to `last`, both inside."""

    first: int
    last: int


@dataclass(frozen=True, slots=True)
class RowChanges:
    """Ranges to take out of the old list, bottom up, then to put in from the new list, top down."""

    removed: tuple[RowRange, ...]
    added: tuple[RowRange, ...]


def row_changes(old: Sequence[Hashable], new: Sequence[Hashable]) -> RowChanges:
    """Return what turns `old` into `new`; keys are unique within each list.

    Two equal lists give no change, two lists without a common key one range each.

    >>> row_changes(["a", "b", "c"], ["b", "c", "d"])
    RowChanges(removed=(RowRange(first=0, last=0),), added=(RowRange(first=2, last=2),))
    """
    place = {key: row for row, key in enumerate(old)}
    common = [(place[key], row) for row, key in enumerate(new) if key in place]
    stay = _longest_rising([was for was, _ in common])
    kept_old = {common[i][0] for i in stay}
    kept_new = {common[i][1] for i in stay}
    removed = _ranges(row for row in range(len(old)) if row not in kept_old)
    return RowChanges(removed[::-1], _ranges(row for row in range(len(new)) if row not in kept_new))


def _ranges(rows: Iterable[int]) -> tuple[RowRange, ...]:
    """Return rising row numbers as whole ranges."""
    found: list[RowRange] = []
    for row in rows:
        if found and found[-1].last == row - 1:
            found[-1] = RowRange(found[-1].first, row)
        else:
            found.append(RowRange(row, row))
    return tuple(found)


def _longest_rising(numbers: Sequence[int]) -> list[int]:
    """Return the positions of a longest rising subsequence; the numbers are all different."""
    tops: list[int] = []  # smallest last number of a run of each length
    at: list[int] = []  # the position of that number
    before: list[int] = []  # for each position the one before it in its run, or -1
    for position, number in enumerate(numbers):
        length = bisect_left(tops, number)
        before.append(at[length - 1] if length else -1)
        tops[length : length + 1] = [number]
        at[length : length + 1] = [position]
    run: list[int] = []
    position = at[-1] if at else -1
    while position >= 0:
        run.append(position)
        position = before[position]
    return run[::-1]
