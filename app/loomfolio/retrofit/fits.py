"""Two fits, lead by lead: the same, only in one, or going elsewhere.

Leads are compared by their two ends. Leads that meet at a drawn dot are legs of one joint: two such joints
that share two legs or more are one, whichever pin their legs are listed from. A lead of each fit that
share one end are one lead that goes elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import linear_sum_assignment

from loomfolio.nets import MapRow
from loomfolio.project import PinKey
from loomfolio.retrofit.records import FitComparison, MovedLead


@dataclass(frozen=True)
class _Joint:
    """A drawn joint: its pins, and for each the row that stands for its leg."""

    first: PinKey
    row_of: dict[PinKey, MapRow]

    @property
    def pins(self) -> set[PinKey]:
        return {self.first, *self.row_of}


@dataclass
class _Sorted:
    """Rows as they are told apart."""

    same: list[tuple[MapRow, MapRow]]
    only_a: list[MapRow]
    only_b: list[MapRow]
    moved: list[MovedLead]


def compare_fits(a: Sequence[MapRow], b: Sequence[MapRow]) -> FitComparison:
    """Return how the connector maps of two fits differ; leads that end in the open are left out.

    Each row of `a` and of `b` stands in exactly one place of the result.
    """
    found = _Sorted([], [], [], [])
    _compare_leads(_whole(a, is_branch=False), _whole(b, is_branch=False), found)
    _compare_joints(_joints(a), _joints(b), found)
    _pair_moved(found)
    return FitComparison(
        same=tuple(sorted(found.same, key=lambda pair: _order(pair[0]))),
        only_a=tuple(sorted(found.only_a, key=_order)),
        only_b=tuple(sorted(found.only_b, key=_order)),
        elsewhere=tuple(sorted(found.moved, key=lambda lead: _order(lead.a))),
    )


def _order(row: MapRow) -> tuple[object, ...]:
    return (row.a.sort_key, row.b.sort_key if row.b is not None else ())


def _whole(rows: Sequence[MapRow], *, is_branch: bool) -> list[MapRow]:
    return [row for row in rows if row.b is not None and row.is_branch == is_branch]


def _compare_leads(a: Sequence[MapRow], b: Sequence[MapRow], found: _Sorted) -> None:
    in_b = {frozenset((row.a, row.b)): row for row in b}
    for row in a:
        other = in_b.pop(frozenset((row.a, row.b)), None)
        if other is None:
            found.only_a.append(row)
        else:
            found.same.append((row, other))
    found.only_b.extend(in_b.values())


def _joints(rows: Sequence[MapRow]) -> list[_Joint]:
    by_first: dict[PinKey, dict[PinKey, MapRow]] = {}
    for row in _whole(rows, is_branch=True):
        if row.b is not None:
            by_first.setdefault(row.a, {})[row.b] = row
    return [_Joint(first, legs) for first, legs in by_first.items()]


def _compare_joints(a: Sequence[_Joint], b: Sequence[_Joint], found: _Sorted) -> None:
    pairs = sorted(
        (
            (-len(shared), one.first.sort_key, other.first.sort_key, i, j)
            for i, one in enumerate(a)
            for j, other in enumerate(b)
            if len(shared := one.pins & other.pins) > 1
        ),
    )
    used_a: set[int] = set()
    used_b: set[int] = set()
    for _, _, _, i, j in pairs:
        if i not in used_a and j not in used_b:
            used_a.add(i)
            used_b.add(j)
            _compare_legs(a[i], b[j], found)
    found.only_a += [r for i, one in enumerate(a) if i not in used_a for r in one.row_of.values()]
    found.only_b += [r for j, one in enumerate(b) if j not in used_b for r in one.row_of.values()]


def _compare_legs(a: _Joint, b: _Joint, found: _Sorted) -> None:
    """Of the legs that both joints have, all but one are the same lead: n legs are n - 1 rows."""
    shared = a.pins & b.pins
    own_a, own_b = _legs(a, shared), _legs(b, shared)
    found.same.extend(zip(own_a.shared, own_b.shared, strict=True))
    moved = min(len(own_a.own), len(own_b.own))
    found.moved.extend(
        MovedLead(min(shared, key=lambda pin: pin.sort_key), mine, theirs)
        for mine, theirs in zip(own_a.own[:moved], own_b.own[:moved], strict=True)
    )
    found.only_a.extend(own_a.own[moved:])
    found.only_b.extend(own_b.own[moved:])


@dataclass(frozen=True)
class _Legs:
    shared: list[MapRow]
    own: list[MapRow]


def _legs(joint: _Joint, shared: set[PinKey]) -> _Legs:
    """The rows of the legs that two joints share, and of the others. The first pin's leg has no row of its own."""
    of_shared = [row for pin, row in joint.row_of.items() if pin in shared]
    own = [row for pin, row in joint.row_of.items() if pin not in shared]
    if joint.first in shared:
        return _Legs(of_shared, own)
    return _Legs(of_shared[1:], [of_shared[0], *own])


def _pair_moved(found: _Sorted) -> None:
    """Make one lead that goes elsewhere of as many pairs as can be; among these, of the most alike."""
    by_pin: dict[PinKey, list[int]] = {}
    for j, row in enumerate(found.only_b):
        for pin in (row.a, row.b):
            if pin is not None:
                by_pin.setdefault(pin, []).append(j)
    worth = {
        (i, j): 1.0 + (0.5 if row.colour == found.only_b[j].colour else 0.0)
        for i, row in enumerate(found.only_a)
        for pin in (row.a, row.b)
        if pin is not None
        for j in by_pin.get(pin, ())
    }
    if not worth:
        return
    left = sorted({i for i, _ in worth})
    right = sorted({j for _, j in worth})
    table = np.zeros((len(left), len(right)))
    for (i, j), value in worth.items():
        table[left.index(i), right.index(j)] = 100.0 + value
    rows, columns = linear_sum_assignment(table, maximize=True)
    pairs = [
        (left[r], right[c])
        for r, c in zip(rows.tolist(), columns.tolist(), strict=True)
        if (left[r], right[c]) in worth
    ]
    for i, j in pairs:
        a, b = found.only_a[i], found.only_b[j]
        stays = min({a.a, a.b} & {b.a, b.b} - {None}, key=_pin_order)
        if stays is not None:
            found.moved.append(MovedLead(stays, a, b))
    gone_a, gone_b = {i for i, _ in pairs}, {j for _, j in pairs}
    found.only_a = [row for i, row in enumerate(found.only_a) if i not in gone_a]
    found.only_b = [row for j, row in enumerate(found.only_b) if j not in gone_b]


def _pin_order(pin: PinKey | None) -> tuple[object, ...]:
    return () if pin is None else pin.sort_key
