"""What the card beside the pointer says, and that it stays inside the window."""

import pytest
from PySide6.QtCore import QPointF, QSizeF

from loomfolio.basics import MmPoint
from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.hover_card import Card, card_box, card_for
from loomfolio.desk.table.things import things_under
from loomfolio.desk.table.view import View
from loomfolio.desk.theme import make_theme
from loomfolio.project import LeadColour, LeadMark, NameMark
from support.make_netlist import make_link
from support.make_table import BODY, LEFT, RIGHT, Pointer, table_job, table_scene


def card_at(at, *, project=None, sheet="sheet-1", px_per_mm=8.0):
    pointer = Pointer(table_scene(project), px_per_mm)
    thing = things_under(pointer.hand.scene, pointer.event("move", at, sheet=sheet))[0]
    return card_for(pointer.hand.scene, thing)


def test_a_net_is_told_by_its_name_and_its_pins():
    card = card_at(MmPoint(40, LEFT.at("a").y))
    assert (card.head, card.pins) == ("SUPPLY", ("TCU C1:1",))
    assert card.foot.startswith("not released")


def test_a_net_without_name_and_pins_says_so():
    card = card_at(MmPoint(LEFT.at("s").x + 8, LEFT.at("s").y))
    assert (card.head, card.pins, card.foot) == ("No name yet", (), "no pin yet")


def test_two_names_on_a_net_are_both_told():
    second = NameMark(id="mark-9", sheet="sheet-1", at=MmPoint(45, LEFT.at("a").y), name="OTHER")
    card = card_at(MmPoint(40, LEFT.at("a").y), project=table_job(second))
    assert card.head == "OTHER / SUPPLY  (two names)"


def test_a_net_over_two_sheets_says_so():
    link = make_link(9, (LEFT, "s"), (RIGHT, "m"))
    at = MmPoint(LEFT.at("s").x + 8, LEFT.at("s").y)
    assert "on 2 sheets" in card_at(at, project=table_job(links=(link,))).foot


def test_a_crossing_says_what_it_was_taken_for():
    card = card_at(MmPoint(LEFT.at("j").x, LEFT.at("e").y))
    assert card == Card("Two conductors cross here; taken as apart.", foot="Click to answer")


def test_between_two_conductors_it_says_how_many():
    card = card_at(MmPoint(40, (LEFT.at("a").y + LEFT.at("c").y) / 2), px_per_mm=2.0)
    assert card.head == "2 conductors about as near"


def test_a_link_says_where_it_goes_on():
    link = make_link(9, (LEFT, "b"), (RIGHT, "m"))
    assert card_at(LEFT.at("b"), project=table_job(links=(link,))).foot == "goes on at Right"
    half = link.model_copy(update={"b": None})
    assert card_at(LEFT.at("b"), project=table_job(links=(half,))).foot == "no other end yet"


def test_a_body_says_which_part_it_is():
    card = card_at(MmPoint(BODY.box.centre.x - 3, BODY.box.centre.y))
    assert card == Card("TCU C1")


def test_a_note_of_a_lead_says_its_colour_and_area():
    note = LeadMark(
        id="mark-9",
        sheet="sheet-1",
        at=MmPoint(40, LEFT.at("c").y),
        colour=LeadColour(text="RD/WH"),
        area_mm2=1.5,
    )
    assert card_at(note.at, project=table_job(note)).head == "RD/WH 1.5 mm²"


def test_blank_paper_has_no_card():
    assert card_at(LEFT.at("u")) is None


@pytest.mark.parametrize("at", [QPointF(0, 0), QPointF(799, 0), QPointF(0, 599), QPointF(799, 599)])
def test_the_card_stays_inside_the_window_and_off_the_pointer(qapp, at):
    canvas = Canvas.of(View(1.0), 800, 600, 1.0, make_theme("light"))
    box = card_box(canvas, at, QSizeF(200, 90))
    assert canvas.area.contains(box)
    assert not box.contains(at)
