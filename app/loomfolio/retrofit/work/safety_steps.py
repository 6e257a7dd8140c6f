"""The steps that keep people and modules whole: measuring, power off and on, hold points, loops, zones closed last."""

from __future__ import annotations

from collections.abc import Sequence

from loomfolio.project import natural_order
from loomfolio.retrofit.effort import Span
from loomfolio.retrofit.records import Node
from loomfolio.retrofit.work.holds import BACK, DOWN
from loomfolio.retrofit.work.step_book import (
    AFTER,
    BASELINE,
    LOOP,
    POWER_OFF,
    POWER_ON,
    RANKS,
    RING_OUT,
    StepBook,
    StepDraft,
    close_key,
    open_key,
    work_key,
)


def add_measures(book: StepBook) -> None:
    """Add the baseline, and the ringing out of the new leads."""
    effort = book.situation.effort
    if not any(one.when == "before" for one in book.situation.project.baselines):
        book.add(
            StepDraft(
                BASELINE,
                "Take the baseline: codes, functions, sleep current",
                "measure",
                0,
                hours=effort.hours("measure"),
            )
        )
    leads = tuple(lead.key for lead in book.all_leads)
    if leads:
        book.add(
            StepDraft(
                RING_OUT,
                "Ring out the new leads with everything unplugged: continuity, neighbours, ground",
                "measure",
                60,
                subjects=leads,
                hours=effort.hours("measure", len(leads)),
            )
        )
        for key in book.keys("work", "bench"):
            book.rule(key, RING_OUT, "leads are rung out once all of them are in")


def _nodes(book: StepBook) -> list[Node]:
    """What the chosen work touches: its pins, and those of the halves and parts that it opens."""
    parts = {one.gap.part for one in book.chosen if one.gap.part is not None}
    halves = {pin.half_key for one in book.chosen for pin in one.gap.pins}
    target = book.situation.target
    touched = parts | {half.part for half in halves}
    near = (pin for pin in target.pins if pin.part in touched)
    return [pin for pin in near if pin.part in parts or pin.half_key in halves]


def _is_high_voltage(book: StepBook) -> bool:
    return "high voltage" in book.situation.classes(*_nodes(book))


def add_power(book: StepBook) -> None:
    """Add power off and on, with the hold points where high voltage is touched."""
    if _is_high_voltage(book):
        _chain(book, DOWN, RANKS["hold"])
        _chain(book, BACK, 100)
        _around(
            book, DOWN[-1], BACK[0], "high voltage is proved dead before the vehicle is touched"
        )
        for one in _coding(book):
            book.rule(BACK[0], one, "a module is coded with 12 V on")
            book.rule(one, BACK[1], "codes are read once all is coded")
    else:
        off = "Take the 12 V battery off as the maker says"
        book.add(StepDraft(POWER_OFF, off, "general", RANKS["general"]))
        book.add(StepDraft(POWER_ON, "12 V on again, in stages", "general", 85))
        _around(book, POWER_OFF, POWER_ON, "12 V is off while terminals are open")
        for one in _coding(book):
            book.rule(POWER_ON, one, "a module is coded with 12 V on")
    if BASELINE in book.drafts:
        first = DOWN[0] if DOWN[0] in book.drafts else POWER_OFF
        book.rule(BASELINE, first, "the baseline is taken while the vehicle is as it was")
    book.add(
        StepDraft(
            AFTER,
            "Try the new function, and every function of the baseline again",
            "measure",
            120,
            hours=book.situation.effort.hours("measure"),
        )
    )
    last = BACK[-1] if BACK[-1] in book.drafts else POWER_ON
    book.rule(last, AFTER, "functions are tried with power on")


def _chain(book: StepBook, keys: Sequence[str], rank: int) -> None:
    hours = book.situation.effort.hours("hold")
    for number, key in enumerate(keys):
        hold = book.holds[key]
        book.add(
            StepDraft(key, hold.title, "hold", rank + number, detail=hold.to_read, hours=hours)
        )
        if number:
            book.rule(keys[number - 1], key, "hold points are signed in this order")


def _around(book: StepBook, off: str, on: str, reason: str) -> None:
    """All work on the vehicle lies between power off and power on."""
    coding = set(_coding(book))
    for draft in list(book.drafts.values()):
        if draft.kind in {"work", "plug in"} and draft.key not in coding:
            book.rule(off, draft.key, reason)
            book.rule(draft.key, on, "power comes back once all is plugged together")


def _coding(book: StepBook) -> list[str]:
    return [work_key(one.gap.key) for one in book.chosen if one.operation.kind == "code module"]


def add_loop(book: StepBook) -> None:
    """Add the measuring of the interlock loop where one of its connectors is touched."""
    nodes = [n for n in _nodes(book) if "interlock" in book.situation.classes(n)]
    if not nodes:
        return
    names = sorted({book.situation.net_name(node) for node in nodes} - {""})
    title = f"Measure the interlock loop closed{': ' + ', '.join(names) if names else ''}"
    book.add(
        StepDraft(
            LOOP,
            title,
            "loop",
            RANKS["loop"],
            detail=("From its two ends at the module, every connector of it plugged",),
            hours=book.situation.effort.hours("measure"),
        )
    )
    for key in book.keys("plug in"):
        book.rule(key, LOOP, "the loop is measured with every connector of it plugged")
    if BACK[0] in book.drafts:
        book.rule(LOOP, BACK[0], "the loop is measured before 12 V comes back")


def add_zones(book: StepBook) -> None:
    """Each zone is opened once before all work in it, and closed once after it."""
    zones = book.situation.zones
    used = {zone for draft in book.drafts.values() for zone in draft.zones}
    used |= {step.zone for step in book.situation.project.work_steps if step.zone is not None}
    off = DOWN[-1] if DOWN[-1] in book.drafts else POWER_OFF
    for zone in sorted(used, key=lambda one: natural_order(zones.name(one))):
        record = zones.zones[zone]
        covers = ", ".join(record.covers)
        hours = book.situation.effort.hours("open", len(record.covers))
        opened = book.add(
            StepDraft(
                open_key(zone),
                f"Open {record.name}" + (f": take off {covers}" if covers else ""),
                "open",
                RANKS["open"],
                (zone,),
                hours=hours,
            )
        )
        closed = book.add(
            StepDraft(close_key(zone), f"Close {record.name}", "close", RANKS["close"], (zone,))
        )
        book.rule(opened, closed, "a zone is closed after it was opened")
        if off in book.drafts:
            book.rule(off, opened, "power is off before covers come off")
        _inside(book, zone, opened, closed)


def _inside(book: StepBook, zone: str, opened: str, closed: str) -> None:
    for draft in list(book.drafts.values()):
        if zone in draft.zones and draft.kind in {"work", "plug in", "general", "measure"}:
            book.rule(opened, draft.key, "the zone is open before it is worked in")
            book.rule(draft.key, closed, "a zone is opened once: all work in it comes first")
    for key, reason in (
        (LOOP, "a loop is measured closed before anything over it is closed"),
        (RING_OUT, "leads are rung out before they are covered"),
    ):
        if key in book.drafts:
            book.rule(key, closed, reason)
    if BACK[0] in book.drafts:
        book.rule(closed, BACK[0], "covers are closed before power comes back")
    elif POWER_ON in book.drafts:
        book.rule(POWER_ON, closed, "what is new is tried before it is covered")
    if AFTER in book.drafts:
        book.rule(closed, AFTER, "functions are tried with everything in its place")


def add_own_steps(book: StepBook) -> None:
    """Add the person's general work."""
    for step in book.situation.project.work_steps:
        zones = () if step.zone is None else (step.zone,)
        book.add(
            StepDraft(
                step.id,
                step.title,
                step.kind,
                RANKS[step.kind],
                zones,
                detail=(step.note,) if step.note else (),
                hours=Span(step.hours, step.hours),
            )
        )
        if step.zone is not None and open_key(step.zone) in book.drafts:
            book.rule(open_key(step.zone), step.id, "the zone is open before it is worked in")
            book.rule(step.id, close_key(step.zone), "a zone is opened once")
