"""Pins as text: the full form, the short one, and finding what a person wrote."""

from __future__ import annotations

import pytest
from hypothesis import given

from loomfolio.basics import MmBox, MmPoint, NameNotFoundError
from loomfolio.project import (
    BodyPin,
    Cavity,
    Connector,
    Half,
    HalfKey,
    InnerPin,
    InnerWay,
    PinKey,
    PinNames,
    PinPair,
    Project,
    all_halves,
    all_pins,
    edits,
    find_half,
    find_pin,
    half_text,
    pin_text,
    short_pin_text,
)
from support.make_project import make_sheet, make_two_sheets, projects


def body_with(project: Project, part: str, pins: str, connector: str = "") -> Project:
    """Put a body on the first sheet; `pins` are numbers with blanks between."""
    drawn = tuple(BodyPin(at=MmPoint(5, n), pin=pin) for n, pin in enumerate(pins.split()))
    sheet, box = project.sheets[0].id, MmBox(0, 0, 5, 50)
    return edits.put_body(
        project, sheet=sheet, box=box, part=part, connector=connector, pins=drawn
    ).project


@pytest.fixture
def van():
    """Two modules that both have a C1, a relay without connectors, and an in-line pair."""
    p, _ = make_sheet(Project())
    p, tcu = edits.add_part(p, name="TCU", kind="module")
    p, bcm = edits.add_part(p, name="BCM", kind="module")
    p, relay = edits.add_part(p, name="K1", kind="relay")
    p, inline = edits.add_part(p, name="X14", kind="in-line connector")
    p = body_with(p, tcu, "2 10 1", "C1")
    p = body_with(p, tcu, "2 7", "C2")
    p = body_with(p, bcm, "1 12", "C1")
    p = body_with(p, relay, "85 86 30 87a 87")
    a, b = HalfKey(part=inline, half="A"), HalfKey(part=inline, half="B")
    return edits.add_mate(p, a=a, b=b, pairs=(PinPair(a="3", b="7"),)).project


def texts(project: Project) -> list[str]:
    return [pin_text(project, key) for key in all_pins(project)]


def test_all_pins_in_the_order_in_which_a_person_counts(van: Project):
    assert texts(van) == [
        *("BCM C1:1", "BCM C1:12"),
        *("K1:30", "K1:85", "K1:86", "K1:87", "K1:87a"),
        *("TCU C1:1", "TCU C1:2", "TCU C1:10", "TCU C2:2", "TCU C2:7"),
        *("X14.A:3", "X14.B:7"),
    ]


@pytest.mark.parametrize(
    ("full", "short"),
    [
        pytest.param("BCM C1:12", "C1:12", id="only one C1 has a 12"),
        pytest.param("BCM C1:1", "BCM:1", id="two C1 have a 1, the BCM only one"),
        pytest.param("TCU C1:2", "C1:2", id="the TCU has two pins 2, C1 only one"),
        pytest.param("TCU C2:7", "C2:7", id="the connector is shorter"),
        pytest.param("K1:85", "K1:85", id="no connector"),
        pytest.param("X14.B:7", "X14:7", id="the half can go"),
    ],
)
def test_the_shortest_form_that_means_only_one_pin(van: Project, full: str, short: str):
    key = find_pin(van, full)
    assert pin_text(van, key) == full
    assert short_pin_text(van, key) == short
    assert find_pin(van, short) == key


@given(projects())
def test_the_short_form_is_found_again_wherever_the_full_one_is(project: Project):
    for key in all_pins(project):
        try:
            found = find_pin(project, pin_text(project, key))
        except NameNotFoundError:
            continue  # two keys that are written alike: the test below
        assert found == key
        assert find_pin(project, short_pin_text(project, key)) == key


def test_pins_that_are_written_alike_are_refused_not_guessed():
    p, _ = make_sheet(Project())
    p, plain = edits.add_part(p, name="TCU C1")
    p, with_connector = edits.add_part(p, name="TCU")
    p = body_with(p, plain, "1")
    p = body_with(p, with_connector, "1", "C1")
    with pytest.raises(NameNotFoundError, match="no single pin called 'TCU C1:1'"):
        find_pin(p, "TCU C1:1")
    with pytest.raises(NameNotFoundError, match="no single connector called 'TCU C1'"):
        find_half(p, "TCU C1")


@pytest.mark.parametrize("text", ["tcu c1:10", " TCU  C1 : 10 ", "TCU C1 10", "C1:10", "Tcu:10"])
def test_capitals_and_blanks_do_not_count(van: Project, text: str):
    assert pin_text(van, find_pin(van, text)) == "TCU C1:10"


def test_a_short_form_that_could_mean_several_names_them(van: Project):
    with pytest.raises(NameNotFoundError) as caught:
        find_pin(van, "C1:1")
    assert "no single pin called 'C1:1'; did you mean" in str(caught.value)
    assert set(caught.value.nearest) == {"BCM C1:1", "TCU C1:1"}


def test_a_pin_that_is_not_there_offers_the_nearest(van: Project):
    with pytest.raises(NameNotFoundError) as caught:
        find_pin(van, "TCU C1:11")
    assert "TCU C1:1" in caught.value.nearest
    assert "no pin called 'TCU C1:11'" in str(caught.value)


def test_halves_are_written_and_found(van: Project):
    names = [half_text(van, half) for half in all_halves(van)]
    assert names == ["BCM C1", "K1", "TCU C1", "TCU C2", "X14.A", "X14.B"]
    for name, half in zip(names, all_halves(van), strict=True):
        assert find_half(van, name.lower()) == half
    with pytest.raises(NameNotFoundError, match="no connector called 'TCU C3'; did you mean"):
        find_half(van, "TCU C3")


def test_pins_and_halves_are_gathered_from_all_that_speaks_of_them():
    made = make_two_sheets()
    p, fuse = edits.add_part(
        made.project,
        name="F5",
        connectors=(Connector(name="C9", halves=(Half(cavities=(Cavity(pin="4"),)),)),),
        ways=(InnerWay(relation="passes", pins=(InnerPin(pin="1"), InnerPin(pin="2"))),),
    )
    screen = PinKey(part=fuse, connector="C8", pin="S")
    p, _ = edits.add_group(p, name="W2", kind="screen", screen_ends=(screen,))
    p, _ = edits.add_harness(p, name="Front", ends=(HalfKey(part=fuse, connector="C7"),))
    p = edits.set_scope(p, [HalfKey(part=fuse, connector="C6")])
    assert texts(p) == [
        *("F5:1", "F5:2", "F5 C8:S", "F5 C9:4"),
        *("K1:30", "K1:86", "TCU C1:1", "TCU C1:2"),
    ]
    halves = [half_text(p, half) for half in all_halves(p)]
    assert halves == ["F5", "F5 C6", "F5 C7", "F5 C8", "F5 C9", "K1", "TCU C1"]


def test_an_empty_project_has_no_pins_and_no_halves():
    assert all_pins(Project()) == all_halves(Project()) == ()
    with pytest.raises(NameNotFoundError, match="check the spelling"):
        find_pin(Project(), "TCU:1")


def test_a_pin_of_a_part_that_draws_none_yet_is_written_short_too(van: Project):
    key = PinKey(part=van.parts[2].id, connector="C5", pin="99")
    assert pin_text(van, key) == "K1 C5:99"
    assert short_pin_text(van, key) == "K1:99"


def test_the_index_follows_the_document():
    made = make_two_sheets()
    relay = find_pin(made.project, "K1:30")
    renamed = edits.rename_part(made.project, made.relay, "K2")
    assert pin_text(renamed, relay) == "K2:30"
    assert pin_text(made.project, relay) == "K1:30"
    with pytest.raises(NameNotFoundError):
        find_pin(renamed, "K1:30")


def test_the_index_and_the_functions_say_the_same(van: Project):
    names = PinNames(van)
    assert names.pins == all_pins(van)
    assert names.halves == all_halves(van)
    assert [names.short_pin_text(k) for k in names.pins] == [
        short_pin_text(van, k) for k in all_pins(van)
    ]
