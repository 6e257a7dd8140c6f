"""Ties with offsets, and edges on no ring, against an independent library of graphs."""

from __future__ import annotations

import random

import networkx as nx
import pytest

from loomfolio.electrics.graphs import Ties, bridges, neighbours


def test_heights_add_up_along_ties():
    ties = Ties()
    ties.tie("b", "a", 12.0)
    ties.tie("c", "b", 3.0)
    ties.tie("d", "c", -1.0)
    heights = {node: ties.height(node) for node in "abcd"}

    assert len({root for root, _ in heights.values()}) == 1
    above_a = {node: height - heights["a"][1] for node, (_, height) in heights.items()}
    assert above_a == {"a": 0, "b": 12, "c": 15, "d": 14}


def test_a_long_row_of_ties_keeps_its_heights_when_asked_again():
    ties = Ties()
    for n in range(200):
        ties.tie(f"n{n + 1}", f"n{n}", 0.5)
    first = [ties.height(f"n{n}") for n in range(201)]

    assert first == [ties.height(f"n{n}") for n in range(201)]
    assert first[200][1] - first[0][1] == pytest.approx(100)


def test_a_tie_that_agrees_is_at_odds_by_nothing():
    ties = Ties()

    assert ties.tie("b", "a", 12.0) == 0
    assert ties.tie("b", "a", 12.0) == 0
    assert ties.tie("a", "b", -12.0) == 0
    assert ties.tie("a", "a", 0.0) == 0


def test_a_tie_that_contradicts_says_by_how_much():
    ties = Ties()
    ties.tie("b", "a", 12.0)

    assert abs(ties.tie("b", "a", 13.0)) == 1


def test_an_untied_node_stands_for_itself():
    assert Ties().height("x") == ("x", 0.0)


@pytest.mark.parametrize(
    ("edges", "expected"),
    [
        pytest.param([], set(), id="nothing"),
        pytest.param([("a", "b")], {0}, id="one edge"),
        pytest.param([("a", "b"), ("b", "a")], set(), id="two side by side"),
        pytest.param([("a", "a")], set(), id="from a node to itself"),
        pytest.param(
            [("a", "b"), ("b", "c"), ("c", "a"), ("c", "d")], {3}, id="a ring with a tail"
        ),
        pytest.param([("a", "b"), ("c", "d")], {0, 1}, id="two pieces"),
    ],
)
def test_bridges_lie_on_no_ring(edges, expected):
    assert bridges(edges) == expected


def test_bridges_are_those_of_an_independent_search():
    rng = random.Random(7)
    for _ in range(60):
        nodes = range(rng.randint(2, 14))
        graph = nx.Graph()
        edges = [(rng.choice(nodes), rng.choice(nodes)) for _ in range(rng.randint(1, 18))]
        edges = list(dict.fromkeys(tuple(sorted(edge)) for edge in edges if edge[0] != edge[1]))
        graph.add_edges_from(edges)
        expected = {tuple(sorted(edge)) for edge in nx.bridges(graph)}

        assert {edges[number] for number in bridges(edges)} == expected


def test_neighbours_name_edge_and_other_end():
    assert neighbours([("a", "b"), ("b", "c")]) == {
        "a": [(0, "b")],
        "b": [(0, "a"), (1, "c")],
        "c": [(1, "b")],
    }
