"""How thick a planned lead gets, and why: its loads, the fuse before it, its length and its zones, bound by bound.

The person's size comes first, then that of the target's documents, then the smallest standard area that
meets every bound; what was taken is held against all bounds, and what it fails is said. Where nothing is
noted to reckon with, the documents' size or the mechanical minimum stands, and the plan says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

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
    drop_limit,
    find_conductor,
    find_insulation,
    mechanical_minimum,
    series,
    size_lead,
    steady_current,
)
from loomfolio.project import Operation
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
    ) -> SizedLead:
        """Return the size of the lead that does the work of a lead of the target."""
        carried = self.carried(lead)
        insulation, said = self._insulation(operation, around)
        feed = self._lead_feeds.before(lead, carried)
        load = load_figure(carried, self._load_texts(carried))
        asked, missing = self._asked(operation, lead)
        doubts = [*said, *feed.doubts, *missing]
        if length_m is None or not (carried or feed.fuse is not None):
            doubts += self._why_not(length_m, carried)
            return self._unreckoned(operation, asked, insulation, load, feed, around, doubts)
        demand = self._demand(load, feed, length_m, carried, insulation, around, loaded_in_bundle)
        if isinstance(demand, str):
            return self._unreckoned(
                operation, asked, insulation, load, feed, around, [*doubts, demand]
            )
        return self._reckoned(operation, asked, demand, load, feed, doubts)

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
        own = size_lead(demand, [asked], self._tables) if asked is not None else None
        found = size_lead(demand, series(self._tables, "vehicle"), self._tables)
        is_own = own is not None and (own.chosen is not None or bool(operation.size))
        sizing = own if own is not None and is_own else found
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
