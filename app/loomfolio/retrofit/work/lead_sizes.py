"""How thick a planned lead gets, and why: its loads, the fuse before it, its length and its zones, bound by bound.

The person's size comes first, then that of the target's documents, then the smallest standard area that
meets every bound; what was taken is held against all bounds, and what it fails is said. Where nothing is
noted to reckon with, the documents' size or the mechanical minimum stands, and the plan says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from loomfolio.basics import NameNotFoundError, UsageError
from loomfolio.electrics import (
    Back,
    Bound,
    Chassis,
    Conductor,
    Feed,
    Figure,
    Insulation,
    LeadDemand,
    LeadRun,
    LikeLead,
    SeriesName,
    Sizing,
    TerminalLimits,
    drop_limit,
    find_conductor,
    find_insulation,
    given,
    mechanical_minimum,
    protects,
    series,
    size_lead,
    standard_tables,
    steady_current,
)
from loomfolio.project import Operation, PinKey
from loomfolio.retrofit.records import Ends
from loomfolio.retrofit.work.feeds import Carried, Feeds, load_figure
from loomfolio.retrofit.work.lead_feed import FeedOfLead, LeadFeeds
from loomfolio.retrofit.work.practice import practice
from loomfolio.retrofit.work.situation import Situation
from loomfolio.retrofit.work.zones import Surroundings, insulation_for

USUAL_INSULATION = "PVC 105 C"
_PLANNING = "PLANNING"
_CIRCUITS = {
    "lamp": "headlamp and other lamps",
    "module": "electronic module supply",
    "sensor": "sensor ground or reference",
}
_ANY_CIRCUIT = "added accessory circuit, general"


@dataclass(frozen=True, slots=True)
class SizedLead:
    """The size of a lead, what it rests on, and what is open about it.

    `faults` are bounds that are not met or fuses that do not serve: they keep a lead from the bench.
    """

    conductor: Conductor | None
    size: str
    area_mm2: float | None
    insulation: str
    sizing: Sizing | None
    bounds: tuple[Bound, ...]
    load_a: Figure | None
    fuse_text: str
    doubts: tuple[str, ...]
    faults: tuple[str, ...]


class LeadSizes:
    """Sizes the leads of a plan."""

    def __init__(self, situation: Situation, feeds: Feeds) -> None:
        self._situation, self._feeds = situation, feeds
        self._tables = situation.tables
        self._lead_feeds = LeadFeeds(situation, feeds)

    def carried(self, lead: Ends) -> tuple[Carried, ...]:
        """Return the loads that a lead of the target carries."""
        return self._feeds.carried(lead)

    def sized(
        self,
        lead: Ends,
        operation: Operation,
        *,
        length_m: Figure | None,
        around: Surroundings,
        loaded_in_bundle: int,
        pins: Sequence[PinKey] = (),
    ) -> SizedLead:
        """Return the size of the lead that does the work of a lead of the target; `pins` are its cavities."""
        carried = self.carried(lead)
        insulation, said = self._insulation(operation, around)
        feeder = self._lead_feeds.before(lead, carried)
        feed = feeder
        if operation.fuse_a is not None:
            feed = self._lead_feeds.own_fuse(operation.fuse_a, feeder)
        terminals = self._terminals(pins)
        load = load_figure(carried, self._load_texts(carried))
        asked, missing = self._asked(operation, lead)
        doubts = [*said, *feed.doubts, *missing]
        if length_m is None or not (carried or feed.fuse is not None):
            doubts += self._why_not(length_m, carried)
            sized = self._unreckoned(operation, asked, insulation, load, feed, around, doubts)
            return _with_bounds(sized, (*_area_bounds(sized, terminals), *_distance(operation)))
        demand = self._demand(load, feed, length_m, carried, insulation, around, loaded_in_bundle)
        if isinstance(demand, str):
            doubts.append(demand)
            sized = self._unreckoned(operation, asked, insulation, load, feed, around, doubts)
            return _with_bounds(sized, (*_area_bounds(sized, terminals), *_distance(operation)))
        demand = replace(demand, terminals=terminals)
        sized = self._reckoned(operation, asked, demand, load, feed, doubts)
        if self._feeder_holds(sized, demand, feeder):
            return sized
        return _with_bounds(sized, _distance(operation))

    def _feeder_holds(self, sized: SizedLead, demand: LeadDemand, feeder: FeedOfLead) -> bool:
        """Does the feeder's own fuse protect the lead, however far its own one lies?"""
        if feeder.fuse is None or sized.conductor is None:
            return False
        run = demand.run(sized.conductor)
        return protects(run, feeder.fuse, demand.feed, self._tables).is_protected

    def _terminals(self, pins: Sequence[PinKey]) -> tuple[TerminalLimits, ...]:
        """What is noted of the terminals that go into some cavities: of the cavity itself before its housing."""
        found: list[TerminalLimits] = []
        for pin in pins:
            own = [one for one in self._situation.project.terminals if one.half == pin.half_key]
            fitting = [one for one in own if pin.pin in one.pins] or [o for o in own if not o.pins]
            found.extend(
                TerminalLimits(
                    name=f"{one.name} at {self._situation.text(pin)}",
                    least_area_mm2=one.least_area_mm2,
                    greatest_area_mm2=one.greatest_area_mm2,
                    least_outside_mm=one.least_outside_mm,
                    greatest_outside_mm=one.greatest_outside_mm,
                    current_a=one.current_a,
                )
                for one in fitting[:1]
            )
        return tuple(found)

    def as_bought(self, lead: Ends) -> SizedLead:
        """Return the size of a lead that comes with its assembly or from a donor: what the documents show."""
        found = self._situation.target.leads.find(lead)
        area = None if found is None else found.area_mm2
        known = series(self._tables, "vehicle")
        same = (one for one in known if area is not None and one.area_mm2 == area)
        return SizedLead(
            conductor=next(same, None),
            size="" if area is None else f"{area:g} mm²",
            area_mm2=area,
            insulation="as bought",
            sizing=None,
            bounds=(),
            load_a=None,
            fuse_text="",
            doubts=(),
            faults=(),
        )

    def is_light(
        self, lead: Ends, operation: Operation, around: Surroundings, in_bundle: int
    ) -> bool:
        """Does a lead carry so little, at the size asked for it, that it does not count in its bundle?"""
        asked, _ = self._asked(operation, lead)
        insulation, _ = self._insulation(operation, around)
        if asked is None:
            return False
        load = load_figure(self.carried(lead), {})
        run = LeadRun(
            conductor=asked,
            insulation=insulation,
            length_m=1.0,
            back=Chassis(0.0),
            ambient_c=self._ambient(around),
            loaded_in_bundle=max(1, in_bundle),
        )
        allowed = steady_current(run, self._tables, conductor_c=insulation.limit_c)
        share = practice(
            "share of what a lead carries in its bundle up to which it does not count there"
        )
        return load.value <= share.value * allowed.value

    @staticmethod
    def _ambient(around: Surroundings) -> float:
        if around.ambient_c is not None:
            return around.ambient_c
        return practice("ambient where none is noted").value

    # ------------------------------------------------------------------------------- what is known

    def _load_texts(self, carried: Sequence[Carried]) -> dict[str, str]:
        return {one.note.id: self._situation.text(one.note.pin) for one in carried}

    def _insulation(
        self, operation: Operation, around: Surroundings
    ) -> tuple[Insulation, list[str]]:
        if operation.insulation:
            try:
                return find_insulation(self._tables, operation.insulation), []
            except NameNotFoundError as error:
                return find_insulation(self._tables, USUAL_INSULATION), [str(error)]
        found, why = insulation_for(around, self._tables)
        if found is None:
            return find_insulation(self._tables, USUAL_INSULATION), [f"{why}: {USUAL_INSULATION}"]
        return found, []

    def _asked(self, operation: Operation, lead: Ends) -> tuple[Conductor | None, list[str]]:
        """The size that the person or else the target's documents ask for."""
        if operation.size:
            name: SeriesName = "awg stranded" if "awg" in operation.size.casefold() else "vehicle"
            try:
                return find_conductor(series(self._tables, name), operation.size), []
            except NameNotFoundError as error:
                return None, [str(error)]
        found = self._situation.target.leads.find(lead)
        if found is None or found.area_mm2 is None:
            return None, []
        try:
            known = series(self._tables, "vehicle")
            return find_conductor(known, f"{found.area_mm2:g}"), []
        except NameNotFoundError:
            return None, [f"The documents show {found.area_mm2:g} mm², which is no standard size"]

    @staticmethod
    def _why_not(length_m: Figure | None, carried: Sequence[Carried]) -> list[str]:
        if length_m is None:
            return [
                "Its length is not known: drop and short are held against it once it is measured"
            ]
        return [] if carried else ["No load is noted behind it"]

    # ------------------------------------------------------------------------------------ reckoning

    def _demand(
        self,
        load: Figure,
        feed: FeedOfLead,
        length_m: Figure,
        carried: Sequence[Carried],
        insulation: Insulation,
        around: Surroundings,
        loaded_in_bundle: int,
    ) -> LeadDemand | str:
        volt = (
            practice("supply where none is noted").value
            if feed.supply is None
            else feed.supply.voltage_v
        )
        ohm = 0.0 if feed.supply is None else feed.supply.source_ohm or 0.0
        try:
            return LeadDemand(
                load_a=load.value,
                feed=Feed(volt=volt, ohm=ohm),
                length_m=length_m.value,
                back=self._back(carried),
                insulation=insulation,
                ambient_c=self._ambient(around),
                allowed_drop=self._allowed(carried, volt),
                mechanical_minimum=self._mechanical(around),
                fuse=feed.fuse,
                loaded_in_bundle=max(1, loaded_in_bundle),
            )
        except UsageError as error:
            return str(error)

    def _back(self, carried: Sequence[Carried]) -> Back:
        """A return over leads is taken for as long and as thick as the way out; chassis has no ohms."""
        over_leads = any(one.note.back is not None for one in carried)
        return LikeLead() if over_leads else Chassis(0.0)

    def _allowed(self, carried: Sequence[Carried], volt: float) -> Figure:
        kinds = {self._situation.kind(one.note.pin) for one in carried}
        named = [_CIRCUITS[kind] for kind in kinds if kind in _CIRCUITS] or [_ANY_CIRCUIT]
        rows = [
            row
            for row in self._tables.drop_limits
            if row.table_id == _PLANNING and row.circuit in named
        ]
        limits = [drop_limit(row, volt) for row in rows]
        return min(limits, key=lambda limit: limit.value)

    def _mechanical(self, around: Surroundings, *, is_signal: bool = False) -> Figure:
        place = "lead in a bundle"
        if is_signal and around.is_wet is False:
            place = "signal lead in a bundle, dry"
        if around.is_shaken:
            place = "lead alone, or where it moves or shakes"
        return mechanical_minimum(self._tables, place)

    def _reckoned(
        self,
        operation: Operation,
        asked: Conductor | None,
        demand: LeadDemand,
        load: Figure,
        feed: FeedOfLead,
        doubts: list[str],
    ) -> SizedLead:
        own = _sizing(demand, asked) if asked is not None else None
        is_own = own is not None and (own.chosen is not None or bool(operation.size))
        sizing = own if own is not None and is_own else _sizing(demand, None)
        conductor = sizing.tried if is_own else sizing.chosen
        faults = [f"{sizing.tried.label}: {bound}" for bound in sizing.failures]
        if own is not None and not is_own:
            failed = "; ".join(str(bound) for bound in own.failures)
            size = "none" if conductor is None else conductor.label
            doubts.append(f"The documents show {own.tried.label}, which fails ({failed}): {size}")
        return SizedLead(
            conductor=conductor,
            size="" if conductor is None else conductor.label,
            area_mm2=None if conductor is None else conductor.area_mm2,
            insulation=demand.insulation.name,
            sizing=sizing,
            bounds=sizing.bounds,
            load_a=load,
            fuse_text=feed.fuse_text,
            doubts=tuple(doubts),
            faults=tuple(faults),
        )

    def _unreckoned(
        self,
        operation: Operation,
        asked: Conductor | None,
        insulation: Insulation,
        load: Figure,
        feed: FeedOfLead,
        around: Surroundings,
        doubts: list[str],
    ) -> SizedLead:
        """The person's size, else the documents' where handling does not ask for more, else what it asks for."""
        least = self._mechanical(around, is_signal=not load.inputs)
        known = series(self._tables, "vehicle")
        handled = next(one for one in known if one.area_mm2 >= least.value)
        conductor = asked or handled
        if asked is not None and asked.area_mm2 < least.value and not operation.size:
            doubts.append(
                f"The documents show {asked.label}, too thin to handle there: {handled.label}"
            )
            conductor = handled
        area = Figure(
            f"area of {conductor.label}", conductor.area_mm2, "mm²", source=conductor.source
        )
        bound = Bound("mechanical minimum", area, least, "at least")
        return SizedLead(
            conductor=conductor,
            size=conductor.label,
            area_mm2=conductor.area_mm2,
            insulation=insulation.name,
            sizing=None,
            bounds=(bound,),
            load_a=load if load.inputs else None,
            fuse_text=feed.fuse_text,
            doubts=tuple(doubts),
            faults=() if bound.is_met else (f"{conductor.label}: {bound}",),
        )


@lru_cache(maxsize=1024)
def _sizing(demand: LeadDemand, asked: Conductor | None) -> Sizing:
    """Size a lead with the size asked for, or with the vehicle series; an edit elsewhere reckons nothing anew."""
    tables = standard_tables()
    known = series(tables, "vehicle") if asked is None else (asked,)
    return size_lead(demand, known, tables)


def _distance(operation: Operation) -> tuple[Bound, ...]:
    """How far the lead's own fuse may lie from where the net is picked up, where that is said."""
    if operation.fuse_distance_mm is None:
        return ()
    own = given("distance from the pick-up to its fuse", operation.fuse_distance_mm, "mm")
    greatest = practice("greatest distance from a pick-up to its fuse")
    return (Bound("fuse of the pick-up", own, greatest, "at most"),)


def _area_bounds(sized: SizedLead, terminals: Sequence[TerminalLimits]) -> tuple[Bound, ...]:
    """What terminals take, of a lead of which the rest is not reckoned."""
    if sized.conductor is None:
        return ()
    label, source = sized.conductor.label, sized.conductor.source
    area = Figure(f"area of {label}", sized.conductor.area_mm2, "mm²", source=source)
    bounds: list[Bound] = []
    for one in terminals:
        if one.greatest_area_mm2 is not None:
            title = f"greatest area of {one.name}"
            limit = given(title, one.greatest_area_mm2, "mm²")
            bounds.append(Bound(title, area, limit, "at most"))
        if one.least_area_mm2 is not None:
            title = f"least area of {one.name}"
            bounds.append(Bound(title, area, given(title, one.least_area_mm2, "mm²"), "at least"))
    return tuple(bounds)


def _with_bounds(sized: SizedLead, bounds: Sequence[Bound]) -> SizedLead:
    faults = [f"{sized.size}: {bound}" for bound in bounds if not bound.is_met]
    return replace(sized, bounds=(*sized.bounds, *bounds), faults=(*sized.faults, *faults))
