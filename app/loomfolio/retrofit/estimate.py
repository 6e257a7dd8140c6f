"""An early answer: what the job takes, with a range, before any work; and what is not known yet.

Counted are the gaps that stand open in scope. What is sure counts in full; what is still to be looked at
may turn out to be there already, so it counts from none to all. Hours come from `assets/effort.csv`, which is
common practice and has no source; the estimate says so.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from loomfolio.project import HalfKey
from loomfolio.retrofit.donor import DonorCover
from loomfolio.retrofit.effort import Span, effort_hours
from loomfolio.retrofit.job import JobGaps
from loomfolio.retrofit.records import Gap, GapKind
from loomfolio.retrofit.state import Equipment

AlternativeKind = Literal["whole loom", "part of a loom", "direct leads"]
_LEADS: frozenset[GapKind] = frozenset({"lead missing", "branch missing", "cable group missing"})
_WORK: dict[GapKind, str] = {
    "lead goes elsewhere": "move",
    "extra lead": "removal",
    "dummy plug or bridge must go": "removal",
    "terminal missing": "terminal",
    "pin missing in header": "header",
    "section or driver not populated": "header",
    "needs coding": "coding",
    "connector missing": "connector",
    "device missing": "device",
    "device position of a lower grade": "position",
    "bar missing": "bar",
}
_PARTS: frozenset[GapKind] = frozenset(
    {
        "terminal missing",
        "connector missing",
        "device missing",
        "device position of a lower grade",
        "bar missing",
        "pin missing in header",
    }
)
_LOOKED_AT = frozenset({"other colour", "other area"})
NOTHING_IN_SCOPE = "Nothing of the job stands open"


@dataclass(frozen=True, slots=True)
class Alternative:
    """One way to do the job, and what it takes. Where it is not possible, `remarks` say why.

    `remarks` are for the customer, `details` name connectors, looms and cables for the workshop.
    """

    kind: AlternativeKind
    leads: Span
    joints: Span
    parts: Span
    hours: Span
    is_possible: bool
    remarks: tuple[str, ...] = ()
    details: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Estimate:
    """What a job takes. `chosen` is the possible way with the fewest hours at the most; None for none.

    `unknowns` are in words for a customer, `details` say the same to the workshop, connector by connector.
    """

    alternatives: tuple[Alternative, ...]
    unknowns: tuple[str, ...]
    chosen: AlternativeKind | None
    details: tuple[str, ...] = ()


def estimate(job: JobGaps, donors: Sequence[DonorCover] = ()) -> Estimate:
    """Return what a job takes, done with a whole loom, with a part of one, or with direct leads.

    Parameters
    ----------
    donors
        The donor looms at hand, compared with the job; without one the first two ways are not possible.
    """
    gaps = job.open_in_scope
    best = max(donors, key=lambda one: len(_in_scope(one.covered, gaps)), default=None)
    alternatives = (
        _whole_loom(gaps, best),
        _part_of_loom(gaps, best),
        _direct_leads(gaps),
    )
    possible = [one for one in alternatives if one.is_possible]
    chosen = min(possible, key=lambda one: one.hours.most, default=None)
    kind = None if chosen is None else chosen.kind
    return Estimate(alternatives, _unknowns(job), kind, _details(job))


def _in_scope(covered: Iterable[Gap], gaps: Collection[Gap]) -> list[Gap]:
    keys = {gap.key for gap in gaps}
    return [gap for gap in covered if gap.key in keys]


def _one(_gap: Gap) -> int:
    return 1


def _count(gaps: Iterable[Gap], size: Callable[[Gap], int] = _one) -> Span:
    """How many: the sure ones at the least, all of them at the most."""
    counted = list(gaps)
    sure = sum(size(gap) for gap in counted if gap.sureness == "sure")
    return Span(float(sure), float(sum(size(gap) for gap in counted)))


def _leads_of(gap: Gap) -> int:
    return len(gap.mend.joined) if gap.kind in _LEADS else 0


def _joints_of(gap: Gap) -> int:
    return len(gap.mend.tapped)


def _direct_leads(gaps: Sequence[Gap]) -> Alternative:
    cables = [gap for gap in gaps if gap.kind == "cable group missing"]
    count = _counted(
        len(cables),
        "One cable is made or bought whole",
        "{count} cables are made or bought whole",
    )
    remarks = (count,) if count else ()
    details = [
        f"{gap.sentence.split(' is missing')[0]} is made or bought as one cable" for gap in cables
    ]
    return Alternative(
        kind="direct leads",
        leads=_count(gaps, _leads_of),
        joints=_count(gaps, _joints_of),
        parts=_count(gap for gap in gaps if gap.kind in _PARTS),
        hours=_base() + _hours_by_hand(gaps) + _hours_of_looking(gaps),
        is_possible=True,
        remarks=remarks if gaps else (NOTHING_IN_SCOPE,),
        details=tuple(details),
    )


def _base() -> Span:
    return effort_hours()["job"]


def _hours_by_hand(gaps: Iterable[Gap]) -> Span:
    """The hours of making every lead and putting in every part by hand."""
    table, own = effort_hours(), list(gaps)
    hours = table["lead"].times(_count(own, _leads_of)) + table["joint"].times(
        _count(own, _joints_of)
    )
    for gap in own:
        if gap.kind in _WORK:
            hours += table[_WORK[gap.kind]].times(_count([gap]))
    return hours


def _hours_of_looking(gaps: Iterable[Gap]) -> Span:
    open_questions = sum(len(gap.decides) for gap in gaps if gap.kind not in _LOOKED_AT)
    return effort_hours()["look"].times(Span(float(open_questions), float(open_questions)))


def _not_possible(kind: AlternativeKind, why: str) -> Alternative:
    nothing = Span()
    return Alternative(kind, nothing, nothing, nothing, nothing, is_possible=False, remarks=(why,))


def _whole_loom(gaps: Sequence[Gap], donor: DonorCover | None) -> Alternative:
    if donor is None:
        return _not_possible("whole loom", "No donor loom is at hand")
    left = [gap for gap in gaps if gap.key not in {one.key for one in donor.covered}]
    table, plugs = effort_hours(), float(len(donor.differing))
    hours = _base() + table["loom"] + table["unplug"].times(Span(plugs, plugs))
    further = float(len(donor.following))
    hours += table["loom"].times(Span(further, further))
    remarks = [
        _counted(
            len(donor.following),
            "One further loom has to be changed with it",
            "{count} further looms have to be changed with it",
        ),
        _counted(
            len(donor.excess),
            "One wire of it leads nowhere in this vehicle",
            "{count} wires of it lead nowhere in this vehicle",
        ),
    ]
    return Alternative(
        kind="whole loom",
        leads=_count(left, _leads_of),
        joints=_count(left, _joints_of),
        parts=_count(gap for gap in left if gap.kind in _PARTS)
        + Span(1.0 + further, 1.0 + further),
        hours=hours + _hours_by_hand(left) + _hours_of_looking(left),
        is_possible=True,
        remarks=tuple(one for one in remarks if one),
        details=tuple(one.sentence for one in donor.following),
    )


def _part_of_loom(gaps: Sequence[Gap], donor: DonorCover | None) -> Alternative:
    if donor is None:
        return _not_possible("part of a loom", "No donor loom is at hand")
    moved = [
        gap
        for gap in _in_scope(donor.covered, gaps)
        if gap.kind in _LEADS and donor.is_movable(gap)
    ]
    if not moved:
        return _not_possible("part of a loom", "The donor loom has none of the missing wires")
    keys = {gap.key for gap in moved}
    left = [gap for gap in gaps if gap.key not in keys]
    transfer = effort_hours()["transfer"].times(_count(moved, _leads_of))
    joints = effort_hours()["joint"].times(_count(moved, _joints_of))
    return Alternative(
        kind="part of a loom",
        leads=_count(left, _leads_of),
        joints=_count(gaps, _joints_of),
        parts=_count(gap for gap in left if gap.kind in _PARTS) + Span(1.0, 1.0),
        hours=_base() + transfer + joints + _hours_by_hand(left) + _hours_of_looking(gaps),
        is_possible=True,
        remarks=(f"Wires taken over from the donor loom: {sum(map(_leads_of, moved))}",),
        details=tuple(cable.sentence for cable in donor.whole_only),
    )


def _unknowns(job: JobGaps) -> tuple[str, ...]:
    """What may still change the answer, as one says it to a customer: no connector has a name here."""
    gaps = job.open_in_scope
    asked = sum(gap.sureness == "to be looked at" for gap in gaps)
    units = len({half.part for half in _unseen_headers(job)})
    options = list(dict.fromkeys(name for view in _views(job) for name in view.open_options))
    told = [
        _counted(
            asked,
            f"1 of {len(gaps)} points has not been checked on this vehicle yet",
            f"{{count}} of {len(gaps)} points have not been checked on this vehicle yet",
        ),
        _counted(
            units,
            "One control unit has to be opened up to see whether it can do this",
            "{count} control units have to be opened up to see whether they can do this",
        ),
        _counted(
            len(job.matching.questions),
            "One plug of this vehicle may not be the one that the diagrams mean",
            "{count} plugs of this vehicle may not be those that the diagrams mean",
        ),
        _counted(
            len(job.contradictions),
            "At one place this vehicle is not as its diagrams say",
            "At {count} places this vehicle is not as its diagrams say",
        ),
        *(f"Whether this vehicle has {option} is not known yet" for option in options),
    ]
    return (*(one for one in told if one), "The hours are common practice, not measured")


def _counted(count: int, one: str, many: str) -> str:
    if not count:
        return ""
    return one if count == 1 else many.format(count=count)


def _views(job: JobGaps) -> tuple[Equipment, Equipment]:
    return (job.target.equipment, job.vehicle.equipment)


def _unseen_headers(job: JobGaps) -> set[HalfKey]:
    """The plugs of modules into which nobody has looked, on the module's side."""
    kinds, headers = job.target.equipment.part_kinds, job.state.seen.headers
    return {
        pin.half_key
        for gap in job.open_in_scope
        for pin in gap.pins
        if kinds.get(pin.part) == "module" and pin not in headers
    }


def _details(job: JobGaps) -> tuple[str, ...]:
    """The same for the workshop: which connectors, which options, what the survey contradicts."""
    names = sorted(job.target.equipment.half_text(half) for half in _unseen_headers(job))
    told = [question.sentence for question in job.matching.questions]
    if names:
        told.append(f"Nobody has looked into the modules' own contacts at {', '.join(names)}")
    told += [
        f"Fit {view.fit_name} says nothing of {', '.join(view.open_options)}"
        for view in _views(job)
        if view.open_options
    ]
    return (*told, *job.contradictions)


def estimate_text(found: Estimate) -> str:
    """Return an estimate as text for a terminal, with what the workshop has to know."""
    lines: list[str] = []
    for one in found.alternatives:
        head = f"{one.kind}{' (proposed)' if one.kind == found.chosen else ''}"
        if one.is_possible:
            lines.append(
                f"{head}: {_span_text(one.leads)} leads, {_span_text(one.joints)} joints,"
                f" {_span_text(one.parts)} parts, {_span_text(one.hours)} hours"
            )
        else:
            lines.append(f"{head}: not possible")
        lines.extend(f"  {remark}" for remark in (*one.remarks, *one.details))
    lines += ["Not known yet:", *(f"  {unknown}" for unknown in found.unknowns)]
    if found.details:
        lines += ["For the workshop:", *(f"  {detail}" for detail in found.details)]
    return "\n".join(lines)


def _span_text(span: Span) -> str:
    least, most = f"{round(span.least, 1):g}", f"{round(span.most, 1):g}"
    return most if least == most else f"{least} to {most}"
