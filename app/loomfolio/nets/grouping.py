"""Sets that are merged pair by pair, whatever the order of the pairs."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from typing import Generic, TypeVar

_T = TypeVar("_T", bound=Hashable)


class Grouping(Generic[_T]):
    """A partition of things that grows coarser; which things are together does not depend on the order of merging."""

    def __init__(self) -> None:
        self._parent: dict[_T, _T] = {}

    def add(self, thing: _T) -> None:
        """Take a thing in, in a group of its own unless it is there already."""
        self._parent.setdefault(thing, thing)

    def merge(self, things: Iterable[_T]) -> None:
        """Put all `things` into one group; nothing happens with none, and one is only taken in."""
        first: _T | None = None
        for thing in things:
            self.add(thing)
            if first is None:
                first = self._root(thing)
            else:
                self._parent[self._root(thing)] = first

    def is_together(self, one: _T, other: _T) -> bool:
        """Are both in one group? Things never taken in are together with nothing."""
        if one not in self._parent or other not in self._parent:
            return False
        return self._root(one) == self._root(other)

    def groups(self) -> list[list[_T]]:
        """Return the groups; things and groups stand in the order in which they were taken in."""
        groups: dict[_T, list[_T]] = {}
        for thing in self._parent:
            groups.setdefault(self._root(thing), []).append(thing)
        return list(groups.values())

    def _root(self, thing: _T) -> _T:
        root = thing
        while self._parent[root] != root:
            root = self._parent[root]
        while self._parent[thing] != root:
            self._parent[thing], thing = root, self._parent[thing]
        return root
