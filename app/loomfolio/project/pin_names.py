"""Pins and halves as text: how a person writes them, and how what a person wrote is found again.

The full form is `PART CONNECTOR.HALF:PIN`, with connector and half only where the key has them:
`TCU C1:12`, `X14.B:3`, `F5:1`. A short form leaves out the part or the connector where the rest is
unique. A blank does for the colon, and capitals do not count.

The index over all forms is made once per document: `PinNames` is that index, and the functions beside
it keep the few that were used last.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cached_property, lru_cache

from loomfolio.basics import NameNotFoundError
from loomfolio.project.facts import HalfKey, InnerPin, PinKey, natural_order
from loomfolio.project.marks import BodyMark
from loomfolio.project.models import Project


class PinNames:
    """The names of all pins and halves that one document speaks of."""

    def __init__(self, project: Project) -> None:
        self._project = project
        self._part_names = {part.id: part.name for part in project.parts}

    # ------------------------------------------------------------------------------- keys to text

    def half_text(self, half: HalfKey) -> str:
        """Return a half as a person writes it."""
        return f"{self._part_names[half.part]}{_spaced(half.connector)}{_dotted(half.half)}"

    def pin_text(self, key: PinKey) -> str:
        """Return a pin as a person writes it, in full."""
        connector, half = _spaced(key.connector), _dotted(key.half)
        return f"{self._part_names[key.part]}{connector}{half}:{key.pin}"

    def short_pin_text(self, key: PinKey) -> str:
        """Return the shortest form of a pin that no other pin of the document could be meant by."""
        full, *shorter = self._forms(key)
        unique = [form for form in shorter if self._by_form.get(_plain(form), {key}) == {key}]
        return min((full, *unique), key=len)

    def _forms(self, key: PinKey) -> tuple[str, ...]:
        """Every form in which a pin may be written, the full one first."""
        name, half = self._part_names[key.part], _dotted(key.half)
        forms = [self.pin_text(key), f"{name}{half}:{key.pin}", f"{name}:{key.pin}"]
        if key.connector:
            forms.append(f"{key.connector}{half}:{key.pin}")
        return tuple(dict.fromkeys(forms))

    # ------------------------------------------------------------------------------- text to keys

    def find_pin(self, text: str) -> PinKey:
        """Return the pin that a person wrote; `NameNotFoundError` where there is none, or several."""
        wanted = _plain(text)
        found = self._by_full_form.get(wanted) or self._by_form.get(wanted, set())
        if len(found) == 1:
            return next(iter(found))
        known = [self.pin_text(key) for key in (found or self.pins)]
        raise NameNotFoundError("single pin" if found else "pin", text, known)

    def find_half(self, text: str) -> HalfKey:
        """Return the half that a person wrote; `NameNotFoundError` where there is none, or several."""
        wanted = _plain(text)
        found = [half for half in self.halves if _plain(self.half_text(half)) == wanted]
        if len(found) == 1:
            return found[0]
        known = [self.half_text(half) for half in (found or self.halves)]
        raise NameNotFoundError("single connector" if found else "connector", text, known)

    @cached_property
    def _by_full_form(self) -> dict[str, set[PinKey]]:
        return _grouped((_plain(self.pin_text(key)), key) for key in self.pins)

    @cached_property
    def _by_form(self) -> dict[str, set[PinKey]]:
        return _grouped((_plain(form), key) for key in self.pins for form in self._forms(key))

    # ---------------------------------------------------------------------------------- all of them

    @cached_property
    def pins(self) -> tuple[PinKey, ...]:
        """Every pin that the document speaks of, in the order in which a person counts."""
        return tuple(
            sorted(
                set(_pins(self._project)),
                key=lambda key: (*self._half_order(key.half_key), natural_order(key.pin)),
            )
        )

    @cached_property
    def halves(self) -> tuple[HalfKey, ...]:
        """Every half that the document speaks of, in the order in which a person counts."""
        pins = (key.half_key for key in self.pins)
        return tuple(sorted({*_halves(self._project), *pins}, key=self._half_order))

    def _half_order(self, half: HalfKey) -> tuple[tuple[tuple[int, int, str], ...], ...]:
        texts = (self._part_names[half.part], half.connector, half.half)
        return tuple(natural_order(text) for text in texts)


def _pins(project: Project) -> Iterator[PinKey]:
    for mark in project.marks:
        if isinstance(mark, BodyMark):
            yield from (mark.key(pin) for pin in mark.pins)
    for part in project.parts:
        for connector in part.connectors:
            for half in connector.halves:
                key = HalfKey(part=part.id, connector=connector.name, half=half.name)
                yield from (key.pin(cavity.pin) for cavity in half.cavities)
        for way in part.ways:
            yield from (_from_inside(part.id, pin) for pin in way.pins)
    for mate in project.mates:
        yield from (mate.a.pin(pair.a) for pair in mate.pairs)
        yield from (mate.b.pin(pair.b) for pair in mate.pairs)
    for lead in project.leads:
        yield from lead.ends
    for group in project.groups:
        for ends in (*group.pins, group.screen_ends):
            yield from ends


def _halves(project: Project) -> Iterator[HalfKey]:
    for part in project.parts:
        for connector in part.connectors:
            for half in connector.halves:
                yield HalfKey(part=part.id, connector=connector.name, half=half.name)
    yield from (mark.half_key for mark in project.marks if isinstance(mark, BodyMark))
    for mate in project.mates:
        yield from (mate.a, mate.b)
    for harness in project.harnesses:
        yield from harness.ends
    yield from project.job.scope


def _from_inside(part: str, pin: InnerPin) -> PinKey:
    return PinKey(part=part, connector=pin.connector, half=pin.half, pin=pin.pin)


def _grouped(pairs: Iterable[tuple[str, PinKey]]) -> dict[str, set[PinKey]]:
    groups: dict[str, set[PinKey]] = {}
    for form, key in pairs:
        groups.setdefault(form, set()).add(key)
    return groups


def _spaced(connector: str) -> str:
    return f" {connector}" if connector else ""


def _dotted(half: str) -> str:
    return f".{half}" if half else ""


def _plain(text: str) -> str:
    """Return what counts of a written pin: no capitals, single blanks, a blank for the colon."""
    return " ".join(text.replace(":", " ").split()).casefold()


# -------------------------------------------------------------------- the same without an index at hand


class _Same:
    """A document as a key by identity: comparing two documents by value costs more than an index."""

    def __init__(self, project: Project) -> None:
        self.project = project

    def __hash__(self) -> int:
        return id(self.project)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.project is self.project


@lru_cache(maxsize=4)
def _kept_names(same: _Same) -> PinNames:
    return PinNames(same.project)


def _names(project: Project) -> PinNames:
    return _kept_names(_Same(project))


def half_text(project: Project, half: HalfKey) -> str:
    """Return a half as a person writes it: `TCU C1`, `X14.B`."""
    return _names(project).half_text(half)


def pin_text(project: Project, key: PinKey) -> str:
    """Return a pin as a person writes it, in full: `TCU C1:12`, `X14.B:3`."""
    return _names(project).pin_text(key)


def short_pin_text(project: Project, key: PinKey) -> str:
    """Return the shortest form of a pin that no other pin of the document could be meant by."""
    return _names(project).short_pin_text(key)


def find_pin(project: Project, text: str) -> PinKey:
    """Return the pin that a person wrote, in full or in a short form that means only one.

    Raises
    ------
    NameNotFoundError
        There is no such pin, or several; the nearest ones are offered in full.
    """
    return _names(project).find_pin(text)


def find_half(project: Project, text: str) -> HalfKey:
    """Return the connector half that a person wrote.

    Raises
    ------
    NameNotFoundError
        There is no such half, or several; the nearest ones are offered.
    """
    return _names(project).find_half(text)


def all_pins(project: Project) -> tuple[PinKey, ...]:
    """Return every pin that the document speaks of, in the order in which a person counts."""
    return _names(project).pins


def all_halves(project: Project) -> tuple[HalfKey, ...]:
    """Return every half that the document speaks of, in the order in which a person counts."""
    return _names(project).halves
