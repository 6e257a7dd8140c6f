"""Laws of gaps on drawn vehicles: mending them makes the target, nothing less, nothing more, in any order."""

from __future__ import annotations

from collections.abc import Iterable

from hypothesis import given, settings
from hypothesis import strategies as st

from loomfolio.project import HalfKey, Project
from loomfolio.retrofit import (
    Equipment,
    Gap,
    Node,
    Seen,
    VehicleState,
    apply_gaps,
    find_gaps,
    job_scope,
    vehicle_as_it_is,
)
from support.make_fits import (
    VEHICLE,
    A,
    B,
    Drawn,
    J,
    compared,
    equipment_in,
    is_told,
    nets_by_graph,
    vehicles_in_fits,
)

BAD_CAVITIES = {"empty", "plugged", "corroded", "not there"}
BAD_HEADERS = {"missing", "driver not populated", "needs coding"}


def lacks(drawn: Drawn, state: VehicleState) -> list[str]:
    """Say by brute force in what a vehicle is not what the target is."""
    target, vehicle = drawn.target, state.equipment
    found = [f"net {net}" for net in told_nets(target, target) ^ told_nets(vehicle, target)]
    found += [
        f"too much on {net}"
        for net in nets_by_graph(vehicle)
        if len({is_told(node, target) for node in net}) > 1
    ]
    found += [
        f"part {part}"
        for part, kind in target.part_kinds.items()
        if kind != "splice" and part not in vehicle.part_kinds
    ]
    found += [
        f"half {half}"
        for half in target.halves
        if half.part not in target.hubs and vehicle.halves.get(half) != "there"
    ]
    wired = {pin for ends in target.leads for pin in ends}
    bare = {p.part for p in state.seen.positions.values() if p.grade == "moulding only"}
    found += [
        f"cavity {pin}"
        for pin, entry in state.seen.cavities.items()
        if pin in wired and entry.state in BAD_CAVITIES and pin.part not in bare
    ]
    found += [
        f"position {part}"
        for part, entry in state.seen.positions.items()
        if part in target.part_kinds and entry.grade != "complete"
    ]
    found += [
        f"colour {ends}"
        for ends, lead in target.leads.items()
        if (mine := vehicle.leads.get(ends)) is not None
        and lead.colour is not None
        and mine.colour is not None
        and mine.colour != lead.colour
    ]
    return found


def told_nets(equipment: Equipment, documents: Equipment) -> set[frozenset[Node]]:
    """The nets of what these documents speak of."""
    nets = (
        frozenset(node for node in net if is_told(node, documents))
        for net in nets_by_graph(equipment)
    )
    return {net for net in nets if len(net) > 1}


def mended(drawn: Drawn, gaps: Iterable[Gap]) -> VehicleState:
    return apply_gaps(drawn.target, drawn.vehicle, gaps)


@settings(max_examples=300)
@given(vehicles_in_fits())
def test_mending_all_gaps_makes_the_target(drawn: Drawn) -> None:
    gaps = find_gaps(drawn.target, drawn.vehicle)
    assert lacks(drawn, mended(drawn, gaps)) == []
    assert find_gaps(drawn.target, mended(drawn, gaps)) == ()


@settings(max_examples=200)
@given(vehicles_in_fits())
def test_no_gap_is_more_than_needed(drawn: Drawn) -> None:
    gaps = find_gaps(drawn.target, drawn.vehicle)
    for left_out in gaps:
        rest = [gap for gap in gaps if gap is not left_out]
        assert lacks(drawn, mended(drawn, rest)) != [], left_out.sentence


@given(vehicles_in_fits())
def test_a_vehicle_that_is_what_the_target_is_has_no_gaps(drawn: Drawn) -> None:
    same = VehicleState(drawn.target)
    assert find_gaps(drawn.target, same) == ()


@given(vehicles_in_fits(), st.randoms(use_true_random=False))
def test_gaps_do_not_depend_on_the_order_of_the_records(drawn: Drawn, random: object) -> None:
    def mixed(records: tuple[object, ...]) -> tuple[object, ...]:
        return tuple(random.sample(records, len(records)))  # type: ignore[attr-defined]

    project = drawn.project
    lists = ("parts", "leads", "mates", "survey")
    other: Project = project.model_copy(
        update={name: mixed(getattr(project, name)) for name in lists}
    )
    turned = compared(other, mixed(drawn.branches))
    assert find_gaps(drawn.target, drawn.vehicle) == find_gaps(turned.target, turned.vehicle)


@given(vehicles_in_fits())
def test_every_gap_has_a_key_of_its_own_and_says_what_it_rests_on(drawn: Drawn) -> None:
    gaps = find_gaps(drawn.target, drawn.vehicle)
    assert len({gap.key for gap in gaps}) == len(gaps)
    assert all(gap.evidence and gap.sentence for gap in gaps)
    assert all((gap.sureness == "sure") == (not gap.decides) for gap in gaps)


@settings(max_examples=200)
@given(vehicles_in_fits(), st.sampled_from([A, B, J]))
def test_mending_the_gaps_in_scope_makes_the_target_within_the_scope(
    drawn: Drawn, part: str
) -> None:
    half = HalfKey(part=part, connector="" if part == J else "C1")
    scope = job_scope(drawn.target, drawn.vehicle.equipment, [half])
    gaps = find_gaps(drawn.target, drawn.vehicle, scope)
    after = mended(drawn, [gap for gap in gaps if gap.in_scope]).equipment

    def within(equipment: Equipment) -> set[frozenset[Node]]:
        nets = (net & scope for net in nets_by_graph(equipment))
        return {net for net in nets if len(net) > 1 and all(is_told(n, drawn.target) for n in net)}

    assert within(after) == within(drawn.target)


@given(vehicles_in_fits())
def test_scope_changes_no_gap_but_what_is_counted(drawn: Drawn) -> None:
    everywhere = find_gaps(drawn.target, drawn.vehicle)
    nowhere = find_gaps(drawn.target, drawn.vehicle, frozenset())
    assert len(nowhere) == len(everywhere)
    assert not any(gap.in_scope for gap in nowhere)


@settings(max_examples=200)
@given(vehicles_in_fits())
def test_what_the_survey_has_closed_is_found_by_looking_round_what_it_touched(drawn: Drawn) -> None:
    """Looking only there is what makes an edit of a whole vehicle quick; it must miss nothing."""
    found = {gap.key for gap in find_gaps(drawn.target, drawn.vehicle)}
    documented = equipment_in(drawn.project, VEHICLE, drawn.branches)
    unseen = vehicle_as_it_is(documented, Seen(), target=drawn.target)

    def closed(around: frozenset[Node] | None) -> list[Gap]:
        gaps = find_gaps(drawn.target, unseen, around=around)
        return [gap for gap in gaps if gap.key not in found]

    assert closed(drawn.vehicle.touched) == closed(None)
