"""Entering a face: from either side, a letter for each cavity, a row at a time."""

import pytest

from loomfolio.desk.survey.face_run import FaceRun
from loomfolio.project import CavityEntry, Face, HalfKey, LeadColour

TWO_ROWS = Face(rows=(("1", "2", "3"), ("4", "", "5")), side="mating side")
ALL = ("1", "2", "3", "4", "5")


def run(side="mating side", asked=ALL, face=TWO_ROWS):
    made = FaceRun(face, asked)
    if side != "unknown":
        made.look_from(side)
    return made


def seen(made):
    return {made.pin_at(place): entry.state for place, entry in made.seen.items()}


def test_nothing_is_entered_before_the_side_is_said():
    made = run("unknown")
    assert not made.press("f")
    assert not made.press_colour("RD")
    assert made.seen == {}
    assert made.left == 5


def test_letters_run_along_the_row_and_on_to_the_next():
    made = run()
    for letter in "fetpc":
        assert made.press(letter)
    assert seen(made) == {
        "1": "filled",
        "2": "empty",
        "3": "terminal without lead",
        "4": "plugged",
        "5": "cut",
    }
    assert made.left == 0


def test_from_the_other_side_each_row_runs_the_other_way():
    made = run("wire side")
    assert made.rows == (("3", "2", "1"), ("5", "", "4"))
    made.press("e")
    assert seen(made) == {"3": "empty"}


def test_a_side_that_was_the_other_one_mends_every_entry():
    made = run()
    for letter in "eff":
        made.press(letter)
    made.look_from("wire side")
    assert seen(made) == {"3": "empty", "2": "filled", "1": "filled"}


def test_arrows_go_over_places_without_a_cavity_and_stay_at_the_edge():
    made = run()
    made.move(1, 0)
    assert made.pin_at(made.cursor) == "4"
    made.move(0, 1)
    assert made.pin_at(made.cursor) == "5"
    made.move(0, 1)
    made.move(1, 0)
    assert made.pin_at(made.cursor) == "5"
    made.to_row_end(is_last=False)
    assert made.pin_at(made.cursor) == "4"


def test_only_what_is_asked_is_gone_to_but_the_rest_can_be_entered():
    made = run(asked=("1", "5"))
    made.press("f")
    assert made.pin_at(made.cursor) == "5"
    made.stand_at((0, 1))
    made.press("e")
    assert seen(made) == {"1": "filled", "2": "empty"}
    assert made.left == 1


def test_the_rest_of_a_row_alike():
    made = run()
    made.press("f")
    made.press("e", is_rest_of_row=True)
    assert seen(made) == {"1": "filled", "2": "empty", "3": "empty"}


def test_another_colour_is_a_lead_of_that_colour():
    made = run()
    assert made.press_colour("rd/wh")
    entry = made.seen[0, 0]
    assert (entry.state, entry.colour) == ("filled", LeadColour(text="RD/WH"))


def test_taking_back_goes_back():
    made = run()
    made.press("f")
    made.press("e")
    made.clear()
    assert seen(made) == {"1": "filled"}
    assert made.pin_at(made.cursor) == "2"
    made.clear()
    assert seen(made) == {}


def test_a_letter_that_says_nothing_changes_nothing():
    made = run()
    assert not made.press("z")
    assert not made.press("")
    assert made.seen == {}


@pytest.mark.parametrize("side", ["wire side", "mating side"])
def test_what_was_recorded_comes_back_to_its_cavity_from_either_side(side):
    half = HalfKey(part="part-1", connector="C1")
    entries = [
        CavityEntry(id="entry-1", specimen="specimen-1", pin=half.pin("3"), state="plugged"),
        CavityEntry(id="entry-2", specimen="specimen-1", pin=half.pin("4"), state="filled"),
    ]
    made = run(side)
    made.recall(entries)
    assert seen(made) == {"3": "plugged", "4": "filled"}
    assert made.left == 3
    assert made.pin_at(made.cursor) in {"1", "2", "5"}
