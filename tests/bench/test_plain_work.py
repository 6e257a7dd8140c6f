"""What will be done, in the words of the vehicle's owner."""

from __future__ import annotations

from typing import get_args

import pytest

from loomfolio.bench.plain_work import plain_work
from loomfolio.retrofit import GapKind
from support.make_gaps import GapMaker, make_van_gaps


def test_open_gaps_of_the_van_read_as_work():
    van = make_van_gaps()
    assert plain_work(van.project, van.gaps[:6]) == (
        "Fit 1 part: relay K7.",
        "Make and lay up to 2 new wires.",
        "Fit one new plug.",
        "Put one new contact into a plug that is there.",
        "Have module BCM programmed for it.",
    )


def test_count_is_told_plainly_where_all_is_sure():
    maker = GapMaker()
    for number in (1, 2, 3):
        maker.gap("lead missing", "It is missing", f"E{number}:1")
    assert plain_work(maker.project, maker.gaps) == ("Make and lay 3 new wires.",)


def test_part_is_called_as_its_note_calls_it():
    van = make_van_gaps()
    parts = tuple(
        part.model_copy(update={"note": "20 A; the fuse itself with towing only"})
        for part in van.project.parts
    )
    project = van.project.model_copy(update={"parts": parts})
    assert plain_work(project, [van.gaps[4]]) == ("Fit 1 part: relay K7 (20 A).",)


@pytest.mark.parametrize("kind", get_args(GapKind))
def test_no_kind_of_gap_is_passed_over(kind):
    maker = GapMaker()
    maker.gap(kind, "Something", "E1:1")
    assert len(plain_work(maker.project, maker.gaps)) == 1


def test_no_pin_is_named():
    maker = GapMaker()
    for kind in get_args(GapKind):
        maker.gap(kind, "Something", "E1 C9:87a", "E2:87a")
    assert not any(
        "87a" in words or "C9" in words for words in plain_work(maker.project, maker.gaps)
    )


def test_part_with_two_lacks_is_named_once():
    maker = GapMaker()
    maker.gap("device missing", "E1 is missing", part="E1")
    maker.gap("device position of a lower grade", "E1 is moulding only", part="E1")
    assert plain_work(maker.project, maker.gaps) == ("Fit 1 part: device E1.",)


def test_nothing_to_do_is_nothing_to_say():
    assert plain_work(GapMaker().project, ()) == ()
