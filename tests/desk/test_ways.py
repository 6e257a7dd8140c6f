"""Following from the desk: keys walk, confirm and stop; the table is led to each place."""

import pytest

from loomfolio.desk.ways import Ways
from loomfolio.project import Known
from support.make_desk import pin


@pytest.fixture
def shown():
    return []


@pytest.fixture
def places():
    return []


@pytest.fixture
def ways(workbench, steps, shown, places, told):
    return Ways(workbench, steps, shown.append, places.append, told.append)


START = pin("TCU", "2", "C1")


def test_following_shows_the_way_and_leads_to_what_is_open(ways, shown, places):
    ways.follow(START)
    assert shown[-1].pin == START
    assert places[-1] == ways.following.open_piece.place


def test_one_key_per_piece_releases_the_lead(ways, workbench):
    ways.follow(START)
    for _ in range(ways.following.open_count):
        ways.confirm()
    assert ways.following.open_count == 0
    row = next(r for r in workbench.state.rows if START in (r.a, r.b))
    assert row.is_released


def test_confirming_a_finished_way_says_that_it_is_finished(ways, told):
    ways.follow(START)
    while ways.following.open_count:
        ways.confirm()
    ways.confirm()
    assert told[-1] == "Everything on this way is confirmed."


def test_each_confirmation_is_one_step_of_undo(ways, workbench):
    ways.follow(START)
    before = workbench.project
    ways.confirm()
    workbench.undo()
    assert workbench.project == before


def test_confirming_says_how_it_is_known(ways, workbench):
    ways.follow(START)
    ways.confirm(Known(how="measured", source="meter 3"))
    assert workbench.project.confirmations[-1].known.source == "meter 3"


def test_confirming_looks_ahead_when_the_piece_is_settled(ways, workbench):
    ways.follow(START)
    ways.choose_step(0)
    assert ways.following.open_piece is None
    ways.confirm()
    assert len(workbench.project.confirmations) == 1


def test_pieces_are_walked_one_by_one(ways):
    ways.follow(START)
    ways.choose_step(0)
    ways.next_step()
    assert ways.following.step_number == 1
    ways.previous_step()
    assert ways.following.step_number == 0


def test_ways_are_walked_round(ways, workbench):
    ways.follow(pin("TCU", "1", "C1"))
    count = len(ways.following.ways)
    assert count > 1
    for _ in range(count):
        ways.next_way()
    assert ways.following.way_number == 0


def test_a_way_through_the_fuse_says_that_it_passes(ways):
    ways.follow(pin("TCU", "7", "C2"))
    relations = {r for way in ways.following.ways for r in way.relations}
    assert "passes" in relations


def test_a_pin_that_is_not_reached_is_said_to_be(ways, told, shown):
    ways.follow(START, pin("E3", "1"))
    assert told[-1] == "No way leads from TCU C1:2 to E3:1."
    assert ways.following is None


def test_from_pin_to_pin_shows_only_ways_that_get_there(ways):
    ways.follow(pin("TCU", "7", "C2"), pin("E3", "1"))
    assert ways.following.ways
    assert all(way.steps[-1].pin == pin("E3", "1") for way in ways.following.ways)


def test_stopping_shows_nothing_followed(ways, shown):
    ways.follow(START)
    ways.stop()
    assert shown[-1] is None
    assert ways.following is None


@pytest.mark.parametrize("key", ["next_way", "next_step", "previous_step", "confirm", "go_on"])
def test_keys_of_the_strip_do_nothing_while_nothing_is_followed(ways, shown, key):
    getattr(ways, key)()
    ways.choose_way(1)
    ways.choose_step(1)
    assert shown == []
