"""From what was decided in working px to the contract: everything that belongs to a kept conductor."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import PxBox, PxPoint
from loomfolio.reading.bodies import Body
from loomfolio.reading.gaps import FreeEnds
from loomfolio.reading.junctions import Decision, Place, Question
from loomfolio.reading.records import (
    Conductor,
    Crossing,
    Doubt,
    Junction,
    Outline,
    PageSize,
    Reading,
)
from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.trace import Traced


def is_conductor(traced: Traced, settings: ReaderSettings) -> bool:
    """A conductor has ends, and is long enough to be drawn on purpose."""
    least = settings.pin_line_min_mm if traced.at_bodies else settings.conductor_min_mm
    return traced.ends > 0 and traced.length >= settings.px(least)


def reading_of(
    page: PageSize,
    scale: float,
    kept: Sequence[Traced],
    looks: Sequence[tuple[str | None, bool]],
    decisions: dict[int, Decision],
    free: FreeEnds,
    bodies: Sequence[Body],
) -> Reading:
    """Bring all to px of the given page; `looks` are colour and dashes of each kept conductor."""
    edges = {e for t in kept for e in t.edges}
    every = [decisions[n] for n in sorted(decisions)]
    bridges = [b for b in free.bridges if b.a[0] in edges]
    crossings = [p for d in every for p in d.crossings]
    crossings += [b.crossing for b in bridges if b.crossing]
    doubts = [p for d in every for p in d.doubts] + [b.doubt for b in bridges if b.doubt]
    doubts += list(free.doubts)
    used = set(free.at_body.values())
    return Reading(
        page=page,
        conductors=tuple(
            Conductor(
                id=number,
                lines=tuple(_polyline(line, scale) for line in t.lines),
                stroke_px=round(t.width / scale, 2),
                dashed=dashed,
                colour=colour,
            )
            for number, (t, (colour, dashed)) in enumerate(zip(kept, looks, strict=True), 1)
        ),
        junctions=tuple(Junction(**_at(p, scale), kind=p.kind) for d in every for p in d.junctions),
        crossings=tuple(Crossing(**_at(p, scale), kind=p.kind) for p in crossings),
        bodies=tuple(
            Outline(box=PxBox(*(round(v / scale, 2) for v in b.box)))
            for k, b in enumerate(bodies)
            if b.given or k in used
        ),
        doubts=tuple(Doubt(**_at(p, scale), kind=p.kind, taken=p.taken) for p in doubts),
    )


def _at(place: Place[Any] | Question, scale: float) -> dict[str, float]:
    return {"x": round(place.x / scale, 2), "y": round(place.y / scale, 2)}


def _polyline(line: NDArray[np.float64], scale: float) -> tuple[PxPoint, ...]:
    return tuple(PxPoint(round(float(x) / scale, 2), round(float(y) / scale, 2)) for x, y in line)
