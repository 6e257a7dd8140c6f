"""Look-ups of one document: releases, links with their letters, ticks, names."""

import pytest

from loomfolio.basics import MmPoint
from loomfolio.desk.table.scene import Scene, lead_text, letters_of
from loomfolio.project import Anchor, Confirmation, LeadColour
from support.make_netlist import make_link
from support.make_table import BODY, LEFT, RIGHT, net_at, table_job, table_netlist, table_scene


def test_open_ends_are_where_a_line_stops(scene):
    ends = {end.at for end in scene.ends("sheet-1")}
    assert LEFT.at("b") in ends
    assert LEFT.at("g") in ends
    assert MmPoint(LEFT.at("j").x, LEFT.at("k").y) not in ends


def test_a_number_that_is_gone_is_no_net(scene):
    assert scene.net(None) is None
    assert scene.net(10_000) is None


def test_the_names_of_a_net_are_the_marks_that_give_it(scene):
    net = net_at(scene, "sheet-1", MmPoint(40, LEFT.at("a").y))
    assert [mark.id for mark in scene.name_marks_of(net)] == ["mark-2"]
    assert scene.name_marks_of(net_at(scene, "sheet-1", LEFT.at("s"))) == ()


def test_a_net_is_released_when_all_its_leads_are(scene):
    net = net_at(scene, "sheet-1", MmPoint(40, LEFT.at("a").y))
    release = scene.release[net]
    assert not release.is_released  # it goes nowhere


def test_a_body_says_part_connector_and_half(scene):
    assert scene.part_name(BODY) == "TCU C1"
    assert scene.part_name(BODY.model_copy(update={"half": "B"})) == "TCU C1.B"


def test_links_are_lettered_by_turn_unless_they_have_a_label():
    links = (make_link(8, (LEFT, "b"), (RIGHT, "m")), make_link(9, (LEFT, "d"), (RIGHT, "n")))
    labelled = links[1].model_copy(update={"label": "K7"})
    scene = table_scene(table_job(links=(links[0], labelled)))
    assert [scene.link_letter(link) for link in scene.project.links] == ["A", "K7"]


def test_each_end_of_a_link_knows_the_other():
    link = make_link(9, (LEFT, "b"), (RIGHT, "m"))
    scene = table_scene(table_job(links=(link,)))
    here, there = scene.link_ends["sheet-1"][0], scene.link_ends["sheet-2"][0]
    assert (here.there, there.there) == (link.b, link.a)
    assert here.is_leaving
    assert not there.is_leaving


def test_a_confirmed_place_and_both_ends_of_a_confirmed_link_carry_a_tick():
    link = make_link(9, (LEFT, "b"), (RIGHT, "m"))
    confirmations = (
        Confirmation(id="conf-1", piece="crossing", place=Anchor(sheet="sheet-1", at=LEFT.at("e"))),
        Confirmation(id="conf-2", piece="link", record=link.id),
    )
    scene = table_scene(table_job(links=(link,), confirmations=confirmations))
    assert set(scene.confirmed_places("sheet-1")) == {LEFT.at("e"), LEFT.at("b")}
    assert scene.confirmed_places("sheet-2") == (RIGHT.at("m"),)


def test_pins_of_a_net_are_found_on_every_sheet(scene):
    net = net_at(scene, "sheet-1", MmPoint(40, LEFT.at("a").y))
    assert [placed.pin for placed in scene.pins_of_net[net]] == [BODY.key(BODY.pins[0])]


@pytest.mark.parametrize(
    ("colour", "area", "text"),
    [
        (LeadColour(text="BU/BK"), 0.75, "BU/BK 0.75 mm²"),
        (None, 2.5, "2.5 mm²"),
        (LeadColour(text="RD"), None, "RD"),
        (None, None, ""),
    ],
)
def test_a_lead_is_written_as_beside_it_in_print(colour, area, text):
    assert lead_text(colour, area) == text


@pytest.mark.parametrize(
    ("index", "letters"), [(0, "A"), (25, "Z"), (26, "AA"), (51, "AZ"), (52, "BA"), (702, "AAA")]
)
def test_letters_are_counted_as_columns_are(index, letters):
    assert letters_of(index) == letters


def test_an_empty_scene_has_no_sheets():
    assert Scene.empty().layout.sheets == ()


def test_a_scene_without_rows_says_nothing_of_release():
    project = table_job()
    assert Scene(project, table_netlist(project), ()).release == {}
