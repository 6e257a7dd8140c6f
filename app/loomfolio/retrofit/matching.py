"""Which connector of one document is which of another: by name, mates, neighbours, signals and pins.

Where both sides come from one document, a half that both have is the same; what is left over is matched.
Between two documents ids mean nothing, and all is matched. A pair gets a score from what the two have in
common; the assignment with the highest sum is taken (Hungarian method). A pair is settled only where its
score is high and no other half is about as likely; what is doubtful is asked, never taken. What the
person answered is the first of all grounds.
"""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import linear_sum_assignment

from loomfolio.project import ConnectorMatch, HalfKey, PinKey
from loomfolio.retrofit.records import Matching, MatchQuestion
from loomfolio.retrofit.state import Equipment

SETTLED_SCORE = 0.6
"""From this score on a pair may be settled, and from `ASKED_SCORE` on it is asked (tried on made-up vehicles;
common practice, no source)."""
ASKED_SCORE = 0.35
MARGIN = 0.15
"""A settled pair is this much likelier than any other pair of either half (same origin)."""

_WEIGHTS = {"name": 0.35, "signals": 0.3, "neighbours": 0.2, "pins": 0.15}


@dataclass(frozen=True)
class _Traits:
    """What a half is known by."""

    half: HalfKey
    kind: str
    words: str
    pins: frozenset[str]
    signals: Mapping[str, str]
    neighbours: frozenset[str]


@dataclass
class _Found:
    """Pairs that are settled, and what is asked, while the matching goes on."""

    pairs: dict[HalfKey, HalfKey] = field(default_factory=dict)
    refused: set[tuple[HalfKey, HalfKey]] = field(default_factory=set)
    questions: list[MatchQuestion] = field(default_factory=list)


def match_halves(
    target: Equipment,
    vehicle: Equipment,
    answers: Iterable[ConnectorMatch] = (),
    *,
    is_one_document: bool = True,
) -> Matching:
    """Return which half is which, with what has to be asked.

    Parameters
    ----------
    answers
        What the person said already; these pairs are settled, or out of the question.
    is_one_document
        Do both sides name parts by the same ids?
    """
    found = _Found()
    for answer in answers:
        if answer.is_same:
            found.pairs[answer.target] = answer.vehicle
        else:
            found.refused.add((answer.target, answer.vehicle))
    if is_one_document:
        _take_same_keys(target, vehicle, found)
    left, right = _left_over(target, vehicle, found)
    if not is_one_document:
        _take_same_names(left, right, found)
    for _ in range(2):  # what the first round settles is a neighbour known in the second
        found.questions.clear()
        left, right = _left_over(target, vehicle, found)
        _assign(left, right, found, target)
    used = set(found.pairs.values())
    return Matching(
        pairs=tuple(sorted(found.pairs.items(), key=lambda pair: _order(pair[0]))),
        parts=_parts(target, vehicle, found.pairs, is_one_document=is_one_document),
        questions=tuple(sorted(found.questions, key=lambda q: _order(q.target))),
        only_target=tuple(sorted((t.half for t in left if t.half not in found.pairs), key=_order)),
        only_vehicle=tuple(sorted((v.half for v in right if v.half not in used), key=_order)),
    )


def _order(half: HalfKey) -> tuple[str, str, str]:
    return (half.part, half.connector, half.half)


def _real_halves(side: Equipment) -> list[HalfKey]:
    return [half for half in side.halves if half.part not in side.hubs]


def _take_same_keys(target: Equipment, vehicle: Equipment, found: _Found) -> None:
    taken = set(found.pairs.values())
    for half in _real_halves(target):
        is_free = half not in found.pairs and half not in taken
        if half in vehicle.halves and is_free and (half, half) not in found.refused:
            found.pairs[half] = half


def _left_over(
    target: Equipment, vehicle: Equipment, found: _Found
) -> tuple[list[_Traits], list[_Traits]]:
    used = set(found.pairs.values())
    mine = [half for half in _real_halves(target) if half not in found.pairs]
    theirs = [half for half in _real_halves(vehicle) if half not in used]
    if not mine or not theirs:
        return [_bare(target, half) for half in mine], [_bare(vehicle, half) for half in theirs]
    in_target = {other: half for half, other in found.pairs.items()}
    return (
        _traits(target, mine, {half: target.half_text(half) for half in found.pairs}),
        _traits(vehicle, theirs, {o: target.half_text(half) for o, half in in_target.items()}),
    )


def _bare(side: Equipment, half: HalfKey) -> _Traits:
    return _Traits(half, side.part_kinds.get(half.part, ""), "", frozenset(), {}, frozenset())


def _traits(
    side: Equipment, halves: Sequence[HalfKey], known: Mapping[HalfKey, str]
) -> list[_Traits]:
    wanted = {(half.part, half.connector, half.half): half for half in halves}
    pins: dict[HalfKey, set[PinKey]] = {half: set() for half in halves}
    for pin in side.pins:
        own_half = wanted.get((pin.part, pin.connector, pin.half))
        if own_half is not None:
            pins[own_half].add(pin)
    return [
        _Traits(
            half,
            side.part_kinds.get(half.part, ""),
            _plain(side.half_text(half)),
            frozenset(pin.pin for pin in own),
            {pin.pin: side.signals[pin] for pin in own if pin in side.signals},
            frozenset(
                f"{pin.pin}>{known[other.half_key]}:{other.pin}"
                for pin in own
                for other in side.neighbours(pin)
                if isinstance(other, PinKey) and other.half_key in known
            ),
        )
        for half, own in pins.items()
    ]


def _plain(text: str) -> str:
    """A name without what draughtsmen vary: capitals, blanks, dashes, dots."""
    return "".join(sign for sign in text.casefold() if sign.isalnum())


def _take_same_names(left: Sequence[_Traits], right: Sequence[_Traits], found: _Found) -> None:
    """Halves called alike in two documents, with about the same pins, are settled."""
    by_name: dict[str, list[_Traits]] = {}
    for one in right:
        by_name.setdefault(one.words, []).append(one)
    for one in left:
        others = by_name.get(one.words, [])
        if len(others) != 1 or (one.half, others[0].half) in found.refused:
            continue
        if one.kind == others[0].kind and _share(one.pins, others[0].pins) >= 0.5:
            found.pairs[one.half] = others[0].half


def _share(a: Collection[str], b: Collection[str]) -> float:
    """What two sets have in common, of all that is in them; 0 where both are empty."""
    both = set(a) | set(b)
    return len(set(a) & set(b)) / len(both) if both else 0.0


# ------------------------------------------------------------------------------------------- scores


def _score(a: _Traits, b: _Traits) -> tuple[float, tuple[str, ...]]:
    """How likely two halves are the same, and on what grounds."""
    shares = {
        "name": difflib.SequenceMatcher(None, a.words, b.words).ratio(),
        "pins": _share(a.pins, b.pins),
    }
    grounds = [f"{len(a.pins & b.pins)} pins are numbered alike"] if a.pins & b.pins else []
    told = a.signals.keys() & b.signals.keys()
    if told:
        alike = [pin for pin in told if a.signals[pin].casefold() == b.signals[pin].casefold()]
        shares["signals"] = len(alike) / len(told)
        grounds.append(f"{len(alike)} of {len(told)} signals are named alike")
    if a.neighbours or b.neighbours:
        shares["neighbours"] = _share(a.neighbours, b.neighbours)
        grounds.append(f"{len(a.neighbours & b.neighbours)} leads go to the same pins")
    weight = sum(_WEIGHTS[name] for name in shares)
    score = sum(_WEIGHTS[name] * share for name, share in shares.items()) / weight
    return (score if a.kind == b.kind else score / 2), tuple(grounds)


def _assign(
    left: Sequence[_Traits], right: Sequence[_Traits], found: _Found, target: Equipment
) -> None:
    if not left or not right:
        return
    scores = np.zeros((len(left), len(right)))
    for i, j in _worth_scoring(left, right):
        if (left[i].half, right[j].half) not in found.refused:
            scores[i, j] = _score(left[i], right[j])[0]
    rows, columns = linear_sum_assignment(scores, maximize=True)
    for i, j in zip(rows.tolist(), columns.tolist(), strict=True):
        score = float(scores[i, j])
        rival = max(_second(scores[i, :], j), _second(scores[:, j], i))
        if score >= SETTLED_SCORE and score - rival >= MARGIN:
            found.pairs[left[i].half] = right[j].half
        elif score >= ASKED_SCORE:
            found.questions.append(_question(left[i], right, scores[i, :], j, target))


def _worth_scoring(left: Sequence[_Traits], right: Sequence[_Traits]) -> Iterable[tuple[int, int]]:
    """Pairs that share a signal, a neighbour or the beginning of a name; the others cannot reach a score."""
    index: dict[str, list[int]] = {}
    for j, one in enumerate(right):
        for trait in _marks(one):
            index.setdefault(trait, []).append(j)
    for i, one in enumerate(left):
        yield from (
            (i, j) for j in sorted({j for mark in _marks(one) for j in index.get(mark, ())})
        )


def _marks(one: _Traits) -> set[str]:
    return {
        *(f"signal {name.casefold()}" for name in one.signals.values()),
        *(f"lead {neighbour}" for neighbour in one.neighbours),
        f"name {one.words[:2]}",
    }


def _second(scores: np.ndarray[tuple[int], np.dtype[np.float64]], best: int) -> float:
    others = np.delete(scores, best)
    return float(others.max()) if others.size else 0.0


def _question(
    one: _Traits,
    right: Sequence[_Traits],
    scores: np.ndarray[tuple[int], np.dtype[np.float64]],
    best: int,
    target: Equipment,
) -> MatchQuestion:
    score, grounds = _score(one, right[best])
    rivals = [
        right[j].half
        for j in np.argsort(-scores, kind="stable").tolist()
        if j != best and scores[j] > 0 and scores[best] - scores[j] < MARGIN
    ]
    name = target.half_text(one.half)
    return MatchQuestion(
        target=one.half,
        vehicle=right[best].half,
        score=score,
        sentence=f"Is {name} of the target the connector of this vehicle that is proposed?",
        grounds=grounds,
        rivals=tuple(rivals[:3]),
    )


# -------------------------------------------------------------------------------------------- parts


def _parts(
    target: Equipment,
    vehicle: Equipment,
    pairs: Mapping[HalfKey, HalfKey],
    *,
    is_one_document: bool,
) -> tuple[tuple[str, str], ...]:
    """Which part is which: those that share a half, and splices and ground points by their names."""
    found: dict[str, str] = {}
    taken: set[str] = set()
    for mine, theirs in sorted(pairs.items(), key=lambda pair: _order(pair[0])):
        if theirs.part not in taken and mine.part not in found:
            found[mine.part] = theirs.part
            taken.add(theirs.part)
    by_name = {_plain(vehicle.part_names[p]): p for p in vehicle.part_kinds if p in vehicle.hubs}
    for part in target.part_kinds:
        if part in target.hubs:
            same = part if is_one_document else by_name.get(_plain(target.part_names[part]))
            if same in vehicle.part_kinds and same is not None:
                found.setdefault(part, same)
    return tuple(sorted(found.items()))
