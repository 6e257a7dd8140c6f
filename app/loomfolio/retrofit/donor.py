"""A donor loom: what it covers, leaves open, has too much, and what must follow if the whole loom is swapped.

The leads of a donor are those that the documents give to its harness, corrected by what was seen on it on
the bench. A gap is covered where the donor brings all that mends it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from loomfolio.basics import EditError
from loomfolio.project import HalfKey, Harness, PinKey, Project, Specimen
from loomfolio.retrofit.job import JobGaps
from loomfolio.retrofit.lead_table import LeadTable
from loomfolio.retrofit.nodes import node_order
from loomfolio.retrofit.records import Ends, Gap
from loomfolio.retrofit.seen import Seen, vehicle_as_it_is
from loomfolio.retrofit.state import Equipment


@dataclass(frozen=True, slots=True)
class DifferingHalf:
    """A connector of the donor that is not as the vehicle has it, in one sentence."""

    half: HalfKey
    sentence: str


@dataclass(frozen=True, slots=True)
class FollowingLoom:
    """A further loom that must follow if this one is swapped, and the connector because of which."""

    harness: str
    half: HalfKey
    sentence: str


WHOLE_ONLY: Mapping[str, str] = {
    "cable": "is one cable: it goes over whole, and is not opened, cut or joined",
    "screen": "is screened: it goes over whole, with its screen",
}
"""Kinds of cable group whose leads cannot be taken over one by one, and why."""


@dataclass(frozen=True, slots=True)
class WholeCable:
    """A cable of the donor that goes over whole or not at all; `leads` are those of it that the donor has."""

    group: str
    leads: tuple[Ends, ...]
    is_whole: bool
    sentence: str


@dataclass(frozen=True, slots=True)
class DonorCover:
    """What a donor loom is worth for a job. Gaps are those that stand open, in scope first.

    `excess` are leads that the target has nowhere; `doubled` are leads that the vehicle has already:
    nothing to do where the loom is swapped as a whole, not needed where leads are moved over one by one.
    """

    specimen: str
    harness: str
    covered: tuple[Gap, ...]
    left_open: tuple[Gap, ...]
    excess: tuple[Ends, ...]
    doubled: tuple[Ends, ...]
    differing: tuple[DifferingHalf, ...]
    following: tuple[FollowingLoom, ...]
    whole_only: tuple[WholeCable, ...] = ()

    def is_movable(self, gap: Gap) -> bool:
        """Can what mends a gap be taken over by itself: no lead of it is a part of a cable that stays behind?"""
        cables = [set(cable.leads) for cable in self.whole_only]
        leads = set(gap.mend.joined)
        return all(not leads & cable or cable <= leads for cable in cables)


def donor_cover(job: JobGaps, project: Project, specimen: Specimen) -> DonorCover:
    """Return what a donor loom covers of a job.

    Raises
    ------
    EditError
        It is not said which loom of the documents the specimen is an example of.
    """
    harness = next((h for h in project.harnesses if h.id == specimen.harness), None)
    if harness is None:
        raise EditError(
            f"It is not said which loom {specimen.name} is; choose its harness before you compare it."
        )
    target, vehicle = job.target.equipment, job.state.equipment
    donor = _donor_equipment(job, project, harness, specimen)
    open_gaps = [gap for gap in job.gaps if gap.is_open]
    cables = tuple(_whole_only(donor, target))
    broken = {ends for cable in cables if not cable.is_whole for ends in cable.leads}
    covered = tuple(
        gap
        for gap in open_gaps
        if _covers(donor, harness, gap) and broken.isdisjoint(gap.mend.joined)
    )
    return DonorCover(
        specimen=specimen.id,
        harness=harness.id,
        covered=covered,
        left_open=tuple(gap for gap in open_gaps if gap not in covered),
        excess=_in_order([ends for ends in donor.leads if ends not in target.leads]),
        doubled=_in_order([ends for ends in donor.leads if ends in vehicle.leads]),
        differing=tuple(_differing(donor, job, harness)),
        following=tuple(_following(donor, job, project, harness)),
        whole_only=cables,
    )


def _whole_only(donor: Equipment, target: Equipment) -> Iterator[WholeCable]:
    """The cables of the donor that are not taken apart, complete or not."""
    for group in target.groups:
        leads = [ends for pair in group.pins for ends in target.leads_between(*pair)]
        own = tuple(dict.fromkeys(ends for ends in leads if ends in donor.leads))
        if group.kind not in WHOLE_ONLY or not own:
            continue
        missing = [ends for ends in dict.fromkeys(leads) if ends not in donor.leads]
        sentence = f"{group.name} {WHOLE_ONLY[group.kind]}"
        if missing:
            words = "; ".join(" to ".join(target.text(node) for node in ends) for ends in missing)
            sentence = f"{group.name} is not whole on the donor and is of no use: it lacks {words}"
        yield WholeCable(group.id, own, not missing, sentence)


def _in_order(leads: list[Ends]) -> tuple[Ends, ...]:
    return tuple(sorted(leads, key=lambda ends: (node_order(ends[0]), node_order(ends[1]))))


def _donor_equipment(
    job: JobGaps, project: Project, harness: Harness, specimen: Specimen
) -> Equipment:
    """What hangs on the donor: the documents' leads of its harness, corrected by its own survey."""
    target = job.target.equipment
    given = {
        target.ends(*lead.ends): lead.harness for lead in project.leads if lead.harness is not None
    }
    own = set(harness.ends)

    def is_own(ends: Ends) -> bool:
        if ends in given:
            return given[ends] == harness.id
        return all(isinstance(n, str) or n.half_key in own for n in ends) and any(
            isinstance(n, PinKey) for n in ends
        )

    leads = {ends: lead for ends, lead in target.leads.items() if is_own(ends)}
    documented = replace(target, leads=LeadTable(leads), undetermined=frozenset())
    seen = Seen.of(project.survey, specimen)
    return vehicle_as_it_is(documented, seen, target=target).equipment


def _covers(donor: Equipment, harness: Harness, gap: Gap) -> bool:
    """Does the donor bring all that mends a gap? Devices, modules and coding it does not."""
    mend, ends = gap.mend, set(harness.ends)
    if mend.joined:
        return all(lead in donor.leads for lead in mend.joined)
    if gap.kind == "terminal missing":
        return all(pin.half_key in ends and donor.leads_at.get(pin) for pin in mend.cavity)
    if gap.kind == "connector missing":
        halves = {mend.half} if mend.half is not None else {pin.half_key for pin in mend.cavity}
        return halves <= ends
    if gap.kind == "bar missing":
        return all(pin.half_key in ends for pin in mend.bar)
    return False


def _wired(side: Equipment, half: HalfKey) -> set[str]:
    return {
        node.pin for node in side.leads_at if isinstance(node, PinKey) and node.half_key == half
    }


def _differing(donor: Equipment, job: JobGaps, harness: Harness) -> Iterator[DifferingHalf]:
    vehicle = job.state.equipment
    for half in harness.ends:
        name = job.target.equipment.half_text(half)
        if half not in vehicle.halves:
            yield DifferingHalf(half, f"{name} is on the donor and not on this vehicle")
            continue
        more = sorted(_wired(donor, half) - _wired(vehicle, half))
        fewer = sorted(_wired(vehicle, half) - _wired(donor, half))
        if more or fewer:
            words = [f"the donor has {', '.join(more)} more"] if more else []
            words += [f"this vehicle has {', '.join(fewer)} more"] if fewer else []
            yield DifferingHalf(half, f"{name}: {' and '.join(words)}")


def _following(
    donor: Equipment, job: JobGaps, project: Project, harness: Harness
) -> Iterator[FollowingLoom]:
    """Looms that do not fit the swapped one any more, and those that do not fit these, and so on."""
    target, vehicle = job.target.equipment, job.state.equipment
    loom_of = {half: h for h in project.harnesses for half in h.ends}
    rest, seen = [harness], {harness.id}
    while rest:
        swapped = rest.pop(0)
        side = donor if swapped is harness else target
        for mine, other in _mates(target, swapped):
            loom = loom_of.get(other)
            lacks = _lacks(side, vehicle, mine, other, target)
            if loom is None or loom.id in seen or not lacks:
                continue
            seen.add(loom.id)
            rest.append(loom)
            yield FollowingLoom(
                loom.id,
                other,
                f"{loom.name} must follow {swapped.name}: its {target.half_text(other)} lacks {lacks}",
            )


def _mates(target: Equipment, harness: Harness) -> Iterator[tuple[HalfKey, HalfKey]]:
    own = set(harness.ends)
    for a, b in sorted(target.mates, key=lambda halves: [h.part for h in halves]):
        for mine, other in ((a, b), (b, a)):
            if mine in own and other not in own:
                yield mine, other


def _lacks(
    side: Equipment, vehicle: Equipment, mine: HalfKey, other: HalfKey, target: Equipment
) -> str:
    """What the half that faces the swapped loom lacks in this vehicle; empty where it fits."""
    if other not in vehicle.halves:
        return "the connector itself"
    pairs = target.mates.get((mine, other)) or tuple(
        (b, a) for a, b in target.mates.get((other, mine), ())
    )
    wired, there = _wired(side, mine), _wired(vehicle, other)
    wanted = _wired(target, other)
    lacking = [b.pin for a, b in pairs if a.pin in wired and b.pin in wanted and b.pin not in there]
    return f"leads at {', '.join(lacking)}" if lacking else ""
