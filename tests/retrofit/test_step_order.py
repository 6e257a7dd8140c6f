"""The order of steps: every before and after is kept, and a person's own order breaks no more than it must."""

from __future__ import annotations

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.retrofit.work.step_order import Before, Place, in_order

COUNT = 9
KEYS = [f"step {n}" for n in range(COUNT)]
pairs = st.tuples(st.integers(0, COUNT - 1), st.integers(0, COUNT - 1)).filter(
    lambda pair: pair[0] != pair[1]
)


@st.composite
def rules(draw) -> list[Before]:
    """Rules without a ring: along a drawn order of the steps."""
    order = draw(st.permutations(range(COUNT)))
    chosen = draw(st.lists(pairs, max_size=16))
    found = (sorted(pair, key=order.index) for pair in chosen)
    return [Before(KEYS[a], KEYS[b], f"rule {a} {b}") for a, b in found]


wishes = st.lists(pairs.map(lambda p: Before(KEYS[p[0]], KEYS[p[1]], "wish")), max_size=4)
places = st.lists(
    st.tuples(st.integers(0, 3), st.sampled_from([None, "a", "b"])),
    min_size=COUNT,
    max_size=COUNT,
).map(lambda rows: [Place(k, r, z) for k, (r, z) in zip(KEYS, rows, strict=True)])


@given(places, rules())
def test_without_wishes_every_rule_holds_and_none_is_broken(where, asked):
    done = in_order(where, asked, [])
    assert sorted(done.keys) == sorted(KEYS)
    assert done.broken == ()
    at = {key: number for number, key in enumerate(done.keys)}
    assert all(at[rule.first] < at[rule.then] for rule in asked)


@given(places, rules(), wishes)
def test_a_wish_holds_and_what_it_breaks_is_told_and_nothing_else_goes(where, asked, own):
    done = in_order(where, asked, own)
    at = {key: number for number, key in enumerate(done.keys)}
    assert sorted(done.keys) == sorted(KEYS)
    assert all(at[rule.first] < at[rule.then] for rule in done.rules)
    if own:
        assert at[own[-1].first] < at[own[-1].then]
    told = {(r.first, r.then) for r in (*done.rules, *done.broken)}
    assert {(rule.first, rule.then) for rule in asked} <= told


@given(places, rules(), pairs)
def test_a_wish_that_contradicts_no_rule_breaks_none(where, asked, pair):
    graph = nx.DiGraph()
    graph.add_nodes_from(KEYS)
    graph.add_edges_from((rule.first, rule.then) for rule in asked)
    first, then = (KEYS[n] for n in pair)
    done = in_order(where, asked, [Before(first, then, "wish")])
    assert bool(done.broken) == nx.has_path(graph, then, first)


@given(places, rules(), st.randoms())
def test_the_order_in_which_steps_and_rules_are_given_changes_nothing(where, asked, random):
    turned, told = list(where), list(asked)
    random.shuffle(turned)
    random.shuffle(told)
    assert in_order(where, asked, []).keys == in_order(turned, told, []).keys


def test_one_stays_in_a_zone_while_there_is_work_in_it():
    where = [Place("a1", 1, "a"), Place("b1", 1, "b"), Place("a2", 2, "a"), Place("b2", 1, "b")]
    assert in_order(where, [], []).keys == ("a1", "a2", "b1", "b2")
