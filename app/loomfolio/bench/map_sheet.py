"""The connector map for the bench: connector by connector, each lead at both of its ends."""

from __future__ import annotations

from collections.abc import Sequence

from loomfolio.bench.frame import Frame
from loomfolio.bench.joints import branch_name
from loomfolio.bench.leads import BenchLead, pin_words
from loomfolio.bench.printed import MapGroup, MapSheet, PrintedLead, printed_wire
from loomfolio.bench.sheet_words import sheet_numbers
from loomfolio.project import HalfKey, PinKey, Project, half_text, natural_order


def map_sheet(
    project: Project, leads: Sequence[BenchLead], frame: Frame, *, beyond: int = 0
) -> MapSheet:
    """Return the map as it is printed: connectors by name, splices last, pins as one counts them.

    `beyond` counts the leads that are left to the files.
    """
    ends: dict[HalfKey, list[tuple[PinKey, BenchLead]]] = {}
    for lead in leads:
        for pin in lead.pins:
            ends.setdefault(pin.half_key, []).append((pin, lead))
    halves = sorted(ends, key=lambda half: _half_order(project, half))
    groups = tuple(_group(project, half, ends[half]) for half in halves)
    return MapSheet(frame, groups, beyond)


def _half_order(project: Project, half: HalfKey) -> tuple[object, ...]:
    is_splice = project.part(half.part).kind == "splice"
    return (is_splice, natural_order(half_text(project, half)))


def _group(project: Project, half: HalfKey, ends: Sequence[tuple[PinKey, BenchLead]]) -> MapGroup:
    in_order = sorted(ends, key=lambda end: (natural_order(end[0].pin), end[1].number))
    return MapGroup(
        title=half_text(project, half),
        kind=project.part(half.part).kind,
        leads=tuple(_printed(project, pin, lead) for pin, lead in in_order),
    )


def _printed(project: Project, pin: PinKey, lead: BenchLead) -> PrintedLead:
    far = lead.other(pin)
    return PrintedLead(
        number=str(lead.number),
        pin=pin_words(project, pin),
        far=pin_words(project, far) if far else None,
        joint=branch_name(project, lead.row.a) if lead.row.is_branch else "",
        wire=printed_wire(lead.row.colour, lead.row.area_mm2),
        net=lead.row.net_name,
        length="",
        sheets=sheet_numbers(project, lead.row.sheets),
        is_released=lead.row.is_released,
    )
