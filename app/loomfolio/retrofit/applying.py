"""What a vehicle is when gaps are mended: the meaning of a gap, and what the tests of its laws are made of."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from loomfolio.project import CavityState, HalfKey, PinKey
from loomfolio.retrofit.nodes import ends_of
from loomfolio.retrofit.records import Ends, EquippedLead, Gap, Mend
from loomfolio.retrofit.seen import Seen, VehicleState
from loomfolio.retrofit.state import Equipment
from loomfolio.retrofit.whole_things import WholeThings, with_whole_things


def apply_gaps(target: Equipment, vehicle: VehicleState, gaps: Iterable[Gap]) -> VehicleState:
    """Return a vehicle with some of its gaps mended as the target has it; the order of the gaps is of no account.

    What was seen and is mended is taken out of the survey: a new terminal is not the corroded one.
    """
    mends = [gap.mend for gap in gaps]
    equipment = vehicle.equipment.speaking_of(target).telling_splices_apart(target)
    equipment = _with_wholes(target, equipment, mends)
    bars = dict(equipment.bars)
    for mend in mends:
        if mend.parted:
            label = bars.pop(mend.bar, "")
            bars.update({group: label for group in mend.parted if len(group) > 1})
        elif mend.bar:
            bars[mend.bar] = target.bars[mend.bar]
    gone = [ends for mend in mends for ends in mend.cut]
    new: dict[Ends, EquippedLead] = {}
    for mend in mends:
        new.update({ends: target.leads[ends] for ends in (*mend.joined, *mend.looks)})
        new.update({ends_of(*tap): _joint(target, tap) for tap in mend.tapped})
    leads = equipment.leads.changed(gone=gone, new=new)
    return replace(
        vehicle,
        equipment=replace(equipment, bars=bars, leads=leads),
        seen=_mended_survey(vehicle, mends),
    )


def _joint(target: Equipment, tap: Ends) -> EquippedLead:
    """A splice that was put into a lead, as a lead of no length to that lead's net."""
    near = next(lead for ends, lead in target.leads.items() if tap[0] in ends)
    return EquippedLead(pins=near.pins, source="joint")


def _with_wholes(target: Equipment, vehicle: Equipment, mends: Iterable[Mend]) -> Equipment:
    parts: list[str] = []
    halves: list[HalfKey] = []
    plugged: list[HalfKey] = []
    foreign: list[HalfKey] = []
    for mend in mends:
        if mend.part is not None and mend.part not in vehicle.part_kinds:
            parts.append(mend.part)
        if mend.half is not None:
            (plugged if mend.gone_halves else halves).append(mend.half)
        elif mend.gone_halves:
            foreign.extend(mend.gone_halves)
    whole = WholeThings(tuple(parts), tuple(halves), tuple(plugged), tuple(foreign))
    return with_whole_things(target, vehicle, whole)


def _mended_survey(vehicle: VehicleState, mends: Iterable[Mend]) -> Seen:
    """The survey without what the mends have changed."""
    seen = vehicle.seen
    filled: set[PinKey] = set()
    headers: set[PinKey] = set()
    parts: set[str] = set()
    halves: set[HalfKey] = set()
    new: set[HalfKey | str] = set()
    for mend in mends:
        filled.update(mend.cavity)
        headers.update([mend.header] if mend.header is not None else [])
        if mend.part is not None:
            parts.add(mend.part)
            new.update([mend.part] if _is_new(vehicle, mend.part) else [])
        if mend.half is not None:
            halves.add(mend.half)
            new.update([mend.half] if not mend.gone_halves else [])
    new_state: CavityState = "filled"
    return replace(
        seen,
        cavities={
            pin: entry.model_copy(update={"state": new_state}) if pin in filled else entry
            for pin, entry in seen.cavities.items()
            if pin.half_key not in new and pin.part not in new
        },
        headers={pin: entry for pin, entry in seen.headers.items() if pin not in headers},
        positions={part: e for part, e in seen.positions.items() if part not in parts},
        halves={half: e for half, e in seen.halves.items() if half not in halves},
    )


def _is_new(vehicle: VehicleState, part: str) -> bool:
    """Does a part come with new terminals? It does where there was nothing but its moulding."""
    entry = vehicle.seen.positions.get(part)
    is_bare = entry is not None and entry.grade == "moulding only"
    return is_bare or part not in vehicle.equipment.part_kinds
