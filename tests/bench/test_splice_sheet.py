"""What is open at a lead, gathered so that a person reads each thing once."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from loomfolio.bench.splice_sheet import gathered


def test_same_sentence_at_several_places_is_said_once():
    crossings = [
        f"On sheet 4 lines cross at {place} mm, taken as apart" for place in ("9, 7", "8, 6")
    ]
    assert gathered([*crossings, "The mate A to B is not confirmed"]) == (
        "On sheet 4 lines cross at 9, 7; 8, 6 mm, taken as apart",
        "The mate A to B is not confirmed",
    )


def test_sentences_that_differ_in_more_stay_apart():
    both = ("On sheet 4 lines cross at 9, 7 mm", "On sheet 5 lines cross at 9, 7 mm")
    assert gathered(both) == both


def test_nothing_open_is_nothing_said():
    assert gathered(()) == ()


@given(st.lists(st.tuples(st.integers(1, 3), st.integers(0, 99), st.integers(0, 99)), unique=True))
def test_no_place_is_lost(crossings):
    said = "".join(gathered([f"On sheet {n}: {x}, {y} mm" for n, x, y in crossings]))
    assert said.count(",") == len(crossings)
    assert all(f"{x}, {y}" in said for _, x, y in crossings)
