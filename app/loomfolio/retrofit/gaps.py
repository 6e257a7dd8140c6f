"""Gaps: what the target fit has and this vehicle lacks, or has in excess.

Laws (tests hold them against brute force): applying the gaps to the vehicle makes it what the target is,
nothing less, nothing more; neither the order of records nor the names of connectors in the vehicle's documents
change them. A lead that goes elsewhere is one gap, a missing bar is one, a pair made as one cable is one.
What is undetermined is a gap that says so and is to be looked at.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from loomfolio.retrofit.difference import difference
from loomfolio.retrofit.evidence import Sides
from loomfolio.retrofit.lead_gaps import LeadGaps
from loomfolio.retrofit.records import Gap, GapKind, Node
from loomfolio.retrofit.seen import VehicleState
from loomfolio.retrofit.state import Equipment
from loomfolio.retrofit.thing_gaps import ThingGaps

_KINDS: tuple[GapKind, ...] = (
    "device missing",
    "device position of a lower grade",
    "connector missing",
    "dummy plug or bridge must go",
    "pin missing in header",
    "section or driver not populated",
    "needs coding",
    "terminal missing",
    "bar missing",
    "cable group missing",
    "lead missing",
    "branch missing",
    "lead goes elsewhere",
    "extra lead",
    "other colour",
    "other area",
)
_KIND_ORDER = {kind: rank for rank, kind in enumerate(_KINDS)}


def find_gaps(
    target: Equipment,
    vehicle: VehicleState,
    scope: Collection[Node] | None = None,
    *,
    around: Collection[Node] | None = None,
) -> tuple[Gap, ...]:
    """Return the gaps between a vehicle as it is and the target, those in scope first.

    Parameters
    ----------
    scope
        The pins, splices and ground points that the job is about; None takes all of them in.
    around
        Look for gaps in leads and bars only where they hang together with these nodes.
    """
    told_apart = vehicle.equipment.speaking_of(target).telling_splices_apart(target)
    sides = Sides(target, replace(vehicle, equipment=told_apart))
    steps = difference(sides.target, sides.vehicle, preferred=scope, around=around)
    found = [
        *ThingGaps(sides, steps, scope).gaps(),
        *LeadGaps(sides, steps, scope, around).gaps(),
    ]
    return tuple(sorted(found, key=lambda gap: (not gap.in_scope, _KIND_ORDER[gap.kind], gap.key)))
