"""A direct-current network: volts at each node, amperes and watts in each element.

Strategy, in steps:

1. Closed switches and sources without resistance fix the voltage between their ends. Nodes that they
   tie are merged into one, each with its offset (union by offset).
2. What is left are conductances between merged nodes: a symmetric, sparse system for the potentials.
   Each connected part is solved against a node of its own, so it never is singular.
3. The part that holds the reference knows its potentials. Another part knows its differences, and so
   its amperes and watts, but not how it stands to the reference: its volts are None.
4. The current of a merged element follows from what flows off on one side of it. Where merged elements
   form a ring it may run either way round: None.
5. Current sources between parts: what flows into a part flows out of it. Where all of them point the
   same way, as loads behind an open fuse do, each delivers nothing, for none turns round. Where they
   otherwise do not sum to zero nothing says which gives way: those parts are None throughout.

The case that falls through: a node with nothing but open switches is a part of its own, and unknown.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass

from loomfolio.basics import NameNotFoundError, UsageError
from loomfolio.electrics.evidence import require_finite, require_not_negative, require_positive
from loomfolio.electrics.graphs import Ties, bridges, neighbours

# What has to sum to zero round a ring, or over the edge of a part, may miss it by rounding and no more.
RING_TOLERANCE = 1e-9


@dataclass(frozen=True, slots=True)
class Resistor:
    """A resistance between two nodes; its current counts from `a` to `b`."""

    name: str
    a: str
    b: str
    ohm: float

    def __post_init__(self) -> None:
        require_positive(f"resistance of {self.name}", self.ohm, "ohm")


@dataclass(frozen=True, slots=True)
class VoltageSource:
    """A voltage with a resistance inside, zero for an ideal one; its current leaves at `plus`."""

    name: str
    plus: str
    minus: str
    volt: float
    ohm: float = 0.0

    def __post_init__(self) -> None:
        require_finite(f"voltage of {self.name}", self.volt, "V")
        require_not_negative(f"resistance of {self.name}", self.ohm, "ohm")


@dataclass(frozen=True, slots=True)
class CurrentSource:
    """A current that runs through whatever there is, out at `plus` and back at `minus`.

    A load that draws a known current is one with `minus` at its supply.
    """

    name: str
    plus: str
    minus: str
    ampere: float

    def __post_init__(self) -> None:
        require_finite(f"current of {self.name}", self.ampere, "A")


@dataclass(frozen=True, slots=True)
class Switch:
    """An ideal switch, also a joint or a fuse whose resistance is not asked for."""

    name: str
    a: str
    b: str
    is_closed: bool


Element = Resistor | VoltageSource | CurrentSource | Switch


@dataclass(frozen=True, slots=True)
class Solution:
    """What is known of a network; None stands for unknown.

    `amperes` of an element run from its `a` to its `b`, of a source out of its `plus`. `watts` are
    taken up by resistors and given off by sources, a charged source having fewer than none.
    """

    volts: Mapping[str, float | None]
    amperes: Mapping[str, float | None]
    watts_taken: Mapping[str, float | None]
    watts_given: Mapping[str, float | None]

    @property
    def unknown_nodes(self) -> tuple[str, ...]:
        """The nodes whose voltage against the reference is not known."""
        return tuple(node for node, volt in self.volts.items() if volt is None)

    @property
    def imbalance_w(self) -> float | None:
        """Watts given less watts taken, zero but for rounding; None where some are unknown."""
        given, taken = list(self.watts_given.values()), list(self.watts_taken.values())
        if None in given or None in taken:
            return None
        return math.fsum(w for w in given if w is not None) - math.fsum(
            w for w in taken if w is not None
        )

    def between(self, plus: str, minus: str) -> float | None:
        """Return the voltage from `minus` to `plus`, None where either is unknown."""
        high, low = self.volts[plus], self.volts[minus]
        return None if high is None or low is None else high - low


def solve(elements: Sequence[Element], *, reference: str) -> Solution:
    """Return volts, amperes and watts of a network, 0 V being at `reference`.

    Raises
    ------
    UsageError
        When two elements share a name, or sources without resistance contradict each other.
    NameNotFoundError
        When no element is at the reference.
    """
    nodes = _nodes(elements)
    if reference not in nodes:
        raise NameNotFoundError("node in the network", reference, nodes)
    ties = _tie(elements)
    parts = _parts(elements, nodes)
    stated = _stated_currents(elements, parts)
    volts = _potentials(elements, ties, parts, stated, reference)
    amperes = _amperes(elements, nodes, volts, stated)
    here = parts[reference]
    takers = [e for e in elements if isinstance(e, Resistor)]
    givers = [e for e in elements if isinstance(e, VoltageSource | CurrentSource)]
    return Solution(
        volts={node: _known(volts[node]) if parts[node] == here else None for node in nodes},
        amperes={name: _known(value) for name, value in amperes.items()},
        watts_taken={e.name: _watts(e, volts, amperes) for e in takers},
        watts_given={e.name: _watts(e, volts, amperes) for e in givers},
    )


def _known(value: float) -> float | None:
    return None if math.isnan(value) else value


def _ends(element: Element) -> tuple[str, str]:
    if isinstance(element, VoltageSource | CurrentSource):
        return element.plus, element.minus
    return element.a, element.b


def _nodes(elements: Sequence[Element]) -> tuple[str, ...]:
    """Return the nodes in the order of the elements; each element has a name of its own."""
    counts = Counter(element.name for element in elements)
    twice = [name for name, count in counts.items() if count > 1]
    if twice:
        raise UsageError(f"Two elements are called {twice[0]!r}; give each a name of its own.")
    return tuple(dict.fromkeys(end for element in elements for end in _ends(element)))


def _is_rigid(element: Element) -> bool:
    """Does the element fix the voltage between its ends whatever runs through it?"""
    if isinstance(element, Switch):
        return element.is_closed
    return isinstance(element, VoltageSource) and element.ohm == 0


def _tie(elements: Sequence[Element]) -> Ties:
    ties = Ties()
    for element in filter(_is_rigid, elements):
        volt = element.volt if isinstance(element, VoltageSource) else 0.0
        odds = ties.tie(*_ends(element), volt)
        if abs(odds) > RING_TOLERANCE * max(1.0, abs(volt)):
            raise UsageError(
                f"{element.name} ties {' and '.join(_ends(element))} at {volt:g} V, "
                f"{abs(odds):g} V from what the others tie them at; give one of them a resistance."
            )
    return ties


def _branches(elements: Sequence[Element]) -> list[tuple[Element, str, str, float, float]]:
    """Return what conducts: element, its ends a and b, conductance, and its own volts from b to a."""
    found: list[tuple[Element, str, str, float, float]] = []
    for element in elements:
        if isinstance(element, Resistor):
            found.append((element, element.a, element.b, 1 / element.ohm, 0.0))
        elif isinstance(element, VoltageSource) and element.ohm > 0:
            found.append((element, element.plus, element.minus, 1 / element.ohm, element.volt))
    return found


def _parts(elements: Sequence[Element], nodes: Sequence[str]) -> dict[str, int]:
    """Return the number of the connected part that each node is in, by all but current sources."""
    joined = Ties()
    for element in elements:
        is_open = isinstance(element, Switch) and not element.is_closed
        if not is_open and not isinstance(element, CurrentSource):
            joined.tie(*_ends(element), 0.0)
    numbers: dict[str, int] = {}
    return {node: numbers.setdefault(joined.height(node)[0], len(numbers)) for node in nodes}


def _stated_currents(elements: Sequence[Element], parts: Mapping[str, int]) -> dict[str, float]:
    """Return what each current source delivers: its own, 0 with no way back, not-a-number if open.

    Over the edge of a part the currents sum to zero. Where all sources on it point the same way each
    delivers nothing, and that is taken round by round. Where the rest do not sum to zero, nothing says
    which of them gives way.
    """
    sources = [element for element in elements if isinstance(element, CurrentSource)]
    delivered = {source.name: source.ampere for source in sources}
    crossing = [s for s in sources if parts[s.plus] != parts[s.minus]]
    while True:
        live = [source for source in crossing if delivered[source.name] != 0]
        at_part = _at_parts(live, parts, delivered)
        starved = {part for part, ways in at_part.items() if min(ways) > 0 or max(ways) < 0}
        if not starved:
            break
        delivered |= {s.name: 0.0 for s in live if {parts[s.plus], parts[s.minus]} & starved}
    odd = {
        part
        for part, ways in at_part.items()
        if abs(math.fsum(ways)) > RING_TOLERANCE * max(map(abs, ways))
    }
    unknown = {s.name: math.nan for s in live if {parts[s.plus], parts[s.minus]} & odd}
    return delivered | unknown


def _at_parts(
    sources: Sequence[CurrentSource], parts: Mapping[str, int], delivered: Mapping[str, float]
) -> dict[int, list[float]]:
    """Return the currents that flow into each part over its edge."""
    found: dict[int, list[float]] = {}
    for source in sources:
        found.setdefault(parts[source.plus], []).append(delivered[source.name])
        found.setdefault(parts[source.minus], []).append(-delivered[source.name])
    return found


def _potentials(
    elements: Sequence[Element],
    ties: Ties,
    parts: Mapping[str, int],
    stated: Mapping[str, float],
    reference: str,
) -> dict[str, float]:
    """Return the volts of each node against its part's own zero; not-a-number in a lost part.

    The zero is the reference in its part, and the first node in any other.
    """
    zero = {number: node for node, number in reversed(list(parts.items()))} | {
        parts[reference]: reference
    }
    roots = {root for node in parts if (root := ties.height(node)[0])}
    grounded = {ties.height(node)[0] for node in zero.values()}
    free = {root: n for n, root in enumerate(sorted(roots - grounded))}
    heights = dict.fromkeys(grounded, 0.0) | _solved(elements, ties, free, stated)
    raw = {node: heights[root] + offset for node in parts for root, offset in [ties.height(node)]}
    lost = {
        parts[end]
        for element in elements
        if isinstance(element, CurrentSource) and math.isnan(stated[element.name])
        for end in _ends(element)
    }
    return {
        node: math.nan if parts[node] in lost else volt - raw[zero[parts[node]]]
        for node, volt in raw.items()
    }


def _solved(
    elements: Sequence[Element], ties: Ties, free: Mapping[str, int], stated: Mapping[str, float]
) -> dict[str, float]:
    """Return the heights of the free merged nodes from the sparse system G·x = i."""
    # Only here, for the room is imported by programs that never solve a network.
    import numpy as np
    from scipy.sparse import coo_array
    from scipy.sparse.linalg import splu

    if not free:
        return {}
    entries: list[tuple[int, int, float]] = []
    injected = np.zeros(len(free))

    def flow_out(root: str, ampere: float) -> None:
        if root in free:
            injected[free[root]] -= ampere

    for _, a, b, siemens, own_v in _branches(elements):
        (root_a, offset_a), (root_b, offset_b) = ties.height(a), ties.height(b)
        steady_a = siemens * (offset_a - offset_b - own_v)
        flow_out(root_a, steady_a)
        flow_out(root_b, -steady_a)
        for one, other in ((root_a, root_b), (root_b, root_a)):
            if one in free and one != other:
                entries.append((free[one], free[one], siemens))
                if other in free:
                    entries.append((free[one], free[other], -siemens))
    for element in elements:
        if isinstance(element, CurrentSource) and not math.isnan(stated[element.name]):
            flow_out(ties.height(element.plus)[0], -stated[element.name])
            flow_out(ties.height(element.minus)[0], stated[element.name])
    rows, columns, values = zip(*entries, strict=True)
    matrix = coo_array((values, (rows, columns)), shape=(len(free), len(free))).tocsc()
    solved = splu(matrix).solve(injected)
    return {root: float(solved[number]) for root, number in free.items()}


def _amperes(
    elements: Sequence[Element],
    nodes: Sequence[str],
    volts: Mapping[str, float],
    stated: Mapping[str, float],
) -> dict[str, float]:
    """Return the current of each element from its first end to its second, a source's out of plus."""
    through = {element.name: 0.0 for element in elements}
    for element, a, b, siemens, own_v in _branches(elements):
        through[element.name] = siemens * (volts[a] - volts[b] - own_v)
    for name, ampere in stated.items():
        through[name] = -ampere
    leaving = dict.fromkeys(nodes, 0.0)
    for element in elements:
        a, b = _ends(element)
        leaving[a] += through[element.name]
        leaving[b] -= through[element.name]
    through |= _rigid_currents([e for e in elements if _is_rigid(e)], leaving)
    is_source = {e.name: isinstance(e, VoltageSource | CurrentSource) for e in elements}
    # `+ 0.0` turns the minus nought of a source without load into nought.
    return {name: -value + 0.0 if is_source[name] else value for name, value in through.items()}


def _rigid_currents(rigid: Sequence[Element], leaving: Mapping[str, float]) -> dict[str, float]:
    """Return the currents of rigid elements: what leaves on the far side of each; none in a ring."""
    edges = [_ends(element) for element in rigid]
    alone = bridges(edges)
    found = {e.name: math.nan for n, e in enumerate(rigid) if n not in alone}
    groups = Ties()
    for number, (a, b) in enumerate(edges):
        if number not in alone:
            groups.tie(a, b, 0.0)
    outflow: dict[str, float] = {}
    for node in {end for edge in edges for end in edge}:
        group = groups.height(node)[0]
        outflow[group] = outflow.get(group, 0.0) + leaving[node]
    numbers = sorted(alone)
    forest = [(groups.height(a)[0], groups.height(b)[0]) for a, b in (edges[n] for n in numbers)]
    for position, parent, child in _leaves_first(forest):
        # What leaves beyond the bridge has to arrive over it.
        element = rigid[numbers[position]]
        is_towards_b = groups.height(_ends(element)[1])[0] == child
        found[element.name] = outflow[child] if is_towards_b else -outflow[child]
        outflow[parent] += outflow[child]
    return found


def _leaves_first(forest: Sequence[tuple[str, str]]) -> list[tuple[int, str, str]]:
    """Return the edges of a forest as (position, parent, child), each before the edge above it."""
    beside = neighbours(forest)
    seen: set[Hashable] = set()
    ordered: list[tuple[int, str, str]] = []
    for start in beside:
        stack: list[Hashable] = [] if start in seen else [start]
        seen.add(start)
        while stack:
            node = stack.pop()
            for position, other in beside[node]:
                if other not in seen:
                    seen.add(other)
                    ordered.append((position, str(node), str(other)))
                    stack.append(other)
    return ordered[::-1]


def _watts(
    element: Resistor | VoltageSource | CurrentSource,
    volts: Mapping[str, float],
    amperes: Mapping[str, float],
) -> float | None:
    """Return what a resistor takes or a source gives, None where its current is unknown."""
    ampere = amperes[element.name]
    if ampere == 0:
        return 0.0
    a, b = _ends(element)
    return _known((volts[a] - volts[b]) * ampere)
