"""What is followed: ways, pieces, and finding them again when the document has changed."""

from dataclasses import replace

import pytest

from loomfolio.desk.following import Following
from loomfolio.nets import Piece, Way, WayStep
from support.make_desk import pin


def make_step(label, *states, number=None):
    pieces = tuple(
        Piece("join", f"{label} {i}", is_confirmed=state) for i, state in enumerate(states)
    )
    key = pin("TCU", number, "C1") if number else None
    return WayStep(
        what="pin", label=label, relation="joined", pin=key, net=0, place=None, pieces=pieces
    )


def make_following(*ways):
    return Following(pin("TCU", "1", "C1"), tuple(Way(tuple(w), "end") for w in ways))


THREE = (make_step("a", True), make_step("b", False, False), make_step("c", False))


def test_a_pin_that_goes_nowhere_has_no_way_and_no_piece():
    nowhere = make_following()
    assert nowhere.way is None
    assert nowhere.step is None
    assert nowhere.open_piece is None
    assert nowhere.open_count == 0
    assert nowhere.at_way(3) is nowhere
    assert nowhere.at_next_open() is nowhere
    assert nowhere.at_step(2).step_number == 0


def test_open_pieces_are_counted_over_the_whole_way():
    assert make_following(THREE).open_count == 3


@pytest.mark.parametrize(("start", "lands"), [(0, 1), (1, 1), (2, 2)])
def test_the_next_open_piece_is_ahead_or_here(start, lands):
    assert make_following(THREE).at_step(start).at_next_open().step_number == lands


def test_after_the_last_open_piece_comes_the_first():
    steps = (make_step("a", False), make_step("b", True))
    assert make_following(steps).at_step(1).at_next_open().step_number == 0


def test_a_confirmed_way_stays_where_it_is():
    steps = (make_step("a", True), make_step("b", True))
    assert make_following(steps).at_step(1).at_next_open().step_number == 1


@pytest.mark.parametrize(("wished", "held"), [(-5, 0), (1, 1), (99, 2)])
def test_steps_are_held_at_both_ends(wished, held):
    assert make_following(THREE).at_step(wished).step_number == held


def test_after_the_last_way_comes_the_first_from_its_first_piece():
    two = make_following(THREE, THREE).at_step(2)
    assert two.at_way(1).way_number == 1
    assert two.at_way(1).step_number == 0
    assert two.at_way(2).way_number == 0


def test_the_same_way_is_found_again_among_others():
    left = (make_step("a", number="1"), make_step("b", number="2"))
    right = (make_step("a", number="1"), make_step("c", number="3"))
    following = make_following(left, right).at_way(1).at_step(1)
    again = following.over(
        [Way((right[0], replace(right[1], note="changed")), "end"), Way(left, "end")]
    )
    assert again.step.label == "c"
    assert again.way_number == 0


def test_no_way_left_is_no_way_shown():
    assert make_following(THREE).at_step(2).over([]).way is None


def test_a_shorter_way_holds_the_piece_at_its_end():
    assert make_following(THREE).at_step(2).over([Way(THREE[:1], "end")]).step_number == 0
