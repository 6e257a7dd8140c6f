"""Half-split: within one probe of the best there is, by exhaustive search, and the piece is always named."""

from __future__ import annotations

from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.basics import UsageError
from loomfolio.bench.proof.fault_finding import (
    fuse_blows_search,
    no_communication_search,
    short_search,
    way_search,
)
from loomfolio.bench.proof.half_split import Check, Search, Suspect
from loomfolio.bench.proof.records import Conditions, Limit, ProofTest
from support.make_metal import MetalMaker


def chain(weights, costs=None):
    """A way of pieces `0`, `1`, …; after each but the last one can be probed."""
    names = [str(number) for number in range(len(weights))]
    suspects = tuple(
        Suspect(name, name, weight) for name, weight in zip(names, weights, strict=True)
    )
    checks = tuple(
        Check(f"after {number}", "", frozenset(names[: number + 1]), cost)
        for number, cost in enumerate(costs or [1.0] * (len(weights) - 1))
    )
    return Search(suspects, checks)


def fewest_expected(weights):
    """The least number of probes to be expected on a way, by trying every tree (written for this test)."""
    if len(weights) <= 1:
        return 0.0
    sums = list(accumulate(weights))
    total = sums[-1]
    return 1 + min(
        (
            sums[cut] * fewest_expected(weights[: cut + 1])
            + (total - sums[cut]) * fewest_expected(weights[cut + 1 :])
        )
        / total
        for cut in range(len(weights) - 1)
    )


def probes_until_named(search, culprit):
    """Walk as a person does: make the check that is proposed, answer by where the fault is."""
    answers, count = {}, 0
    while (check := search.after(answers).next_check) is not None:
        answers[check.key] = culprit not in check.side
        count += 1
    (named,) = search.after(answers).suspects
    assert named.key == culprit
    return count


WEIGHTS = st.lists(st.sampled_from([1.0, 2.0, 3.0, 5.0]), min_size=1, max_size=7)


@given(WEIGHTS)
def test_a_way_costs_no_more_probes_than_the_best_tree(weights):
    search = chain(weights)
    walked = sum(w * probes_until_named(search, str(n)) for n, w in enumerate(weights))
    assert walked / sum(weights) == pytest.approx(fewest_expected(weights))


@given(WEIGHTS, st.data())
def test_with_reach_weighed_in_it_stays_within_one_probe_of_the_best(weights, data):
    costs = [data.draw(st.sampled_from([1.0, 1.3])) for _ in weights[1:]]
    search = chain(weights, costs)
    walked = sum(w * probes_until_named(search, str(n)) for n, w in enumerate(weights))
    assert walked / sum(weights) <= fewest_expected(weights) + 1


def test_a_long_way_is_halved():
    search = chain([1.0] * 400)
    assert search.next_check.key in {"after 198", "after 199", "after 200"}
    assert probes_until_named(search, "123") <= 10


def test_the_new_joint_is_looked_at_first():
    assert chain([1, 1, 5, 1]).next_check.key in {"after 1", "after 2"}


def test_of_two_alike_the_one_within_reach_is_taken():
    assert chain([1, 1, 1], [1.3, 1.0]).next_check.key == "after 1"


def test_answers_that_contradict_each_other_rule_out_nothing():
    search = chain([1, 1, 1])
    assert search.after({"after 0": False, "after 1": True}) == search


def test_what_no_check_tells_apart_stays_together():
    search = Search((Suspect("a", "a"), Suspect("b", "b")), ())
    assert search.is_named
    assert len(search.suspects) == 2


# ----------------------------------------------------------------------------------- from the metal

LONG = MetalMaker(
    "M1:1-X1:1 new",
    "X1:1~X2:1",
    "X2:1-S1 new",
    "S1-M2:1 new",
    "X2:2-L1:1",
)


def test_an_open_way_is_probed_where_one_can_get_at_it():
    metal, points = LONG.metal, LONG.points
    search = way_search(metal.nets[0], LONG.node("M1:1"), LONG.node("M2:1"), metal, points)
    assert [check.text for check in search.checks] == [
        "M1:1 to X1:1, back-probed from the wire side, left mated",
        "M1:1 to X2:1, back-probed from the wire side, left mated",
    ]
    assert [s.weight for s in search.suspects] == [3.0, 2.0, 5.0, 5.0]
    assert search.suspects[0].text == "the new lead from M1:1 to X1:1, its ends included"


def test_two_points_of_different_nets_have_no_way():
    with pytest.raises(UsageError, match="no common lead"):
        way_search(
            LONG.metal.nets[0], LONG.node("M1:1"), LONG.node("L1:1"), LONG.metal, LONG.points
        )


def test_a_short_is_parted_at_the_contact_and_at_each_part():
    search = short_search(LONG.metal.nets[0], LONG.node("M1:1"), LONG.metal, LONG.points)
    parted = next(check for check in search.checks if check.key.startswith("part mate"))
    lead = next(s.key for s in search.suspects if "from X2:1" in s.text)
    assert {lead, "part " + LONG.node("M2:1").part} <= parted.side
    assert {check.text for check in search.checks if check.key.startswith("unplug")} == {
        "Unplug M1 and nothing else, read again",
        "Unplug M2 and nothing else, read again",
    }


def test_a_blown_fuse_suspects_what_hangs_behind_it():
    maker = MetalMaker("B1:1-F1:1", "F1:2-L1:1 new", "F1:2-M1:1")
    search = fuse_blows_search(maker.node("F1:1").part, maker.metal, maker.points)
    texts = [suspect.text for suspect in search.suspects]
    assert texts == [
        "the new lead from F1:2 to L1:1, its ends included",
        "the lead from F1:2 to M1:1, its ends included",
        "L1 itself",
        "M1 itself",
    ]
    assert search.next_check is not None


def test_a_silent_bus_is_split_into_supply_leads_and_ends():
    maker = MetalMaker("M1:1-M2:1 new", "M1:2-M2:2 new")
    a, b = (maker.points.at(maker.node(pin)) for pin in ("M2:1", "M2:2"))
    pair = ProofTest("bus", "bus ends", "", Conditions(), Limit(), a=a, b=(b,))
    search = no_communication_search(pair, maker.metal, maker.points)
    for culprit in ("supply", "ground", "crossed"):
        probes_until_named(search, culprit)
