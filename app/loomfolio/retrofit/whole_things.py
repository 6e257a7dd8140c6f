"""What is there as a whole: parts, halves, plugs that stand in the way, and what they bring with them.

These steps come before any lead: a half that is put in mates with the half that it faces, and a part
brings its halves and its bars.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from loomfolio.project import HalfKey, HalfState, PinKey
from loomfolio.retrofit.blocks import on_paths_between
from loomfolio.retrofit.state import Bar, Equipment

PLUGGED: frozenset[HalfState] = frozenset({"dummy plug", "bridge plug"})


@dataclass(frozen=True)
class WholeThings:
    """Parts and halves to be put in, plugs to be taken off, and halves that the target does not have."""

    parts: tuple[str, ...] = ()
    halves: tuple[HalfKey, ...] = ()
    plugged: tuple[HalfKey, ...] = ()
    foreign: tuple[HalfKey, ...] = ()


NOTHING = WholeThings()


def whole_things(target: Equipment, vehicle: Equipment) -> WholeThings:
    """Return what is not there as a whole, or is there and must go."""
    parts = [
        part
        for part, kind in target.part_kinds.items()
        if part not in vehicle.part_kinds and kind != "splice"
    ]
    gone = set(parts)
    halves = [
        half
        for half in target.halves
        if half not in vehicle.halves
        and half.part not in gone
        and target.hubs.get(half.part) is None
    ]
    plugged = [half for half in target.halves if vehicle.halves.get(half) in PLUGGED]
    return WholeThings(
        parts=tuple(sorted(parts)),
        halves=tuple(sorted(halves, key=_half_order)),
        plugged=tuple(sorted(plugged, key=_half_order)),
        foreign=tuple(sorted(_foreign(target, vehicle), key=_half_order)),
    )


def _half_order(half: HalfKey) -> tuple[str, str, str]:
    return (half.part, half.connector, half.half)


def _foreign(target: Equipment, vehicle: Equipment) -> set[HalfKey]:
    """Halves that the target does not have, and that stand in the way.

    They sit on a half that the target mates otherwise (a dummy plug), or they join pins that the target
    keeps apart (a bridge).
    """
    mated = {half for halves in target.mates for half in halves}
    found: set[HalfKey] = set()
    for halves in vehicle.mates:
        for mine, other in (halves, halves[::-1]):
            is_foreign = mine in vehicle.halves and mine not in target.halves
            if is_foreign and other in target.halves:
                pins = [pin for pair in vehicle.mates[halves] for pin in pair]
                own = [pin for pin in pins if pin.half_key == mine]
                if other in mated or any(_bridges(target, vehicle, pin) for pin in own):
                    found.add(mine)
    return found


def _bridges(target: Equipment, vehicle: Equipment, start: PinKey) -> bool:
    """Does what the target does not know join, from this pin on, pins that it keeps apart?"""
    seen = {start}
    rest = [start]
    touched: list[PinKey] = []
    for node in rest:
        if target.knows(node):
            touched.append(node)
            continue
        beyond = [*vehicle.mated_at.get(node, ())]
        beyond += [pin for bar in vehicle.bars_at.get(node, ()) for pin in bar]
        for other in beyond:
            if other not in seen:
                seen.add(other)
                rest.append(other)
    return len(set(touched) - set(on_paths_between(touched, target.neighbours))) > 0


def with_whole_things(target: Equipment, vehicle: Equipment, steps: WholeThings) -> Equipment:
    """Return a vehicle with parts, halves and plugs put right, as the target has them."""
    new_parts = set(steps.parts)
    halves: dict[HalfKey, HalfState] = {
        half: state for half, state in vehicle.halves.items() if half not in set(steps.foreign)
    }
    halves.update(dict.fromkeys((*steps.halves, *steps.plugged), "there"))
    halves.update({half: "there" for half in target.halves if half.part in new_parts})
    bridged = {half for half in steps.plugged if vehicle.halves[half] == "bridge plug"}
    gone = bridged | set(steps.foreign)
    bars = {bar: name for bar, name in vehicle.bars.items() if not _lies_in(bar, name, gone)}
    bars.update({bar: n for bar, n in target.bars.items() if bar[0].part in new_parts})
    kinds = {**vehicle.part_kinds, **{part: target.part_kinds[part] for part in steps.parts}}
    return replace(
        vehicle, part_kinds=kinds, halves=halves, bars=bars, mates=_mates(target, vehicle)
    )


def _lies_in(bar: Bar, label: str, halves: Collection[HalfKey]) -> bool:
    """Does a bar belong to a plug that is taken off? A bridge plug's bar has the plug's name."""
    own = {pin.half_key for pin in bar}
    return bool(own & set(halves)) and (label == "bridge plug" or own <= set(halves))


def _mates(
    target: Equipment, vehicle: Equipment
) -> dict[tuple[HalfKey, HalfKey], tuple[tuple[PinKey, PinKey], ...]]:
    """Which halves meet is told by the target where it knows both, else by the vehicle's own documents."""
    own = {
        halves: pairs
        for halves, pairs in vehicle.mates.items()
        if not all(half in target.halves for half in halves)
    }
    return {**target.mates, **own}
