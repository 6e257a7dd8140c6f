"""What each piece of the strip says: its picture, its words, how it stands."""

import pytest

from loomfolio.desk.icons import icon_names
from loomfolio.desk.strip.pieces import strip_pieces
from loomfolio.nets import Piece, Way, WayStep, follow
from support.make_desk import derived, linked_job, pin, small_job


def pieces_from(part, number, connector="", project=None):
    state = derived(project)
    ways = follow(state.netlist, pin(part, number, connector))
    return [strip_pieces(way, state.rows) for way in ways]


def make_step(what, relation="joined", note="", pieces=()):
    return WayStep(
        what=what,
        label=what,
        relation=relation,
        pin=None,
        net=0,
        place=None,
        pieces=pieces,
        note=note,
    )


def piece_of(step, *, is_dead_end=False):
    return strip_pieces(Way((step,), "somewhere", is_dead_end), ())[0]


def test_a_lead_shows_its_own_colour():
    way = pieces_from("TCU", "2", "C1")[0]
    lead = next(piece for piece in way if piece.kind == "lead")
    assert lead.wire.letters == "RD/WH"
    assert lead.wire.base is not None
    assert lead.wire.stripe is not None


def test_a_lead_of_unknown_colour_has_no_wire():
    way = pieces_from("TCU", "7", "C2")[0]
    assert next(piece for piece in way if piece.kind == "lead").wire is None


def test_a_fuse_is_passed_and_says_so():
    way = pieces_from("TCU", "7", "C2")[0]
    fuse = next(piece for piece in way if piece.kind == "fuse")
    assert fuse.relation == "passes"
    assert "Conducts in a state." in fuse.tip


def test_an_open_piece_counts_what_is_to_be_confirmed():
    lead = next(p for p in pieces_from("TCU", "2", "C1")[0] if p.kind == "lead")
    assert lead.state == "open"
    assert "to confirm" in lead.state_text
    assert lead.state_icon == "doubts"


def test_a_dead_end_says_that_it_ends():
    ways = pieces_from("X90", "4")
    last = ways[0][-1]
    assert last.state == "dead end"
    assert last.state_text == "ends here"


def test_an_unconfirmed_link_is_a_piece_of_the_way():
    ways = pieces_from("TCU", "3", "C1", linked_job())
    tips = " ".join(piece.tip for way in ways for piece in way)
    assert "? Link A" in tips


@pytest.mark.parametrize(
    ("step", "icon"),
    [
        (make_step("pin"), "piece_pin"),
        (make_step("pin", note="ground point"), "piece_ground"),
        (make_step("pin", note="splice"), "piece_splice"),
        (make_step("relay", "passes"), "piece_contact"),
        (make_step("relay", "loads"), "piece_coil"),
        (make_step("in-line connector"), "piece_inline"),
        (make_step("something new"), "piece_thing"),
    ],
    ids=lambda value: value if isinstance(value, str) else f"{value.what} {value.note}".strip(),
)
def test_each_kind_has_its_symbol(step, icon):
    assert piece_of(step).icon == icon
    assert icon in icon_names()


@pytest.mark.parametrize(
    ("states", "text", "state"),
    [
        ((), "module", "plain"),
        ((True,), "confirmed", "confirmed"),
        ((False,), "to confirm", "open"),
        ((False, True, False), "2 to confirm", "open"),
    ],
)
def test_how_a_piece_stands(states, text, state):
    pieces = tuple(Piece("join", "x", is_confirmed=is_confirmed) for is_confirmed in states)
    piece = piece_of(make_step("pin", note="module", pieces=pieces))
    assert (piece.state_text, piece.state) == (text, state)


def test_an_open_piece_is_told_before_a_dead_end():
    step = make_step("lead", pieces=(Piece("gap", "x", is_confirmed=False),))
    assert piece_of(step, is_dead_end=True).state == "open"


def test_a_way_without_steps_has_no_pieces():
    assert strip_pieces(Way((), "nowhere", is_dead_end=True), derived(small_job()).rows) == ()
