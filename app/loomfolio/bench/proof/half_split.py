"""The next probe when something is wrong: the one that leaves the least to do, half of the suspicion on each side.

A suspect is a piece that may be at fault, with a weight for how likely that is. A check is a probe that
tells on which of two sides the fault lies. For few suspects the whole tree of checks is worked out, and
the check with the least cost to be expected is proposed; for many, the one that halves the suspicion
best, cheap ones first. One fault is assumed; a suspect that no check tells from another stays beside it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property

MOST_SUSPECTS, MOST_STATES = 24, 1_500
"""Up to so many suspects, and sets of them that can be left, the whole tree is worked out; a way of 24
pieces has 300 such sets. Beyond, the half-split decides."""


@dataclass(frozen=True, slots=True)
class Suspect:
    """A piece that may be at fault: what it is, and how likely, in parts of the whole."""

    key: str
    text: str
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Check:
    """A probe: read as `good`, the fault is not in `side`; otherwise it is. `cost` is 1 and what reach adds."""

    key: str
    text: str
    side: frozenset[str]
    cost: float = 1.0
    good: str = "good"
    bad: str = "bad"


@dataclass(frozen=True)
class Search:
    """Suspects, and the checks that tell them apart."""

    suspects: tuple[Suspect, ...]
    checks: tuple[Check, ...]

    @cached_property
    def weights(self) -> Mapping[str, float]:
        """How likely each suspect is."""
        return {suspect.key: suspect.weight for suspect in self.suspects}

    def after(self, answers: Mapping[str, bool]) -> Search:
        """Return what is left after checks were answered: True where one read good.

        Answers that rule out everything leave everything, for then one of them is wrong.
        """
        left = {suspect.key for suspect in self.suspects}
        for check in self.checks:
            if check.key in answers:
                left &= left - check.side if answers[check.key] else check.side
        if not left:
            return self
        return Search(
            tuple(s for s in self.suspects if s.key in left),
            tuple(c for c in self.checks if c.key not in answers),
        )

    @property
    def next_check(self) -> Check | None:
        """The check to make next; None where no check tells the suspects apart."""
        everything = frozenset(self.weights)
        useful = _telling(self.checks, everything)
        if not useful:
            return None
        planner = _Planner(useful, self.weights)
        with suppress(_TooManyError):
            return planner.best(everything)[1]
        return min(useful, key=lambda check: planner.imbalance(check, everything))

    @property
    def expected_cost(self) -> float:
        """The cost to be expected until no check helps any more, by the best tree; exact for few suspects."""
        return _Planner(self.checks, self.weights).best(frozenset(self.weights))[0]

    @property
    def is_named(self) -> bool:
        """Is the piece named, as far as checks can tell?"""
        return self.next_check is None


class _TooManyError(Exception):
    """More sets of suspects than are looked at."""


def _telling(checks: Sequence[Check], left: frozenset[str]) -> list[Check]:
    return [check for check in checks if left & check.side and left - check.side]


class _Planner:
    """The best tree of checks, worked out once for each set of suspects that can be left."""

    def __init__(self, checks: Sequence[Check], weights: Mapping[str, float]) -> None:
        self._checks = checks
        self._weights = weights
        self._known: dict[frozenset[str], tuple[float, Check | None]] = {}

    def best(self, left: frozenset[str]) -> tuple[float, Check | None]:
        """Return the least expected cost for what is left, and the check it begins with."""
        if left in self._known:
            return self._known[left]
        if len(left) > MOST_SUSPECTS or len(self._known) >= MOST_STATES:
            raise _TooManyError
        best: tuple[float, Check | None] = (0.0, None)
        total = self._sum(left)
        for check in _telling(self._checks, left):
            bad, good = left & check.side, left - check.side
            then = self._sum(bad) * self.best(bad)[0] + self._sum(good) * self.best(good)[0]
            cost = check.cost + then / total
            if best[1] is None or cost < best[0] - 1e-12:
                best = (cost, check)
        self._known[left] = best
        return best

    def imbalance(self, check: Check, left: frozenset[str]) -> float:
        """How far a check is from halving the suspicion, with its cost."""
        share = self._sum(left & check.side) / self._sum(left)
        return abs(share - 0.5) + 0.1 * check.cost

    def _sum(self, keys: frozenset[str]) -> float:
        return sum(self._weights[key] for key in sorted(keys))
