"""Nets and conductors by their numbers.

Numbers tell the sheet: each sheet has a range of its own, so that an edit of one sheet leaves the numbers of all
others as they are, and what was worked out with them can be taken over.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Generic, TypeVar

_T = TypeVar("_T")

NUMBERS_PER_SHEET = 1_000_000
"""The conductors of the sheet at position n begin with n times this. The fullest page that we know has
some thousand."""
FIRST_WITHOUT_SHEET = 10**12
"""From here on nets are numbered that no conductor belongs to."""


class ByNumber(Generic[_T]):
    """Things in the order of their numbers: looked up by number, gone through one by one."""

    def __init__(self, things: Mapping[int, _T]) -> None:
        self._things = things

    def __getitem__(self, number: int) -> _T:
        return self._things[number]

    def __iter__(self) -> Iterator[_T]:
        return iter(self._things.values())

    def __len__(self) -> int:
        return len(self._things)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, ByNumber):
            return NotImplemented
        return dict(self._things) == dict(other._things)

    __hash__ = None  # type: ignore[assignment]  # compared by what it holds, so no key
