"""Which cavities of two mated halves meet: by the mate's table, or n to n over the pins that both have."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from loomfolio.project import HalfKey, Mate, PinKey, PinPair, Project, natural_order


def pins_of_halves(project: Project, pins: Iterable[PinKey]) -> Mapping[HalfKey, Sequence[str]]:
    """Return the pins of those halves that are mated without a table, in natural order."""
    wanted = {
        (half.part, half.connector, half.half): half
        for mate in project.mates
        if not mate.pairs
        for half in (mate.a, mate.b)
    }
    if not wanted:
        return {}
    found: dict[HalfKey, set[str]] = {}
    for pin in pins:
        half = wanted.get((pin.part, pin.connector, pin.half))
        if half is not None:
            found.setdefault(half, set()).add(pin.pin)
    return {half: sorted(names, key=natural_order) for half, names in found.items()}


def mate_pairs(mate: Mate, by_half: Mapping[HalfKey, Sequence[str]]) -> tuple[PinPair, ...]:
    """Return which cavities of a mate meet: its table, or the proposal `n to n` over the pins that both halves have."""
    if mate.pairs:
        return mate.pairs
    a = set(by_half.get(mate.a, ()))
    return tuple(PinPair(a=pin, b=pin) for pin in by_half.get(mate.b, ()) if pin in a)


def pair_text(pair: PinPair) -> str:
    """Return how a confirmation names a pair of cavities: `3=7`."""
    return f"{pair.a}={pair.b}"
