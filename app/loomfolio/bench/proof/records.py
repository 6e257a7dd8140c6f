"""What proves the work: points to probe, conditions, limits, tests, and the plan they make.

A test's key is made of the ids of what it measures, so that a reading stays with it while the document
is edited, parts are renamed and the plan is made anew.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from loomfolio.electrics import Figure
from loomfolio.retrofit import Node

Stage = Literal[
    "continuity",
    "isolation",
    "loops",
    "bus ends",
    "high voltage",
    "power up",
    "loaded drop",
    "codes",
    "sleep current",
    "functions",
    "option",
]
STAGES: tuple[Stage, ...] = (
    "continuity",
    "isolation",
    "loops",
    "bus ends",
    "high voltage",
    "power up",
    "loaded drop",
    "codes",
    "sleep current",
    "functions",
    "option",
)
"""In the order in which they are done."""
Outcome = Literal["pass", "fail", "doubtful"]


@dataclass(frozen=True, slots=True)
class Probe:
    """A point where a meter's lead is put: place, cavity, and from which side or how.

    `cover` is what has to be opened to get there: a zone where the place of the connector is known,
    otherwise the connector itself.
    """

    node: Node
    place: str
    cavity: str
    how: str
    cover: str

    @property
    def text(self) -> str:
        """The point as a person writes it."""
        return f"{self.place}:{self.cavity}" if self.cavity else self.place


@dataclass(frozen=True, slots=True)
class Conditions:
    """How the vehicle and the meter have to be for a reading to mean anything."""

    unplugged: tuple[str, ...] = ()
    taken_out: tuple[str, ...] = ()
    supply: str = ""
    key: str = ""
    meter: str = ""
    note: str = ""

    @property
    def lines(self) -> tuple[str, ...]:
        """The conditions one by one, in the order in which one brings them about."""
        lists = (("Unplugged", self.unplugged), ("Taken out", self.taken_out))
        listed = tuple(f"{word}: {', '.join(names)}" for word, names in lists if names)
        words = (("Supply", self.supply), ("Key", self.key), ("Meter", self.meter))
        said = tuple(f"{word}: {text}" for word, text in words if text)
        return (*said[:2], *listed, *said[2:], *((self.note,) if self.note else ()))


@dataclass(frozen=True, slots=True)
class Limit:
    """What a reading is held against: numbers, or words.

    A number passes from `low` to `high`; beyond one of them, but not beyond `doubt_low` or `doubt_high`,
    it is doubtful. Over range passes where there is no upper limit. A word test has `passes` and `fails`.
    """

    unit: str = ""
    low: Figure | None = None
    high: Figure | None = None
    doubt_low: float | None = None
    doubt_high: float | None = None
    passes: str = ""
    fails: str = ""

    @property
    def is_of_words(self) -> bool:
        """Is the test answered by a word instead of by a number?"""
        return bool(self.passes)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The numbers that the limit rests on, each with its reasons."""
        return tuple(figure for figure in (self.low, self.high) if figure is not None)


@dataclass(frozen=True, slots=True)
class ProofTest:
    """One reading to take. `b` are several points where they are held together with clips."""

    key: str
    stage: Stage
    title: str
    conditions: Conditions
    limit: Limit
    a: Probe | None = None
    b: tuple[Probe, ...] = ()
    proves: tuple[tuple[str, str], ...] = ()
    """The pairs of nets whose isolation the test proves, by their keys; the two pieces for a loop."""
    by_qualified_only: bool = False
    after: tuple[str, ...] = ()
    """Keys of tests that must have passed before."""

    @property
    def probes(self) -> tuple[Probe, ...]:
        """All points that are touched."""
        return (*((self.a,) if self.a else ()), *self.b)


@dataclass(frozen=True, slots=True)
class ProofPlan:
    """All tests of a job in their order, and what cannot be planned, in sentences."""

    tests: tuple[ProofTest, ...]
    remarks: tuple[str, ...] = ()

    def of(self, stage: Stage) -> tuple[ProofTest, ...]:
        """Return the tests of one stage, in their order."""
        return tuple(test for test in self.tests if test.stage == stage)

    def test(self, key: str) -> ProofTest:
        """Return the test with this key; `KeyError` if the plan has none."""
        for test in self.tests:
            if test.key == key:
                return test
        raise KeyError(key)

    @property
    def probe_moves(self) -> int:
        """How often a probe or clip is put to a new point, from the first test to the last."""
        moves, at = 0, frozenset[Node]()
        for test in self.tests:
            points = frozenset(probe.node for probe in test.probes)
            moves += len(points - at)
            at = points or at
        return moves

    @property
    def covers(self) -> tuple[str, ...]:
        """What has to be opened for all of it, each once, in the order in which it is first needed."""
        opened = (probe.cover for test in self.tests for probe in test.probes)
        return tuple(dict.fromkeys(opened))


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a reading means, in one sentence."""

    outcome: Outcome
    sentence: str
