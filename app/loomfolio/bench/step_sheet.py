"""Steps, parts, tools, fuse and relay charts of a plan as they are printed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from loomfolio.basics import NameNotFoundError
from loomfolio.bench.joint_sheet import tool_of
from loomfolio.bench.plan_words import PlanWords, figure_text
from loomfolio.bench.sheet_words import number_runs
from loomfolio.electrics import MINI, duty_of_pin, standard_tables
from loomfolio.project import FuseNote, InnerPin, Part, PinKey, natural_order
from loomfolio.retrofit import PlannedStep

_CAVITY = re.compile(r", cavity .*")
_LEAD_TITLE = re.compile(r"A lead (.+) to (.+) with a terminal in (.+) and a terminal in (.+)")
TO_MEASURE = "to measure"
"""The unit of a material of which the length is measured on the vehicle."""


@dataclass(frozen=True, slots=True)
class PrintedHold:
    """A hold point: what has to be read, and who signed it."""

    to_read: tuple[str, ...]
    signed_by: str


@dataclass(frozen=True, slots=True)
class PrintedStep:
    """One step in its order; `makes` are the numbers of the leads and joints that are made in it."""

    number: str
    title: str
    kind: str
    zone: str
    detail: tuple[str, ...]
    makes: str
    hold: PrintedHold | None
    blocked_by: str
    is_done: bool
    is_new_zone: bool = False
    """Does one go to another zone for it?"""


@dataclass(frozen=True, slots=True)
class PrintedItem:
    """A part or material to have ready: how much of what, and for which leads, joints or parts."""

    count: str
    unit: str
    what: str
    of: str
    notes: str


@dataclass(frozen=True, slots=True)
class PrintedFuse:
    """A fuse of the job: what it is, whether it is new, and what it feeds."""

    name: str
    rating: str
    colour: str
    paint: str
    state: str
    feeds: str


@dataclass(frozen=True, slots=True)
class PrintedRelay:
    """A relay of the job: for each of its pins what it does and where its lead goes."""

    name: str
    state: str
    pins: tuple[tuple[str, str, str], ...]
    note: str


def printed_steps(words: PlanWords) -> tuple[PrintedStep, ...]:
    """Return the steps of a plan with their numbers: all, or those of one zone with every hold point."""
    printed = [
        _step(words, number, step)
        for number, step in enumerate(words.plan.steps, 1)
        if step.hold is not None or words.is_in_zone((step.zone,))
    ]
    return tuple(
        replace(
            step,
            is_new_zone=bool(step.zone)
            and step.zone not in step.title
            and (before is None or step.zone != before.zone),
            detail=() if before is not None and step.detail == before.detail else step.detail,
        )
        for step, before in zip(printed, [None, *printed], strict=False)
    )


def _step(words: PlanWords, number: int, step: PlannedStep) -> PrintedStep:
    numbers = words.lead_numbers | words.joint_numbers
    signed = {signature.hold: signature for signature in words.project.signatures}
    hold = None
    if step.hold is not None:
        signature = signed.get(step.hold.key)
        by = (
            ""
            if signature is None
            else f"{signature.by}{f', {signature.on}' if signature.on else ''}"
        )
        hold = PrintedHold(step.hold.to_read, by or step.hold.signed_by)
    return PrintedStep(
        number=str(number),
        title=short_title(step.title),
        kind=step.kind,
        zone=words.zone_text(step.zone),
        detail=step.detail,
        makes=_gathered([numbers[key] for key in step.subjects if key in numbers]),
        hold=hold,
        blocked_by=step.blocked_by,
        is_done=words.is_done(step.key),
    )


def short_title(title: str) -> str:
    """Return a step's title in one line where the ends of a lead stand in it twice.

    Examples
    --------
    >>> short_title("A lead A1:2 to E5:1 with a terminal in A1:2 and a terminal in E5:1")
    'Lay A1:2 to E5:1, both terminals'
    """
    found = _LEAD_TITLE.fullmatch(title)
    if found is None:
        return title
    a, b, at_a, at_b = found.groups()
    return f"Lay {a} to {b}, both terminals" if {a, b} == {at_a, at_b} else title


def _gathered(numbers: Sequence[str]) -> str:
    """Numbers of leads and joints with runs drawn together: `N1–N7, J2`."""
    found = []
    for letter in dict.fromkeys(number[0] for number in numbers):
        own = sorted(int(number[1:]) for number in numbers if number[0] == letter)
        runs = number_runs(own).split(", ")
        found += [run.replace("–", f"–{letter}") for run in (f"{letter}{run}" for run in runs)]
    return ", ".join(found)


def printed_items(words: PlanWords) -> tuple[PrintedItem, ...]:
    """Return what has to be there, with its sums, and what is to know of a part."""
    numbers = words.lead_numbers | words.joint_numbers
    relays = {part.id for part in words.project.parts if part.kind == "relay"}
    notes = {
        part.what: "; ".join(part.notes)
        for part in words.plan.parts
        if part.notes and part.part not in relays  # those stand at the relay's chart
    }
    return tuple(
        PrintedItem(
            count="" if row.unit == TO_MEASURE else f"{row.count:.4g}",
            unit="piece" if (row.count, row.unit) == (1, "pieces") else row.unit,
            what=row.item,
            of=_gathered(list(dict.fromkeys(numbers[key] for key in row.of if key in numbers))),
            notes=next((text for what, text in notes.items() if row.item.startswith(what)), ""),
        )
        for row in words.plan.material
    )


def tools_of(words: PlanWords) -> tuple[str, ...]:
    """Return the tools that the work and its proof take, each once."""
    return tuple(dict.fromkeys(_tools(words)))


def _tools(words: PlanWords) -> Iterator[str]:
    yield "Cutter, stripper, rule or tape"
    for joint in words.plan.joints:
        tool = tool_of(joint)
        yield tool[:1].upper() + tool[1:]
    terminals = {
        _CAVITY.sub("", end.terminal)
        for lead in words.plan.leads
        for end in lead.ends
        if end.terminal
    }
    if terminals:
        yield f"Crimp tools for: {', '.join(sorted(terminals, key=natural_order))}"
        yield "Terminal release tools for the housings touched"
    if words.plan.joints or terminals:
        yield "Pull gauge; three samples of each kind before the first joint in the vehicle"
    yield "Ohm meter, fitting test pins, clips; test lamp 21 W and load lamp 55 W of the vehicle's voltage"
    if any(step.hold is not None for step in words.plan.steps):
        yield "Voltage tester CAT III 1000 V, insulating gloves in date, insulated tools, lock and notice"


# ------------------------------------------------------------------------------------------ charts


def printed_fuses(words: PlanWords) -> tuple[PrintedFuse, ...]:
    """Return the fuses that the work brings in or touches, by name."""
    notes = {n.part: n for n in words.project.electric_notes if isinstance(n, FuseNote)}
    planned = {part.part: part for part in words.plan.parts if part.part}
    found: list[PrintedFuse] = []
    for part in sorted(_touched(words, "fuse"), key=lambda part: natural_order(part.name)):
        note, new = notes.get(part.id), planned.get(part.id)
        rating_a = note.rating_a if note is not None else None
        rating = (
            new.rating
            if new is not None and new.rating
            else (f"{rating_a:g} A" if rating_a else "")
        )
        colour, paint = _fuse_colour(rating_a, note.fuse_kind if note else "")
        found.append(
            PrintedFuse(
                part.name,
                rating,
                (new.colour if new is not None else "") or colour,
                paint,
                "fit" if new is not None else "there",
                _feeds(words, part),
            )
        )
    return tuple(found)


def _fuse_colour(rating_a: float | None, kind: str) -> tuple[str, str]:
    """The colour of a blade fuse by ISO 8820-3, and how it looks; empty where the rating or kind is not known."""
    for fuse in standard_tables().fuses:
        if rating_a is not None and fuse.rating_a == rating_a and fuse.kind == kind:
            return fuse.colour, fuse.hex_colour
    return "", ""


def _touched(words: PlanWords, kind: str) -> list[Part]:
    """The parts of a kind that the plan brings in, or at which a new lead ends."""
    ids = {part.part for part in words.plan.parts}
    ids |= {end.pin.part for lead in words.plan.leads for end in lead.ends if end.pin is not None}
    ids |= {gap.part for gap in words.job.open_in_scope}
    return [part for part in words.project.parts if part.kind == kind and part.id in ids]


def _feeds(words: PlanWords, part: Part) -> str:
    texts = [f"{pin.pin}: {far}" for pin in _pins(part) if (far := _far(words, part, pin))]
    return "; ".join(texts)


def _pins(part: Part) -> list[InnerPin]:
    pins = {pin for way in part.ways for pin in way.pins}
    return sorted(pins, key=lambda pin: natural_order(pin.pin))


def _far(words: PlanWords, part: Part, pin: InnerPin) -> str:
    key = PinKey(part=part.id, connector=pin.connector, half=pin.half, pin=pin.pin)
    new = words.leads_at(key)
    if new:
        lead = new[0]
        other = next((end for end in lead.ends if end.pin != key), lead.ends[1])
        return f"{words.lead_numbers[lead.key]} to {words.end(other)}"
    ends = words.side.leads_at.get(key, ())
    return ", ".join(words.node(b if a == key else a) for a, b in ends)


def printed_relays(words: PlanWords) -> tuple[PrintedRelay, ...]:
    """Return the relays that the work brings in or touches, pin by pin."""
    new = {part.part: part for part in words.plan.parts}
    return tuple(
        PrintedRelay(
            part.name,
            "fit" if part.id in new else "there",
            tuple((pin.pin, duty_text(pin.pin), _far(words, part, pin)) for pin in _pins(part)),
            "; ".join(new[part.id].notes) if part.id in new else "",
        )
        for part in sorted(_touched(words, "relay"), key=lambda part: natural_order(part.name))
    )


def duty_text(pin: str) -> str:
    """Return what the pin of a relay is for, by the number moulded on it; empty for one that says nothing."""
    try:
        return duty_of_pin(standard_tables(), MINI, pin).text
    except NameNotFoundError:
        return ""


def hours_text(words: PlanWords) -> str:
    """Return the hours of the whole plan."""
    span = words.plan.hours
    least, most = f"{span.least:.3g}", f"{span.most:.3g}"
    return least if least == most else f"{least} to {most}"


def opening_lines(words: PlanWords) -> tuple[str, ...]:
    """Return how full each opening gets that new leads go through."""
    return tuple(
        f"{fill.label}: {figure_text(fill.bound.number)} of {figure_text(fill.bound.limit)}"
        for fill in words.plan.openings
    )
