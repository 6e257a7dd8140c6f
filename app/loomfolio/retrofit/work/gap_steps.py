"""The steps at the gaps: work in its zones, what is made on the bench, what is plugged together after it."""

from __future__ import annotations

from collections.abc import Sequence

from loomfolio.project import HalfKey, OperationKind, PinKey, natural_order
from loomfolio.retrofit.gap_writer import half_key_text
from loomfolio.retrofit.records import Node
from loomfolio.retrofit.work.chosen import Chosen
from loomfolio.retrofit.work.records import PlannedLead, PlannedStepKind
from loomfolio.retrofit.work.step_book import (
    MAKE,
    NOT_PLUGGED,
    ON_BENCH,
    RANKS,
    RING_OUT,
    WORK_RANKS,
    StepBook,
    StepDraft,
    work_key,
)


def add_work(book: StepBook) -> None:
    """Add the step that closes each gap."""
    for one in book.chosen:
        offer = one.offer
        if offer is None:
            continue
        own = [lead for key in offer.closes for lead in book.leads.get(key, ())]
        joints = [joint.key for joint in book.joints if one.gap.key in joint.gaps]
        parts = [part.key for part in book.parts if one.gap.key in part.gaps]
        kind = _kind_of(offer.kind)
        book.add(
            StepDraft(
                key=work_key(one.gap.key),
                title=offer.title,
                kind=kind,
                rank=RANKS["work"] + WORK_RANKS.get(offer.kind, 5),
                zones=_zones_of(book, one, own) if kind == "work" else (),
                closes=offer.closes,
                subjects=(*(lead.key for lead in own), *joints, *parts),
                detail=(*offer.steps, *([offer.risk] if offer.risk else [])),
                hours=offer.effort_h,
            )
        )
    _rules_between(book)


def _kind_of(kind: OperationKind) -> PlannedStepKind:
    """Coding is done from outside with power on; a board is soldered on the bench; the rest in its zones."""
    if kind == "code module":
        return "measure"
    return "bench" if kind in ON_BENCH else "work"


def _zones_of(book: StepBook, one: Chosen, leads: Sequence[PlannedLead]) -> tuple[str, ...]:
    zones = book.situation.zones
    own = [zones.zone_of(pin) for pin in one.gap.pins]
    if one.gap.part is not None and not one.gap.pins:
        own.append(zones.zone_of_part(one.gap.part))
    if one.offer is not None and one.offer.pick_up is not None:
        own.append(one.offer.pick_up.zone)
    own += [zone for lead in leads for zone in lead.zones]
    return tuple(dict.fromkeys(zone for zone in own if zone is not None))


def _rules_between(book: StepBook) -> None:
    """What is fitted comes before what is led to it, and what stands in the way goes first."""
    for one in book.chosen:
        for other in book.chosen:
            reason = _comes_before(one, other)
            if reason:
                book.rule(work_key(one.gap.key), work_key(other.gap.key), reason)


def add_bench_work(book: StepBook) -> None:
    """Add what is made on the bench."""
    made = [lead for lead in book.all_leads if not lead.is_bought]
    if made:
        book.add(
            StepDraft(
                MAKE,
                f"Make {len(made)} leads on the bench: cut, tag, terminate one end",
                "bench",
                RANKS["bench"],
                subjects=tuple(lead.key for lead in made),
            )
        )
        for one in book.chosen:
            if any(book.leads.get(one.gap.key, ())):
                book.rule(MAKE, work_key(one.gap.key), "leads are made before they are laid")
    for one in book.chosen:
        if one.offer is not None and one.offer.kind in ON_BENCH:
            _module_on_bench(book, one)


def _module_on_bench(book: StepBook, one: Chosen) -> None:
    made = one.offer.new_leads if one.offer is not None else ()
    boards = [end.node for lead in made for end in lead.ends if end.via == "board"]
    pins = [node for node in (*boards, *one.gap.pins) if isinstance(node, PinKey)]
    part = pins[0].part if pins else one.gap.part or ""
    name, zone = book.situation.part_name(part), book.situation.zones.zone_of_part(part)
    zones = () if zone is None else (zone,)
    out, back = f"work: out {part}", f"work: in {part}"
    book.add(StepDraft(out, f"Take {name} out", "work", RANKS["work"], zones))
    book.add(StepDraft(back, f"Put {name} back in", "work", RANKS["work"] + 9, zones))
    bench = work_key(one.gap.key)
    book.rule(out, bench, f"{name} is on the bench for it")
    book.rule(bench, back, f"{name} is on the bench before it goes back in")
    if MAKE in book.drafts:
        book.rule(MAKE, bench, "leads are made before they are soldered in")


def add_plugging(book: StepBook) -> None:
    """Add the plugging together of every half that was touched."""
    for half in _touched_halves(book):
        name = book.situation.half_text(half)
        key = book.add(
            StepDraft(
                f"plug in: {half_key_text(half)}",
                f"Plug {name} together: seal, lock, pull",
                "plug in",
                RANKS["plug in"],
                _zone_tuple(book, half.pin("1")),
            )
        )
        for one in book.chosen:
            is_power_on = one.operation.kind == "code module"
            if not is_power_on and half in {pin.half_key for pin in one.gap.pins}:
                book.rule(work_key(one.gap.key), key, "its terminals are in before it is plugged")
        if f"work: in {half.part}" in book.drafts:
            book.rule(f"work: in {half.part}", key, "the module is in before it is plugged")
        if RING_OUT in book.drafts:
            book.rule(RING_OUT, key, "leads are rung out before they meet a device")


def _touched_halves(book: StepBook) -> list[HalfKey]:
    """The connector halves that get a lead, terminal or plug, in the order of their names."""
    pins = [pin for one in book.chosen for pin in one.gap.pins]
    halves = {p.half_key for p in pins if book.situation.kind(p) not in NOT_PLUGGED}
    text = book.situation.half_text
    return sorted(halves, key=lambda half: natural_order(text(half)))


def _zone_tuple(book: StepBook, node: Node) -> tuple[str, ...]:
    zone = book.situation.zones.zone_of(node)
    return () if zone is None else (zone,)


def _comes_before(one: Chosen, other: Chosen) -> str:
    """Why the work of one gap comes before that of another; empty where it need not."""
    if one is other or one.offer is None or other.offer is None:
        return ""
    kind, joined = one.operation.kind, other.gap.mend.joined
    ends = [node for lead in joined for node in lead]
    pins = {node for node in ends if isinstance(node, PinKey)}
    if kind == "remove plug" and other.operation.kind != "remove plug":
        halves = {pin.half_key for pin in one.gap.pins}
        is_there = any(pin.half_key in halves for pin in (*pins, *other.gap.pins))
        return "the plug goes before anything is plugged on" if is_there else ""
    if not joined:
        return ""
    if kind in {"fit connector", "fit terminal", "fit bar"} and set(one.gap.pins) & pins:
        return "the connector is whole before leads go into it"
    own_part = one.gap.part
    is_at_part = any(node == own_part or getattr(node, "part", None) == own_part for node in ends)
    if kind == "fit part" and is_at_part:
        return "the part is in its place before leads are measured off to it"
    return ""
