"""Where things lie in a vehicle and what is chosen for its gaps, as data, and how it comes into a document.

Keys of gaps, offers and steps hold the ids of parts and cable groups; here they are written with names in braces:
`lead: {A27}/C2//1 {X90}///1`. Every place and length here is invented, and so is only stated.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from drawing.marks import Marker
from loomfolio.project import LeadColour, OperationKind, Vibration, edits


@dataclass(frozen=True, slots=True)
class Site:
    """A zone, what comes off before it can be worked in, and the parts in it."""

    name: str
    is_wet: bool
    ambient_c: float
    vibration: Vibration
    covers: tuple[str, ...]
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Run:
    """A way between two sites by their names."""

    a: str
    b: str
    length_m: float
    label: str
    opening_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """What is chosen for a gap, and what is set by hand; a colour of IEC 60757 where the lead has none."""

    gap: str
    offer: str
    kind: OperationKind
    note: str = ""
    distance_mm: float | None = None
    colour: str = ""
    fuse_a: float | None = None
    fuse_distance_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Errand:
    """A piece of general work in a site, with what comes before and after it."""

    title: str
    site: str
    after: tuple[str, ...] = ()
    before: tuple[str, ...] = ()
    hours: float = 0.0
    note: str = ""


@dataclass(frozen=True, slots=True)
class Workshop:
    """All that is stated of the work on a vehicle. `later` is chosen once everything has been looked at."""

    sites: tuple[Site, ...]
    runs: tuple[Run, ...]
    choices: tuple[Choice, ...]
    later: tuple[Choice, ...] = ()
    errands: tuple[Errand, ...] = field(default_factory=tuple)


def lay_out(marker: Marker, shop: Workshop) -> None:
    """Put zones, ways, places and general work into the document."""
    project, ids = marker.project, dict[str, str]()
    for site in shop.sites:
        project, ids[site.name] = edits.add_zone(
            project,
            name=site.name,
            is_wet=site.is_wet,
            ambient_c=site.ambient_c,
            vibration=site.vibration,
            covers=site.covers,
        )
        for part in site.parts:
            project = edits.place_thing(
                project, part=marker.part_id(part), zone=ids[site.name]
            ).project
    for run in shop.runs:
        project = edits.add_zone_way(
            project,
            zones=(ids[run.a], ids[run.b]),
            length_m=run.length_m,
            label=run.label,
            opening_mm=run.opening_mm,
        ).project
    marker.project = project
    names = _names(marker)
    for errand in shop.errands:
        marker.project = edits.add_work_step(
            marker.project,
            title=errand.title,
            zone=ids[errand.site],
            after=tuple(key.format_map(names) for key in errand.after),
            before=tuple(key.format_map(names) for key in errand.before),
            hours=errand.hours,
            note=errand.note,
        ).project


def choose(marker: Marker, choices: Sequence[Choice]) -> None:
    """Put what is chosen for each gap into the document."""
    names = _names(marker)
    for one in choices:
        marker.project = edits.choose_operation(
            marker.project,
            gap=one.gap.format_map(names),
            offer=one.offer.format_map(names),
            kind=one.kind,
            note=one.note,
            distance_mm=one.distance_mm,
            colour=_colour(one.colour),
            fuse_a=one.fuse_a,
            fuse_distance_mm=one.fuse_distance_mm,
        ).project


def _colour(code: str) -> LeadColour | None:
    return LeadColour(text=code, base=code, code_set="IEC 60757") if code else None


def _names(marker: Marker) -> Mapping[str, str]:
    project = marker.project
    return {record.name: record.id for record in (*project.parts, *project.groups)}
