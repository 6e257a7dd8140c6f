"""The parts of a plan: what is fitted, with its rating, its colour, and what of it must not be mistaken.

A fuse is rated by its note, else by its loads. A relay is told by the numbers moulded on it: in the
two layouts of a mini relay 30 and 86 lie in each other's place, and the wrong one joins the feed to the coil.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from loomfolio.basics import NameNotFoundError, UsageError
from loomfolio.electrics import (
    MINI,
    Bound,
    Figure,
    Fuse,
    Layout,
    Load,
    coil_current,
    coil_plus_terminal,
    contact_bounds,
    contacts_met,
    find_fuse,
    fits_socket,
    fuse_for_load,
)
from loomfolio.project import LoadNote, OperationKind, PinKey, RelayNote, ResistanceNote
from loomfolio.retrofit.work.chosen import Chosen
from loomfolio.retrofit.work.feeds import Feeds
from loomfolio.retrofit.work.practice import practice
from loomfolio.retrofit.work.records import PlannedPart
from loomfolio.retrofit.work.situation import Situation

_WORDS: Mapping[OperationKind, str] = {
    "fit connector": "connector with its terminals, seals and lock",
    "fit terminal": "terminal",
    "fit bar": "bar",
    "adaptor loom": "adaptor: both halves of the connector",
    "fit cable": "assembly",
    "swap part": "part in exchange",
    "donor lead": "lead from the donor",
    "bridge": "bridge",
}


@dataclass(frozen=True, slots=True)
class _Rated:
    rating: str = ""
    colour: str = ""
    figure: Figure | None = None
    bounds: tuple[Bound, ...] = ()
    notes: tuple[str, ...] = ()


class PartPlan:
    """Plans the parts that the chosen offers ask for."""

    def __init__(self, situation: Situation, feeds: Feeds, chosen: Sequence[Chosen]) -> None:
        self._situation, self._feeds, self._chosen = situation, feeds, chosen
        notes = situation.project.electric_notes
        self._relays = {note.part: note for note in notes if isinstance(note, RelayNote)}

    def parts(self) -> tuple[PlannedPart, ...]:
        """Return every part to get, by its key; the same thing for several gaps stands once."""
        found: dict[str, PlannedPart] = {}
        for one in self._chosen:
            if one.offer is None or one.offer.kind not in {*_WORDS, "fit part"}:
                continue
            planned = self._planned(one)
            old = found.get(planned.key)
            if old is None or one.offer.kind == "fit terminal":
                found[planned.key] = planned
        found.update({fuse.key: fuse for fuse in self._own_fuses()})
        return tuple(found[key] for key in sorted(found))

    def _own_fuses(self) -> Iterator[PlannedPart]:
        """The fuses that new leads get for themselves, each with a holder in line."""
        for one in self._chosen:
            rating_a = one.operation.fuse_a
            if rating_a is None or one.offer is None:
                continue
            distance = one.operation.fuse_distance_mm
            where = "" if distance is None else f", {distance:g} mm from the pick-up"
            rating, colour = f"{rating_a:g} A", ""
            bounds: tuple[Bound, ...] = ()
            try:
                fuse = find_fuse(self._situation.tables, "C", rating_a)
                rating, colour = f"{rating_a:g} A, {fuse.size_name}", fuse.colour
                bounds = self._own_bounds(one, fuse)
            except NameNotFoundError:
                pass  # what is no rating of a blade fuse has no colour and no band; the lead says so
            yield PlannedPart(
                key=f"part: own fuse of {one.gap.key}",
                gaps=(one.gap.key,),
                part=None,
                what=f"fuse in a holder in line{where}",
                rating=rating,
                colour=colour,
                bounds=bounds,
            )

    def _own_bounds(self, one: Chosen, fuse: Fuse) -> tuple[Bound, ...]:
        """The fuse held against the loads that its lead carries."""
        if one.offer is None:
            return ()
        carried = [c for lead in one.offer.new_leads for c in self._feeds.carried(lead.target)]
        loads = [c.note for c in carried if not c.is_return]
        if not loads:
            return ()
        zones = self._situation.zones
        known = [zones.zone_of(end.node) for lead in one.offer.new_leads for end in lead.ends]
        ambients = [zones.zones[z].ambient_c for z in known if z is not None]
        usual = practice("ambient where none is noted").value
        ambient_c = max((a for a in ambients if a is not None), default=usual)
        tables = self._situation.tables
        try:
            choice = fuse_for_load(_sum(loads), "C", tables, ambient_c=ambient_c)
        except UsageError:
            return ()
        return (Bound("rating of the fuse", fuse.rating, choice.least_rating, "at least"),)

    def _planned(self, one: Chosen) -> PlannedPart:
        situation, part, kind = self._situation, one.gap.part, one.operation.kind
        zone = situation.zones.zone_of(one.gap.pins[0]) if one.gap.pins else None
        if zone is None and part is not None:
            zone = situation.zones.zone_of_part(part)
        if kind == "fit part" and part is not None:
            rated = self._rated(part)
            what = f"{situation.kind(part)} {situation.part_name(part)}"
        else:
            title = one.offer.title if one.offer is not None else ""
            rated, what = _Rated(), f"{_WORDS.get(kind, kind)}: {title[:1].lower()}{title[1:]}"
        return PlannedPart(
            key=f"part: {one.operation.offer}" if kind != "fit part" else f"part: {part}",
            gaps=(one.gap.key,),
            part=part,
            what=what,
            rating=rated.rating,
            colour=rated.colour,
            figure=rated.figure,
            bounds=rated.bounds,
            notes=rated.notes,
            zone=zone,
        )

    def _rated(self, part: str) -> _Rated:
        by_kind: Mapping[str, Callable[[str], _Rated]] = {
            "fuse": self._fuse,
            "relay": self._relay,
        }
        own = by_kind.get(self._situation.kind(part))
        return own(part) if own is not None else _Rated()

    # --------------------------------------------------------------------------------------- fuses

    def _fuse(self, part: str) -> _Rated:
        loads, note = self._feeds.loads_through(part), self._feeds.fuses.get(part)
        tables = self._situation.tables
        ambient_c = self._ambient(part)
        kind = note.fuse_kind if note is not None and note.fuse_kind != "other" else "C"
        choice = None
        try:
            if loads:
                choice = fuse_for_load(_sum(loads), kind, tables, ambient_c=ambient_c)
        except UsageError as error:
            return _Rated(notes=(str(error),))
        if note is None:
            if choice is None or choice.fuse is None:
                return _Rated(notes=("Its rating is not noted, and no load is noted behind it",))
            fuse = choice.fuse
            said = "rated by its loads: note its rating once it is settled"
            text = f"{fuse.rating_a:g} A, {fuse.size_name}"
            return _Rated(text, fuse.colour, choice.least_rating, choice.bounds, (said,))
        text = f"{note.rating_a:g} A"
        if note.fuse_kind == "other":
            return _Rated(text, notes=("Of a kind without a colour or a time band here",))
        try:
            fuse = find_fuse(tables, note.fuse_kind, note.rating_a)
        except NameNotFoundError as error:
            return _Rated(text, notes=(str(error),))
        bounds: tuple[Bound, ...] = ()
        if choice is not None:
            bounds = (Bound("rating of the fuse", fuse.rating, choice.least_rating, "at least"),)
        return _Rated(f"{text}, {fuse.size_name}", fuse.colour, fuse.rating, bounds)

    def _ambient(self, part: str) -> float:
        zone = self._situation.zones.zone_of_part(part)
        own = None if zone is None else self._situation.zones.zones[zone].ambient_c
        return practice("ambient where none is noted").value if own is None else own

    # -------------------------------------------------------------------------------------- relays

    def _relay(self, part: str) -> _Rated:
        note = self._relays.get(part)
        loads = self._feeds.loads_through(part)
        bounds: tuple[Bound, ...] = ()
        if loads:
            load = _sum(loads)
            try:
                bounds = contact_bounds(
                    self._situation.tables,
                    MINI,
                    load.continuous_a,
                    ambient_c=self._ambient(part),
                    inrush_a=load.inrush_a,
                )
            except UsageError as error:
                return _Rated(notes=(str(error),))
        coil = self._coil(part)
        return _Rated(
            "mini relay",
            figure=coil,
            bounds=bounds,
            notes=(*_layout_notes(note), *_coil_notes(note)),
        )

    def _coil(self, part: str) -> Figure | None:
        """What the coil draws, where its ohms and its supply are noted; its driver has to carry it."""
        coils = {
            frozenset(PinKey(part=part, **pin.model_dump()) for pin in way.pins)
            for record in self._situation.project.parts
            if record.id == part
            for way in record.ways
            if way.relation == "loads"
        }
        for note in self._situation.project.electric_notes:
            if isinstance(note, ResistanceNote) and frozenset(note.ends) in coils:
                supplies = [self._feeds.supply_of(pin) for pin in note.ends]
                volts = [one.voltage_v for one in supplies if one is not None]
                usual = practice("supply where none is noted").value
                return coil_current(note.ohm, max(volts, default=usual))
        return None

    def misfit(self, part: str) -> str:
        """Return why the noted relay does not go into its noted socket; empty where it does or is not noted."""
        note = self._relays.get(part)
        if note is None or note.layout == "unknown" or note.socket_layout == "unknown":
            return ""
        if fits_socket(note.socket_layout, note.layout):
            return ""
        return (
            f"{self._situation.part_name(part)} has layout {note.layout} and its socket layout"
            f" {note.socket_layout}: its 30 and 86 meet each other's contact, and the feed would go to the coil"
        )


def _sum(loads: Sequence[LoadNote]) -> Load:
    return Load(
        continuous_a=sum(one.current_a for one in loads),
        inrush_a=sum(one.inrush_a or one.current_a for one in loads),
        inrush_s=max(one.inrush_s or 0.0 for one in loads),
    )


def moulded_numbers(socket: Layout, relay: Layout) -> str:
    """Return which moulded number of a relay meets each contact of a socket, in words."""
    pairs = ", ".join(f"{met.socket} meets {met.relay}" for met in contacts_met(socket, relay))
    return f"socket {socket}, relay {relay}: {pairs}"


def _layout_notes(note: RelayNote | None) -> tuple[str, ...]:
    if note is None or note.layout == "unknown" or note.socket_layout == "unknown":
        return (
            "Go by the numbers moulded on relay and socket: in layout B 30 and 86 lie in each other's place",
            moulded_numbers("A", "A"),
            moulded_numbers("A", "B"),
        )
    return (moulded_numbers(note.socket_layout, note.layout),)


def _coil_notes(note: RelayNote | None) -> tuple[str, ...]:
    if note is None or note.suppression == "unknown":
        return ("Whether its coil is suppressed is not noted: a diode makes 86 plus",)
    plus = coil_plus_terminal(note.suppression)
    if plus is None:
        word = "no suppression" if note.suppression == "none" else "a resistor across its coil"
        return (f"It has {word}: its coil has no polarity",)
    return (f"It has a diode across its coil: {plus} is plus",)
