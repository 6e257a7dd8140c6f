"""The joints of a plan: what meets there, how far from which half, staggered, sealed, stripped and pulled.

A joint keeps its distance from its connector, and neighbours are staggered: the second joint near one half
lies one stagger further off than the first, in the order of their keys. Where the zone is wet, or nobody
has said, it is sealed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from loomfolio.electrics import Figure, given
from loomfolio.project import PinKey
from loomfolio.retrofit.records import Node
from loomfolio.retrofit.work.chosen import Chosen, is_allowed
from loomfolio.retrofit.work.lead_plan import joint_key
from loomfolio.retrofit.work.practice import practice, pull_force
from loomfolio.retrofit.work.records import JointKind, NewEnd, PlannedJoint, PlannedLead
from loomfolio.retrofit.work.situation import Situation

_ONE_TO_ONE: frozenset[JointKind] = frozenset({"butt splice", "break in"})


@dataclass(frozen=True, slots=True)
class _Meeting:
    """What comes together at one joint: the new leads with their stubs, and what chose it."""

    end: NewEnd
    chosen: tuple[Chosen, ...]
    leads: tuple[tuple[PlannedLead, str], ...]


class JointPlan:
    """Plans the joints at which planned leads end, and the remainders that are capped."""

    def __init__(
        self, situation: Situation, chosen: Sequence[Chosen], leads: Sequence[PlannedLead]
    ) -> None:
        self._situation = situation
        self._meetings = self._met(chosen, leads)
        self._rank = self._ranks()

    def _met(self, chosen: Sequence[Chosen], leads: Sequence[PlannedLead]) -> dict[str, _Meeting]:
        found: dict[str, _Meeting] = {}
        by_key: dict[str, list[tuple[PlannedLead, str]]] = {}
        for lead in leads:
            for own_end in lead.ends:
                if own_end.joint is not None:
                    by_key.setdefault(own_end.joint, []).append((lead, own_end.stub))
        for one in chosen:
            for end in _joint_ends(self._situation, one):
                key = joint_key(end)
                old = found.get(key)
                own = (one,) if old is None else (*old.chosen, one)
                found[key] = _Meeting(end, own, tuple(by_key.get(key, ())))
        return found

    def _ranks(self) -> Mapping[str, int]:
        """How many joints near the same half come before each, in the order of their keys."""
        before: dict[str, int] = {}
        ranks: dict[str, int] = {}
        for key in sorted(self._meetings):
            near = self._near(self._meetings[key].end.node)
            ranks[key] = before.get(near, 0)
            before[near] = ranks[key] + 1
        return ranks

    def joints(self) -> tuple[PlannedJoint, ...]:
        """Return every planned joint, by its key."""
        return tuple(self._planned(key, self._meetings[key]) for key in sorted(self._meetings))

    def _near(self, node: Node) -> str:
        if isinstance(node, PinKey):
            return self._situation.half_text(node.half_key)
        return self._situation.text(node)

    def _planned(self, key: str, met: _Meeting) -> PlannedJoint:
        end, situation = met.end, self._situation
        kind: JointKind = end.joint or "splice"
        zone = situation.zones.zone_of(end.node)
        is_wet = None if zone is None else situation.zones.zones[zone].is_wet
        areas = [lead.area_mm2 for lead, _ in met.leads if lead.area_mm2 is not None]
        distance = self._distance(key, met)
        stubs = self._stubs(met)
        is_cap = kind == "cap"
        sleeve = _sleeve(is_wet=is_wet, is_cap=is_cap)
        return PlannedJoint(
            key=key,
            kind=kind,
            gaps=tuple(dict.fromkeys(one.gap.key for one in met.chosen)),
            net_name=situation.net_name(end.node),
            lead_ends=end.old_lead,
            near_half=self._near(end.node),
            distance_mm=distance,
            stubs=stubs,
            sleeve=sleeve,
            is_sealed=is_wet is not False,
            strip_mm=None if is_cap else _strip(kind),
            pull_force_n=pull_force(min(areas)) if areas and not is_cap else None,
            stagger_mm=practice("stagger of neighbouring joints")
            if self._is_crowded(key)
            else None,
            zone=zone,
            sentence=_sentence(kind, self._near(end.node), distance, stubs),
            released=all(lead.released for lead, _ in met.leads)
            and all(is_allowed(one) for one in met.chosen),
            doubts=("It is not said whether its zone is wet: it is sealed",)
            if is_wet is None
            else (),
        )

    def _is_crowded(self, key: str) -> bool:
        near = self._near(self._meetings[key].end.node)
        return sum(self._near(met.end.node) == near for met in self._meetings.values()) > 1

    def _distance(self, key: str, met: _Meeting) -> Figure:
        if isinstance(met.end.node, str):
            return given("distance from the joint itself", 0.0, "mm")
        own = [o.operation.distance_mm for o in met.chosen if o.operation.distance_mm is not None]
        if own:
            return given("distance from the connector", own[0], "mm")
        usual, rank = practice("usual distance of a joint from a connector"), self._rank[key]
        if rank == 0:
            return usual
        stagger = practice("stagger of neighbouring joints")
        return Figure(
            "distance from the connector",
            usual.value + rank * stagger.value,
            "mm",
            f"usual distance + {rank} · stagger",
            (usual, stagger),
        )

    def _stubs(self, met: _Meeting) -> tuple[str, ...]:
        """Which stub is which, the vehicle's before the new ones."""
        situation, end = self._situation, met.end
        words: list[str] = []
        if end.joint == "cap":
            return (f"{end.stub}: goes nowhere any more",)
        if isinstance(end.node, str):
            legs = situation.leads_at(end.node)
            words += [f"vehicle: {situation.lead_text(leg)}" for leg in legs]
        for lead, stub in met.leads:
            far = next((e for e in lead.ends if e.joint != joint_key(end)), lead.ends[1])
            what = f"{lead.colour.text} " if lead.colour is not None else ""
            own = f"vehicle: {stub}" if stub else ""
            words += [own] if own and own not in words else []
            to_which = f", joined to {stub}" if stub and end.joint == "break in" else ""
            words.append(f"new: {what}{lead.size} to {far.text}{to_which}")
        return tuple(words)


def _joint_ends(situation: Situation, one: Chosen) -> list[NewEnd]:
    if one.offer is None:
        return []
    ends = [end for lead in one.offer.new_leads for end in lead.ends]
    found = [end for end in ends if end.joint is not None]
    found += [
        NewEnd(end.node, "splice")
        for end in ends
        if end.joint is None and isinstance(end.node, str) and situation.kind(end.node) == "splice"
    ]
    return [*found, *one.offer.caps]


def _strip(kind: JointKind) -> Figure:
    one = "strip for a crimped and sealed sleeve"
    several = "strip for a crimp band with adhesive sleeve"
    return practice(one if kind in _ONE_TO_ONE else several)


def _sleeve(*, is_wet: bool | None, is_cap: bool) -> str:
    longer = practice("sleeve longer than its joint")
    what = "cap" if is_cap else f"sleeve, {longer.value:g} mm longer than the joint"
    return f"plain heat-shrink {what}" if is_wet is False else f"adhesive-lined heat-shrink {what}"


def _sentence(kind: JointKind, near: str, distance: Figure, stubs: Sequence[str]) -> str:
    what = {
        "tap": "Tap",
        "butt splice": "Butt splice",
        "break in": "Break in",
        "splice": "Splice",
        "cap": "Cap off",
    }[kind]
    place = f"{distance.value:g} mm from {near}" if distance.value else f"at {near}"
    return f"{what} {place}: {'; '.join(stubs)}"
