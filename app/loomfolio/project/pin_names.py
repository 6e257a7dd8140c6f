"""Pins and halves as text: how a person writes them, and how what a person wrote is found again.

The full form is `PART CONNECTOR.HALF:PIN`, with connector and half only where the key has them:
`TCU C1:12`, `X14.B:3`, `F5:1`. A short form leaves out the part or connector where the rest is unique.
"""

from __future__ import annotations

from collections.abc import Iterator

from loomfolio.basics import NameNotFoundError
from loomfolio.project.facts import HalfKey, InnerPin, PinKey
from loomfolio.project.marks import BodyMark
from loomfolio.project.models import Project


def half_text(project: Project, half: HalfKey) -> str:
    """Return a half as a person writes it: `TCU C1`, `X14.B`."""
    name = project.part(half.part).name
    connector = f" {half.connector}" if half.connector else ""
    return f"{name}{connector}{f'.{half.half}' if half.half else ''}"


def pin_text(project: Project, key: PinKey) -> str:
    """Return a pin as a person writes it: `TCU C1:12`, `X14.B:3`."""
    return f"{half_text(project, key.half_key)}:{key.pin}"


def short_pin_text(project: Project, key: PinKey) -> str:
    """Return the shortest form of a pin that no other pin of the document shares."""
    full = pin_text(project, key)
    taken = _pins_by_form(project)
    forms = [form for form in _forms(project, key) if taken.get(form) == {key}]
    return min(forms, key=len, default=full)


def find_pin(project: Project, text: str) -> PinKey:
    """Return the pin that a person wrote, in full or in a unique short form; case does not count.

    Raises
    ------
    NameNotFoundError
        There is no such pin, or several; the nearest ones are offered.
    """
    wanted = _plain(text)
    by_form = _pins_by_form(project)
    full = {key for key in all_pins(project) if _plain(pin_text(project, key)) == wanted}
    found = full or {
        key for form, keys in by_form.items() if _plain(form) == wanted for key in keys
    }
    if len(found) == 1:
        return found.pop()
    known = [pin_text(project, key) for key in (found or all_pins(project))]
    raise NameNotFoundError("pin" if not found else "single pin", text, known)


def find_half(project: Project, text: str) -> HalfKey:
    """Return the connector half that a person wrote; `NameNotFoundError` where there is none."""
    halves = {half_text(project, half): half for half in all_halves(project)}
    for name, half in halves.items():
        if _plain(name) == _plain(text):
            return half
    raise NameNotFoundError("connector", text, halves)


def all_pins(project: Project) -> tuple[PinKey, ...]:
    """Return every pin that the document speaks of, in the order a person counts."""
    return tuple(sorted(set(_pins(project)), key=lambda key: key.sort_key))


def all_halves(project: Project) -> tuple[HalfKey, ...]:
    """Return every half that the document speaks of: declared ones and those that pins sit in."""
    declared = (
        HalfKey(part=part.id, connector=connector.name, half=half.name)
        for part in project.parts
        for connector in part.connectors
        for half in connector.halves
    )
    drawn = (mark.half_key for mark in project.marks if isinstance(mark, BodyMark))
    named = (key.half_key for key in all_pins(project))
    order = {half: (half.part, half.connector, half.half) for half in (*declared, *drawn, *named)}
    return tuple(sorted(order, key=order.__getitem__))


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


def _from_inside(part: str, pin: InnerPin) -> PinKey:
    return PinKey(part=part, connector=pin.connector, half=pin.half, pin=pin.pin)


def _forms(project: Project, key: PinKey) -> tuple[str, ...]:
    """Every form in which a pin may be written, the full one first."""
    half = f".{key.half}" if key.half else ""
    name = project.part(key.part).name
    forms = [pin_text(project, key), f"{name}{half}:{key.pin}", f"{name}:{key.pin}"]
    if key.connector:
        forms.append(f"{key.connector}{half}:{key.pin}")
    return tuple(dict.fromkeys(forms))


def _pins_by_form(project: Project) -> dict[str, set[PinKey]]:
    found: dict[str, set[PinKey]] = {}
    for key in all_pins(project):
        for form in _forms(project, key):
            found.setdefault(form, set()).add(key)
    return found


def _plain(text: str) -> str:
    """What counts of a written pin: case does not, nor how many blanks, nor a blank for the colon."""
    return " ".join(text.replace(":", " ").split()).casefold()
