"""Fuses: before each new lead, no larger than the lead stands, large enough for the load, and rated."""

from __future__ import annotations

import math
from collections.abc import Iterator

from loomfolio.electrics import Bound, Figure, given
from loomfolio.retrofit.live.conduction import InnerEdge
from loomfolio.retrofit.rules.feeding import UNRATED
from loomfolio.retrofit.rules.judged import Judged, TargetLead
from loomfolio.retrofit.rules.records import Found, about, rule

_GUIDE = "Body builder manual of a light commercial vehicle, 2015: areas at 40 °C"
_SMALLEST_A = 5.0
"""The smallest fuse of the table; a lead thinner than its smallest area is asked about above this rating."""


@rule(
    key="fuse: missing",
    title="Every pick-up of a supply is fused",
    reason="A short in the lead has the whole battery behind it.",
    source="Cautions and splice rules (practice)",
)
def missing(judged: Judged) -> Iterator[Found]:
    """A new lead on a net that a supply feeds with no fuse before it."""
    for lead in judged.new_leads:
        is_fed = judged.feeds.protection_a.get(lead.net) == math.inf
        if is_fed and lead.net not in judged.feeds.chassis and not _is_in_fuse_box(judged, lead):
            yield Found(
                f"The new lead {judged.lead_text(lead)} is fed with no fuse before it",
                about(*lead.ends),
                lead.pins,
            )


def _is_in_fuse_box(judged: Judged, lead: TargetLead) -> bool:
    """A lead that goes to the fuse itself is what the fuse is there for."""
    return any(judged.part(pin).kind == "fuse" for pin in lead.pins)


@rule(
    key="fuse: area",
    title="The fuse protects the lead",
    reason="A lead that is thinner than its fuse allows burns before the fuse opens.",
    source=_GUIDE,
)
def too_large(judged: Judged) -> Iterator[Found]:
    """A new lead behind a fuse that is larger than the one which the table pairs with its area."""
    for lead in judged.new_leads:
        rating = judged.feeds.protection_a.get(lead.net, UNRATED)
        area = lead.lead.area_mm2
        if not UNRATED < rating < math.inf or area is None:
            continue
        if judged.is_of_class(lead.net, "high voltage") or lead.net in judged.feeds.chassis:
            continue
        limit = _largest_fuse(judged, area)
        bound = Bound("fuse before the lead", given("fuse", rating, "A"), limit, "at most")
        if not bound.is_met:
            yield Found(
                f"The new lead {judged.lead_text(lead)} of {area:g} mm² lies behind {rating:g} A;"
                f" {limit.value:g} A would protect it",
                about(*lead.ends),
                lead.pins,
                bound=bound,
            )


def _largest_fuse(judged: Judged, area_mm2: float) -> Figure:
    rows = [row for row in judged.tables.fuse_area_guide if row.area_mm2 <= area_mm2]
    if not rows:
        return Figure("fuse", _SMALLEST_A, "A", "the smallest of the table", ())
    row = max(rows, key=lambda one: one.fuse_rating_a)
    return Figure(f"fuse for {row.area_mm2:g} mm²", row.fuse_rating_a, "A", source=row.source)


@rule(
    key="fuse: rating",
    title="A fuse has a rating",
    reason="Nobody can say what a fuse protects while its rating is not known.",
    source="Common practice, no source",
    severity="look",
)
def unrated(judged: Judged) -> Iterator[Found]:
    """A fuse of the target of which nobody noted the rating, where something new hangs behind it."""
    new = {lead.net for lead in judged.new_leads}
    for edge in _fuses(judged):
        if edge.part not in judged.feeds.fuses and new & judged.feeds.fed_through(edge):
            yield Found(f"The rating of {edge.name} is not noted", edge.part, (edge.a, edge.b))


@rule(
    key="fuse: load",
    title="A fuse carries its load for ever",
    reason="A fuse near its rating opens on a warm day with nothing wrong.",
    source="Fuse rating over expected continuous load (practice)",
)
def overloaded(judged: Judged) -> Iterator[Found]:
    """A fuse whose noted loads together ask for a larger one."""
    spare = judged.tables.fuse_facts["fuse rating over expected continuous load"].figure
    for edge in _fuses(judged):
        note = judged.feeds.fuses.get(edge.part)
        loads = judged.feeds.drawn_through(edge)
        if note is None or not loads:
            continue
        drawn = tuple(
            given(f"load at {judged.pin(load.pin)}", load.current_a * load.duty_share, "A")
            for load in loads
        )
        total = math.fsum(one.value for one in drawn)
        least = Figure("least rating", total * spare.value, "A", "Σ loads · spare", (*drawn, spare))
        rating = given(f"rating of {edge.name}", note.rating_a, "A")
        bound = Bound("rating of the fuse", rating, least, "at least")
        if not bound.is_met:
            yield Found(
                f"{edge.name} of {note.rating_a:g} A carries {total:.3g} A; {least.value:.3g} A at"
                " least are asked for",
                edge.part,
                (edge.a, edge.b),
                bound=bound,
            )


def _fuses(judged: Judged) -> Iterator[InnerEdge]:
    for edge in judged.feeds.edges:
        if judged.parts[edge.part].kind == "fuse":
            yield edge
