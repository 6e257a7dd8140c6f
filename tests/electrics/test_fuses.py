"""Fuses against the band of ISO 8820-3, and what they protect against a body builder's published guide."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from loomfolio.basics import NameNotFoundError, UsageError
from loomfolio.electrics import (
    Chassis,
    Feed,
    Load,
    OtherLead,
    derating,
    find_conductor,
    find_fuse,
    fuse_for_load,
    fuse_resistance,
    fuses_of,
    given,
    let_through,
    longest_opening,
    protects,
    series,
    shortest_holding,
)

# ISO 8820-3: share of the rating in %, shortest and longest opening time in s. Type C from data sheets
# of regular blade fuses, type E from one of maxi fuses; type F from memory of the standard from 160 %.
BAND = {
    "C": [
        (110, 360000, None),
        (135, 0.75, 600),
        (200, 0.15, 5),
        (350, 0.08, 0.5),
        (600, 0.02, 0.15),
    ],
    "F": [
        (110, 360000, None),
        (135, 0.75, 600),
        (200, 0.15, 5),
        (350, 0.08, 0.5),
        (600, 0.03, 0.1),
    ],
    "E": [(100, 360000, None), (135, 60, 1800), (200, 2, 50), (350, 0.2, 7), (600, 0.04, 1)],
}


def seconds(figure):
    return None if figure is None else figure.value


@pytest.mark.parametrize(
    ("kind", "percent", "shortest_s", "longest_s"),
    [(kind, *point) for kind, points in BAND.items() for point in points],
)
def test_the_band_is_that_of_the_standard(tables, kind, percent, shortest_s, longest_s):
    fuse = find_fuse(tables, kind, 20)
    current_a = percent / 100 * 20

    assert seconds(longest_opening(fuse, current_a)) == longest_s
    assert seconds(shortest_holding(fuse, current_a)) == shortest_s


def test_between_two_points_the_longer_time_holds(tables):
    fuse = find_fuse(tables, "C", 10)

    assert seconds(longest_opening(fuse, 19.9)) == 50  # still the 160 % point
    assert seconds(longest_opening(fuse, 34.9)) == 5
    assert seconds(longest_opening(fuse, 5000)) == 0.15


def test_below_135_percent_a_fuse_need_not_open(tables):
    assert longest_opening(find_fuse(tables, "C", 10), 13.4) is None


def test_beyond_the_last_point_nothing_says_how_long_a_fuse_holds(tables):
    assert shortest_holding(find_fuse(tables, "C", 10), 60.1) is None


def test_what_is_let_through_is_the_least_of_the_points_reached(tables):
    """15 A, type C: 30² · 5 = 4500; 52.5² · 0.5 = 1378; 90² · 0.15 = 1215 A²s."""
    fuse = find_fuse(tables, "C", 15)

    assert let_through(fuse, given("I", 40, "A")).value == pytest.approx(4500)
    assert let_through(fuse, given("I", 60, "A")).value == pytest.approx(1378, abs=1)
    assert let_through(fuse, given("I", 900, "A")).value == pytest.approx(1215)
    assert let_through(fuse, given("I", 29, "A")) is None


def test_a_melting_integral_lies_under_the_bound_of_the_band(tables):
    """40 A regular blade fuse: 3300 A²s typical (maker's sheet); maxi 40 A: 8500 A²s."""
    regular = let_through(find_fuse(tables, "C", 40), given("I", 1000, "A"))
    maxi = let_through(find_fuse(tables, "E", 40), given("I", 1000, "A"))
    facts = tables.fuse_facts

    assert facts["melting integral, regular blade 40 A"].figure.value < regular.value
    assert facts["melting integral, maxi 40 A"].figure.value < maxi.value


# ISO 8820-3 colour code, printed alike on several public pages.
@pytest.mark.parametrize(
    ("kind", "rating_a", "colour"),
    [
        ("C", 3, "violet"),
        ("C", 5, "light brown (tan)"),
        ("C", 7.5, "brown"),
        ("C", 10, "red"),
        ("C", 15, "blue"),
        ("C", 20, "yellow"),
        ("C", 30, "green"),
        ("F", 10, "red"),
        ("E", 40, "orange"),
        ("E", 60, "blue"),
    ],
)
def test_a_rating_has_its_colour(tables, kind, rating_a, colour):
    assert find_fuse(tables, kind, rating_a).colour == colour


def test_the_kinds_run_from_small_to_large(tables):
    for kind in "CFE":
        ratings = [fuse.rating_a for fuse in fuses_of(tables, kind)]
        assert ratings == sorted(ratings)


def test_a_fuse_s_resistance_is_its_printed_drop_over_its_rating(tables):
    """10 A regular blade: 109 mV at 10 A; a 15 A fuse has no row and less than that."""
    ten = fuse_resistance(find_fuse(tables, "C", 10), tables)
    fifteen = fuse_resistance(find_fuse(tables, "C", 15), tables)

    assert ten.value == pytest.approx(0.0109)
    assert fifteen.value == ten.value


def test_a_fuse_smaller_than_any_printed_one_is_left_out_of_the_loop(tables):
    tiny = replace(find_fuse(tables, "C", 1), rating_a=0.5)

    assert fuse_resistance(tiny, tables).value == 0


# ------------------------------------------------------------------------------- what it protects


@pytest.fixture
def trailer_lead(tables, make_run):
    """12 m of 0.35 mm², back over the 2.5 mm² return of the trailer socket (ISO 11446)."""
    back = OtherLead(find_conductor(series(tables, "vehicle"), "2.5"), 12)
    return make_run("0.35", length_m=12, back=back)


def test_the_trailer_lead_behind_15_a_is_refused_for_its_short_never_opens_the_fuse(
    tables, trailer_lead
):
    protection = protects(trailer_lead, find_fuse(tables, "C", 15), Feed(volt=12), tables)
    short = next(b for b in protection.failures if b.title == "short at the far end, hot")

    assert not protection.is_protected
    assert short.number.value == pytest.approx(12, abs=1)
    assert short.limit.value == 30
    assert longest_opening(protection.fuse, short.number.value) is None


def test_the_short_of_the_trailer_lead_over_chassis_draws_about_15_a(tables, make_run):
    """13.5 V, lead at 60 °C: hot and with the engine running it draws what the fuse carries for ever."""
    run = make_run("0.35", length_m=12, back=Chassis())
    protection = protects(run, find_fuse(tables, "C", 15), Feed(volt=13.5), tables)
    short = next(b for b in protection.failures if b.title == "short at the far end, hot")

    assert short.number.value == pytest.approx(15, abs=1)
    assert short.number.value < 1.10 * 15


def test_the_trailer_lead_behind_5_a_is_accepted(tables, trailer_lead):
    protection = protects(trailer_lead, find_fuse(tables, "C", 5), Feed(volt=12), tables)

    assert protection.is_protected
    assert protection.failures == ()
    assert [bound.title for bound in protection.bounds] == [
        "voltage of the fuse",
        "110 % of the fuse for ever",
        "135 % of the fuse for its time",
        "short at the far end, hot",
        "heat of the short",
    ]


def test_the_answer_on_a_size_from_memory_is_not_confirmed(tables, trailer_lead, make_run):
    doubted = protects(trailer_lead, find_fuse(tables, "C", 5), Feed(volt=12), tables)
    seen = protects(
        make_run("0.5", of="flexible"), find_fuse(tables, "C", 5), Feed(volt=12), tables
    )

    assert not doubted.is_confirmed
    assert all("ISO 6722-1" in row for row in doubted.unconfirmed)
    assert seen.is_confirmed


def test_a_mini_fuse_is_not_confirmed_for_its_band_is_from_memory(tables, make_run):
    run = make_run("1.5", of="flexible")
    protection = protects(run, find_fuse(tables, "F", 10), Feed(volt=12), tables)

    assert protection.is_protected
    assert any("fuse_time_current.csv, F 600" in row for row in protection.unconfirmed)


def test_every_pair_of_the_body_builder_s_guide_is_protected(tables, make_run):
    """A light commercial vehicle's guide at 40 °C: area (Japanese series) and fuse, 5 to 100 A."""
    checked = 0
    for pair in tables.fuse_area_guide:
        kind = "C" if pair.fuse_rating_a <= 40 else "E"
        if pair.fuse_rating_a not in {fuse.rating_a for fuse in fuses_of(tables, kind)}:
            continue
        run = make_run(f"{pair.area_mm2:g}", of="japanese", length_m=2, ambient_c=pair.ambient_c)
        fuse = find_fuse(tables, kind, pair.fuse_rating_a)
        protection = protects(run, fuse, Feed(volt=12), tables)
        assert protection.is_protected, (pair, [str(bound) for bound in protection.failures])
        checked += 1
    assert checked == 13


@pytest.mark.parametrize(
    ("rating_a", "size"),
    [(15, "0.85"), (20, "1.25"), (25, "2"), (30, "2")],
    ids=lambda value: f"{value}",
)
def test_a_size_below_the_guide_s_is_refused(tables, make_run, rating_a, size):
    run = make_run(size, of="japanese", length_m=2)

    assert not protects(run, find_fuse(tables, "C", rating_a), Feed(volt=12), tables).is_protected


def test_a_slow_maxi_fuse_is_held_against_the_warming_at_every_slow_point(tables, make_run):
    protection = protects(make_run("10"), find_fuse(tables, "E", 40), Feed(volt=12), tables)
    slow = [bound for bound in protection.bounds if bound.title.endswith("for its time")]

    assert [bound.limit.value for bound in slow] == [1800, 50, 7]


def test_a_supply_above_the_fuse_s_voltage_is_refused(tables, make_run):
    protection = protects(make_run(), find_fuse(tables, "C", 5), Feed(volt=48), tables)

    assert [bound.title for bound in protection.failures] == ["voltage of the fuse"]


# ------------------------------------------------------------------------------------ for a load


# Maxi 40 A derating curve of a maker's sheet: allowed load at ambient, A.
@pytest.mark.parametrize(
    ("ambient_c", "share"),
    [
        (-10, 1.0),
        (20, 1.0),
        (21, 34 / 40),
        (65, 34 / 40),
        (85, 30 / 40),
        (110, 25 / 40),
        (125, 22 / 40),
    ],
)
def test_a_fuse_carries_less_where_it_is_warm(tables, ambient_c, share):
    assert derating(tables, ambient_c).value == pytest.approx(share)


@pytest.mark.parametrize("ambient_c", [125.1, math.nan], ids=str)
def test_an_ambient_beyond_the_sheet_is_refused(tables, ambient_c):
    with pytest.raises(UsageError, match="No fuse is rated for an ambient"):
        derating(tables, ambient_c)


@pytest.mark.parametrize(
    ("load_a", "ambient_c", "rating_a"),
    [
        pytest.param(8, 20, 10, id="8 A · 1.25 is just 10 A"),
        pytest.param(8.1, 20, 15, id="a little more takes the next"),
        pytest.param(8, 60, 15, id="where it is warm 8 A takes 15 A"),
        pytest.param(0.5, 20, 1, id="a small load takes the smallest"),
    ],
)
def test_the_fuse_for_a_load(tables, load_a, ambient_c, rating_a):
    choice = fuse_for_load(Load(continuous_a=load_a), "C", tables, ambient_c=ambient_c)

    assert choice.fuse is not None
    assert choice.fuse.rating_a == rating_a
    assert choice.least_rating.value <= rating_a


def test_where_no_fuse_is_large_enough_there_is_none(tables):
    choice = fuse_for_load(Load(continuous_a=60), "C", tables, ambient_c=20)

    assert choice.fuse is None
    assert [bound.is_met for bound in choice.bounds] == [False]


@pytest.mark.parametrize(
    ("inrush_a", "inrush_s", "rating_a"),
    [
        pytest.param(20, 0.1, 10, id="200 % for 0.1 s holds"),
        pytest.param(20, 0.2, 15, id="200 % for 0.2 s does not"),
        pytest.param(70, 0.01, 15, id="beyond the band nothing is promised"),
        pytest.param(4, 10, 10, id="an inrush below the load is none"),
        pytest.param(400, 0, 10, id="an inrush of no time is none"),
    ],
)
def test_a_fuse_holds_the_inrush(tables, inrush_a, inrush_s, rating_a):
    load = Load(continuous_a=8, inrush_a=inrush_a, inrush_s=inrush_s)
    choice = fuse_for_load(load, "C", tables, ambient_c=20)

    assert choice.fuse is not None
    assert choice.fuse.rating_a == rating_a


@pytest.mark.parametrize(
    ("load", "says"),
    [
        pytest.param({"continuous_a": 0}, "continuous current is 0 A", id="no load"),
        pytest.param({"continuous_a": math.nan}, "continuous current is nan A", id="no number"),
        pytest.param({"continuous_a": 1, "inrush_a": -1}, "inrush current is -1 A", id="inrush"),
        pytest.param({"continuous_a": 1, "inrush_s": -1}, "time of the inrush is -1 s", id="time"),
    ],
)
def test_a_load_that_cannot_be_is_refused(load, says):
    with pytest.raises(UsageError, match=says):
        Load(**load)


def test_a_kind_or_rating_that_is_not_made_is_refused(tables):
    with pytest.raises(NameNotFoundError, match="no kind of fuse called 'Q'"):
        fuses_of(tables, "Q")
    with pytest.raises(NameNotFoundError, match="no fuse called '12 A'"):
        find_fuse(tables, "C", 12)


def test_a_negative_current_is_refused(tables):
    with pytest.raises(UsageError, match="current is -1 A"):
        longest_opening(find_fuse(tables, "C", 10), -1)
