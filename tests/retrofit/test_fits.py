"""Two fits beside each other, against a general graph library, and joints that move."""

from __future__ import annotations

import networkx as nx
from hypothesis import given

from loomfolio.nets import MapRow, connector_map, derive
from loomfolio.project import LeadColour, PinKey
from loomfolio.retrofit import compare_fits
from support.make_fits import TARGET, VEHICLE, Drawn, branch_row, pin, vehicles_in_fits


def rows_of(drawn: Drawn) -> tuple[tuple[MapRow, ...], tuple[MapRow, ...]]:
    target, vehicle = (
        connector_map(derive(drawn.project, {}, fit=fit)) for fit in (TARGET, VEHICLE)
    )
    return target, vehicle


def graph_of(rows: tuple[MapRow, ...]) -> nx.Graph:
    return nx.Graph((row.a, row.b) for row in rows)


def edges_of(rows: object) -> set[frozenset[PinKey]]:
    return {frozenset((row.a, row.b)) for row in rows}  # type: ignore[attr-defined]


@given(vehicles_in_fits())
def test_leads_are_told_apart_as_a_graph_library_tells_edges_apart(drawn: Drawn) -> None:
    a, b = rows_of(drawn)
    found = compare_fits(a, b)
    graphs = graph_of(a), graph_of(b)
    for graph in graphs:
        graph.add_nodes_from({*graphs[0], *graphs[1]})
    shared = nx.intersection(*graphs)
    only_a, only_b = nx.difference(*graphs), nx.difference(*graphs[::-1])
    assert edges_of(mine for mine, _ in found.same) == set(map(frozenset, shared.edges))
    moved_a = [lead.a for lead in found.elsewhere]
    moved_b = [lead.b for lead in found.elsewhere]
    assert edges_of((*found.only_a, *moved_a)) == set(map(frozenset, only_a.edges))
    assert edges_of((*found.only_b, *moved_b)) == set(map(frozenset, only_b.edges))


@given(vehicles_in_fits())
def test_every_lead_stands_once_and_the_comparison_mirrors(drawn: Drawn) -> None:
    a, b = rows_of(drawn)
    there, back = compare_fits(a, b), compare_fits(b, a)
    assert len(there.same) + len(there.only_a) + len(there.elsewhere) == len(a)
    assert len(there.same) + len(there.only_b) + len(there.elsewhere) == len(b)
    assert len(back.elsewhere) == len(there.elsewhere)
    assert {(y, x) for x, y in back.same} == set(there.same)


@given(vehicles_in_fits())
def test_as_many_leads_as_can_be_are_told_as_going_elsewhere(drawn: Drawn) -> None:
    a, b = rows_of(drawn)
    found = compare_fits(a, b)
    rest_a = [*found.only_a, *(lead.a for lead in found.elsewhere)]
    rest_b = [*found.only_b, *(lead.b for lead in found.elsewhere)]
    pairs = nx.Graph()
    pairs.add_nodes_from(("a", i) for i in range(len(rest_a)))
    pairs.add_edges_from(
        (("a", i), ("b", j))
        for i, one in enumerate(rest_a)
        for j, other in enumerate(rest_b)
        if {one.a, one.b} & {other.a, other.b}
    )
    most = nx.bipartite.maximum_matching(pairs, top_nodes=[("a", i) for i in range(len(rest_a))])
    assert len(found.elsewhere) == len(most) // 2
    assert all(lead.stays in (lead.a.a, lead.a.b) for lead in found.elsewhere)


A27, A31, X14, E12, E13 = (
    pin("part-1", 1),
    pin("part-2", 1),
    pin("part-8", 1, "A"),
    pin("part-3", "85"),
    pin("part-3", "86"),
)


def joint(*pins: PinKey) -> tuple[MapRow, ...]:
    first, *others = sorted(pins, key=lambda p: p.sort_key)
    return tuple(branch_row(first, other) for other in others)


def test_a_joint_of_which_one_leg_moves_is_one_lead_that_goes_elsewhere() -> None:
    found = compare_fits(joint(A27, X14, E12), joint(A31, X14, E12))
    assert len(found.same) == len(found.elsewhere) == 1
    assert found.only_a == found.only_b == ()


def test_a_joint_listed_from_another_pin_is_the_same() -> None:
    found = compare_fits(joint(X14, E12, E13), joint(A27, X14, E12, E13))
    assert len(found.same) == 2
    assert found.only_a == ()
    (leg,) = found.only_b
    assert A27 in (leg.a, leg.b)


def test_of_two_ways_a_lead_could_have_moved_the_one_of_its_colour_is_taken() -> None:
    from dataclasses import replace

    red, brown = LeadColour(text="RD"), LeadColour(text="BN")

    def lead(a: PinKey, b: PinKey, colour: LeadColour) -> MapRow:
        return replace(branch_row(a, b), is_branch=False, colour=colour)

    found = compare_fits([lead(A27, X14, red)], [lead(A27, E12, brown), lead(A27, E13, red)])
    assert [lead.b.b for lead in found.elsewhere] == [E13]
    assert [row.b for row in found.only_b] == [E12]


def test_nothing_beside_nothing_is_nothing() -> None:
    found = compare_fits((), ())
    assert (found.same, found.only_a, found.only_b, found.elsewhere) == ((), (), (), ())
