"""What the declared wires connect: nets over all sheets, and the single leads.

Only the named ends of the wires count here, together with what the parts join inside and which halves
are mated. No position is looked at, so that this can be held against nets that were found by position.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

from drawing.plan import SheetPlan, WirePlan

Option = str


@dataclass(frozen=True, slots=True)
class LeadTruth:
    """One real run of wire: the pins at its ends, its colours as printed, the sheets that draw it.

    Two pins make a plain lead; more meet at a drawn dot; one ends in the open. `when` is the strictest
    condition printed at a stretch of it.
    """

    pins: tuple[str, ...]
    colours: tuple[str, ...]
    sheets: tuple[int, ...]
    when: str


@dataclass(frozen=True, slots=True)
class Joining:
    """What is one metal besides the wires: groups of pins inside parts, and pairs of mated cavities."""

    inside: tuple[frozenset[str], ...]
    parts_throughout: frozenset[str]
    mated: tuple[tuple[str, str], ...]


class _Groups:
    """Things put together pair by pair."""

    def __init__(self) -> None:
        self._parent: dict[str, str] = {}

    def join(self, things: Iterable[str]) -> None:
        first, *others = things
        root = self._root(first)
        for other in others:
            self._parent[self._root(other)] = root

    def all(self) -> list[set[str]]:
        found: dict[str, set[str]] = {}
        for thing in list(self._parent):
            found.setdefault(self._root(thing), set()).add(thing)
        return list(found.values())

    def _root(self, thing: str) -> str:
        self._parent.setdefault(thing, thing)
        while self._parent[thing] != thing:
            thing = self._parent[thing]
        return thing


def is_pin(end: str) -> bool:
    """Is an end of a wire a pin (and no dot, open end or page arrow)?"""
    return end[0] not in "@~>"


def all_pins(sheets: Sequence[SheetPlan]) -> frozenset[str]:
    """Return every pin that a sheet draws."""
    return frozenset(
        body.text_of(spot) for sheet in sheets for body in sheet.bodies for spot in body.pins
    )


def arrow_pairs(sheets: Sequence[SheetPlan]) -> Iterator[tuple[str, int, int]]:
    """Yield each link between sheets: the letter, the sheet it leaves and the one it comes to."""
    for sheet in sheets:
        for arrow in sheet.arrows:
            if arrow.is_outgoing:
                yield from ((arrow.letter, sheet.number, target) for target in arrow.sheets)


def nets(
    sheets: Sequence[SheetPlan], joining: Joining, *, fit: Collection[Option] | None = None
) -> tuple[tuple[str, ...], ...]:
    """Return the nets as sorted groups of pins; with `fit` only what is there with these options.

    A pin that no wire meets is a net of its own, except that with a `fit` it is left out.
    """
    groups = _Groups()
    live: set[str] = set(all_pins(sheets)) if fit is None else set()
    for sheet, wire in _wires(sheets, fit):
        ends = (_global(sheet, wire.a), _global(sheet, wire.b))
        groups.join(ends)
        live.update(end for end in ends if is_pin(end))
    _join_arrows(groups, sheets)
    for pins in (*joining.inside, *map(frozenset, joining.mated), *_throughout(live, joining)):
        if present := sorted(pins & live):
            groups.join(present)
    for pin in live:
        groups.join((pin,))
    found = (sorted(group & live, key=_counting) for group in groups.all())
    return tuple(sorted((tuple(net) for net in found if net), key=lambda net: _counting(net[0])))


def leads(
    sheets: Sequence[SheetPlan], *, fit: Collection[Option] | None = None
) -> tuple[LeadTruth, ...]:
    """Return the single leads: what hangs together by wires, dots and arrows alone, pins not crossed."""
    groups = _Groups()
    wires: dict[str, tuple[SheetPlan, WirePlan]] = {}
    for number, (sheet, wire) in enumerate(_wires(sheets, fit)):
        own = f"wire {number}"
        wires[own] = (sheet, wire)
        groups.join((own, *(_global(sheet, end) for end in (wire.a, wire.b) if not is_pin(end))))
    _join_arrows(groups, sheets)
    runs = ([wires[thing] for thing in group if thing in wires] for group in groups.all())
    found = (_lead(run) for run in runs if run)
    return tuple(sorted(found, key=lambda lead: tuple(map(_counting, lead.pins))))


def _lead(run: Sequence[tuple[SheetPlan, WirePlan]]) -> LeadTruth:
    pins = {end for _, wire in run for end in (wire.a, wire.b) if is_pin(end)}
    return LeadTruth(
        pins=tuple(sorted(pins, key=_counting)),
        colours=tuple(sorted({wire.colour for _, wire in run if wire.colour})),
        sheets=tuple(sorted({sheet.number for sheet, _ in run})),
        when=max((when for sheet, wire in run for when in (sheet.when, wire.when)), key=len),
    )


def _wires(
    sheets: Sequence[SheetPlan], fit: Collection[Option] | None
) -> Iterator[tuple[SheetPlan, WirePlan]]:
    for sheet in sheets:
        for wire in sheet.wires:
            if fit is None or (holds(sheet.when, fit) and holds(wire.when, fit)):
                yield sheet, wire


def holds(when: str, fit: Collection[Option]) -> bool:
    """Is a printed condition (an option, `!` before it, or nothing) met by a set of options?"""
    return not when or (when.removeprefix("!") in fit) != when.startswith("!")


def _global(sheet: SheetPlan, end: str) -> str:
    """Dots, open ends and arrows belong to their sheet; a pin is the same wherever it is drawn."""
    return end if is_pin(end) else f"{end[0]}{sheet.number}{end}"


def _join_arrows(groups: _Groups, sheets: Sequence[SheetPlan]) -> None:
    for letter, source, target in arrow_pairs(sheets):
        groups.join((f">{source}>{letter}", f">{target}>{letter}"))


def _throughout(live: Collection[str], joining: Joining) -> Iterator[frozenset[str]]:
    for part in joining.parts_throughout:
        yield frozenset(pin for pin in live if pin.rpartition(":")[0] == part)


def _counting(pin: str) -> tuple[str, int, str]:
    """Order pins as a person counts them."""
    half, _, number = pin.rpartition(":")
    return half, int(number) if number.isdecimal() else 0, number
