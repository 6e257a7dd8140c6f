"""The leads of a plan: what each offer makes, with length, zones, size and ends, and whether it is released.

A lead is released where its gap is sure (the vehicle was looked at, every piece of the target's lead is
confirmed), its work is allowed, and every bound at its size is met.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from loomfolio.electrics import Figure, given
from loomfolio.project import LeadColour, PinKey
from loomfolio.retrofit.gap_writer import ends_key, node_key
from loomfolio.retrofit.records import Ends, Node
from loomfolio.retrofit.work.chosen import Chosen, is_allowed, is_in_spite_of_bounds
from loomfolio.retrofit.work.lead_sizes import LeadSizes, SizedLead
from loomfolio.retrofit.work.practice import practice
from loomfolio.retrofit.work.records import LeadEnd, NewEnd, NewLead, PlannedLead
from loomfolio.retrofit.work.situation import Situation
from loomfolio.retrofit.work.zones import MEASURE, LaidWay, Surroundings

HOT_C = 100.0
"""From here a sleeve against heat goes over a lead: the limit of class B covering (ISO 6722)."""


@dataclass(frozen=True, slots=True)
class Laid:
    """A lead that an offer makes, as it is laid."""

    chosen: Chosen
    lead: NewLead
    way: LaidWay
    length_m: Figure | None
    reason: str


def lead_key(lead: NewLead) -> str:
    """Return the key of a planned lead: that of the target's lead whose work it does."""
    return f"lead: {ends_key(lead.target)}"


def joint_key(end: NewEnd) -> str:
    """Return the key of the joint at which a lead ends: by its kind, its place, and the lead that it lies in."""
    old = "" if end.old_lead is None else f" in {ends_key(end.old_lead)}"
    return f"joint: {end.joint} at {node_key(end.node)}{old}"


class LeadPlan:
    """Plans the leads of what was chosen."""

    def __init__(self, situation: Situation, sizes: LeadSizes, chosen: Sequence[Chosen]) -> None:
        self._situation, self._sizes = situation, sizes
        self.laid: tuple[Laid, ...] = self._all_laid(chosen)
        self._loaded: Mapping[str, int] = self._count_loaded()

    def _all_laid(self, chosen: Sequence[Chosen]) -> tuple[Laid, ...]:
        found: dict[str, Laid] = {}
        for one in chosen:
            for lead in one.offer.new_leads if one.offer is not None else ():
                found.setdefault(lead_key(lead), self._laid(one, lead))
        return tuple(found[key] for key in sorted(found))

    def _laid(self, one: Chosen, lead: NewLead) -> Laid:
        zones, operation = self._situation.zones, one.operation
        a, b = (zones.zone_of(end.node) for end in lead.ends)
        way = zones.between(a, b)
        if operation.is_measured_on_vehicle:
            return Laid(one, lead, way, None, f"{MEASURE}, as chosen")
        if operation.length_m is not None:
            return Laid(one, lead, way, given("length of the lead", operation.length_m, "m"), "")
        known = self._known_length(lead) if lead.is_direct and way.length_m is None else None
        length = way.length_m or known
        return Laid(one, lead, way, length, "" if length is not None else way.reason)

    def _known_length(self, lead: NewLead) -> Figure | None:
        """The length that the documents or a list give to the target's lead."""
        for known in self._situation.project.leads:
            if (
                known.length_m is not None
                and self._situation.target.ends(*known.ends) == lead.target
            ):
                return given("length by the list", known.length_m, "m")
        return None

    def _count_loaded(self) -> dict[str, int]:
        """For each lead how many loaded leads share a way or a zone with it, itself included.

        Those that carry a small share of what they could do not count.
        """
        carrying = [one for one in self.laid if self._sizes.carried(one.lead.target)]
        loaded = [
            one
            for one in carrying
            if not self._sizes.is_light(
                one.lead.target,
                one.chosen.operation,
                self._situation.zones.surroundings(one.way.zones),
                self._together(one, carrying),
            )
        ]
        return {
            lead_key(one.lead): self._together(one, loaded) + (one not in loaded)
            for one in self.laid
        }

    def _together(self, one: Laid, others: Sequence[Laid]) -> int:
        """How many of some leads share a way or a zone with one, it counted where it is among them."""
        return sum(
            other is one or not self._course(one).isdisjoint(self._course(other))
            for other in others
        )

    @staticmethod
    def _course(one: Laid) -> set[str]:
        return set(one.way.ways or one.way.zones)

    def leads(self) -> tuple[PlannedLead, ...]:
        """Return every planned lead, by its key."""
        return tuple(self._planned(one) for one in self.laid)

    def _planned(self, one: Laid) -> PlannedLead:
        situation, lead = self._situation, one.lead
        around = situation.zones.surroundings(one.way.zones)
        sized = self._sized(one, around)
        blocking = self._blocking(one, sized)
        doubts = [*blocking, *sized.doubts, *self._doubts(one, around)]
        return PlannedLead(
            key=lead_key(lead),
            gaps=self._gaps_of(one),
            ends=(self._end(lead.ends[0], around), self._end(lead.ends[1], around)),
            net_name=situation.net_name(*lead.target),
            colour=self._colour(one),
            size=sized.size,
            area_mm2=sized.area_mm2,
            conductor=sized.conductor,
            insulation=sized.insulation,
            length_m=one.length_m,
            length_reason=one.reason,
            zones=one.way.zones,
            group=self._group(lead.target),
            sleeve=_sleeve(around),
            sizing=sized.sizing,
            fuse_text=sized.fuse_text,
            bounds=sized.bounds,
            load_a=sized.load_a,
            released=not blocking,
            doubts=tuple(dict.fromkeys(doubts)),
            is_bought=lead.is_bought,
        )

    def _sized(self, one: Laid, around: Surroundings) -> SizedLead:
        if one.lead.is_bought:
            return self._sizes.as_bought(one.lead.target)
        return self._sizes.sized(
            one.lead.target,
            one.chosen.operation,
            length_m=one.length_m,
            around=around,
            loaded_in_bundle=self._loaded[lead_key(one.lead)],
            pins=[
                end.node
                for end in one.lead.ends
                if isinstance(end.node, PinKey) and end.joint is None and end.via == "cavity"
            ],
        )

    def _gaps_of(self, one: Laid) -> tuple[str, ...]:
        own = one.lead.target
        closes = one.chosen.offer.closes if one.chosen.offer is not None else ()
        gaps = self._situation.gaps
        direct = [key for key in closes if key in gaps and own in gaps[key].mend.joined]
        return tuple(direct or (one.chosen.gap.key,))

    def _blocking(self, one: Laid, sized: SizedLead) -> list[str]:
        """What keeps a lead from the bench."""
        gaps = self._situation.gaps
        open_words = [word for key in self._gaps_of(one) for word in gaps[key].decides]
        if not is_allowed(one.chosen) and one.chosen.offer is not None:
            open_words.append(f"It must not be: {one.chosen.offer.forbidden}")
        if not is_in_spite_of_bounds(one.chosen) and not one.lead.is_bought:
            open_words.extend(sized.faults)
        return open_words

    def _doubts(self, one: Laid, around: Surroundings) -> list[str]:
        found: list[str] = []
        if around.is_wet is None and not one.lead.is_bought:
            found.append("It is not said whether its zones are wet: its ends are sealed")
        operation = one.chosen.operation
        if operation.fuse_a is not None and operation.fuse_distance_mm is None:
            found.append("It is not said how far its own fuse lies from the pick-up")
        if self._colour(one) is None and not one.lead.is_bought:
            found.append("Its colour is free: take one that no other lead in its housings has")
        return found

    def _colour(self, one: Laid) -> LeadColour | None:
        if one.chosen.operation.colour is not None:
            return one.chosen.operation.colour
        drawn = self._situation.target.leads.find(one.lead.target)
        return None if drawn is None else drawn.colour

    def _group(self, lead: Ends) -> str:
        target = self._situation.target
        for group in target.groups:
            if any(lead in target.leads_between(*pair) for pair in group.pins):
                return group.name
        return ""

    # ---------------------------------------------------------------------------------------- ends

    def _end(self, end: NewEnd, around: Surroundings) -> LeadEnd:
        situation = self._situation
        pin = end.node if isinstance(end.node, PinKey) and end.joint is None else None
        is_new_splice = isinstance(end.node, str) and situation.kind(end.node) == "splice"
        joint = joint_key(end) if end.joint is not None else None
        if joint is None and is_new_splice:
            joint = joint_key(NewEnd(end.node, "splice"))
        is_sealed = around.is_wet is not False
        return LeadEnd(
            pin=pin,
            joint=joint,
            text=situation.text(end.node),
            terminal="" if joint is not None else self._terminal(end),
            strip_mm=None if joint is not None else practice("strip for a crimped terminal"),
            seal="single-wire seal" if is_sealed and pin is not None else "",
            stub=end.stub,
        )

    def _terminal(self, end: NewEnd) -> str:
        situation, node = self._situation, end.node
        if end.via == "board":
            return f"soldered to the board at {situation.text(node)}"
        if end.via == "adaptor":
            return f"into the adaptor at {situation.text(node)}"
        if situation.kind(node) == "ground point":
            return f"ring terminal for the stud {situation.text(node)}"
        return f"terminal of the housing {_housing(situation, node)}, cavity {_cavity(node)}"


def _housing(situation: Situation, node: Node) -> str:
    return situation.half_text(node.half_key) if isinstance(node, PinKey) else situation.text(node)


def _cavity(node: Node) -> str:
    return node.pin if isinstance(node, PinKey) else ""


def _sleeve(around: Surroundings) -> str:
    words: list[str] = []
    if around.ambient_c is not None and around.ambient_c >= HOT_C:
        words.append("sleeve against heat")
    if around.is_shaken:
        words.append("ribbed tube against chafing")
    return ", ".join(words)
