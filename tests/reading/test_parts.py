"""Parts of the vehicle that nobody marked: what ends conductors, found by the machine."""

from __future__ import annotations

import math

import pytest

from support.drawn_page import DrawnPage, nets_of

LEFT, RIGHT = (10.0, 20.0), (50.0, 20.0)


def test_pins_that_face_each_other_inside_a_box_are_apart() -> None:
    page = DrawnPage().box(20, 10, 40, 30).text((28, 21), "M12")
    page.line((20, 20), (22, 20), width_mm=0.5).line((38, 20), (40, 20), width_mm=0.5)
    page.line((5, 20), (20, 20)).line((40, 20), (55, 20))
    assert nets_of(page.read(), [LEFT, RIGHT]) == [{0}, {1}]


def test_every_lead_of_a_box_with_many_pins_is_its_own() -> None:
    page = DrawnPage(60, 60).box(20, 5, 40, 55)
    for k in range(30):
        page.line((5, 7 + 1.5 * k), (20, 7 + 1.5 * k)).line((40, 7 + 1.5 * k), (55, 7 + 1.5 * k))
    places = [(x, 7 + 1.5 * k) for k in range(30) for x in (10, 50)]
    assert nets_of(page.read(), places) == [{k} for k in range(60)]


def test_mesh_of_crossing_lines_is_no_box() -> None:
    page = DrawnPage()
    for k in range(3):
        page.line((5, 10 + 8 * k), (55, 10 + 8 * k)).line((15 + 12 * k, 2), (15 + 12 * k, 38))
    places = [(8, 10), (52, 10), (15, 4), (15, 36), (8, 18), (52, 18), (39, 4), (39, 36)]
    reading = page.read()
    assert nets_of(reading, places) == [{0, 1}, {2, 3}, {4, 5}, {6, 7}]
    assert reading.bodies == ()


def test_coil_with_a_diagonal_parts_its_lines() -> None:
    page = DrawnPage().box(26, 18.5, 33, 21.5).line((26, 21.5), (33, 18.5))
    page.line((29.5, 2), (29.5, 18.5)).line((29.5, 21.5), (29.5, 38))
    assert nets_of(page.read(), [(29.5, 5), (29.5, 35)]) == [{0}, {1}]


@pytest.mark.parametrize("turned", [False, True], ids=["upright", "level"])
def test_brackets_that_open_towards_each_other_are_one_body(turned: bool) -> None:
    sides = [((26, 10), (25, 10), (25, 30), (26, 30)), ((34, 10), (35, 10), (35, 30), (34, 30))]
    leads = [((5, y), (25, y)) for y in (14, 22)] + [((35, y), (55, y)) for y in (14, 22)]
    places = [(10.0, 14.0), (10.0, 22.0), (50.0, 14.0), (50.0, 22.0)]
    page = DrawnPage(60, 60)
    for line in (*sides, *leads):
        page.line(*((y, x) for x, y in line) if turned else line)
    reading = page.read()
    assert nets_of(reading, [(y, x) for x, y in places] if turned else places) == [
        {0}, {1}, {2}, {3},
    ]  # fmt: skip
    assert len(reading.bodies) == 1


def test_short_jumper_between_two_pins_is_no_bracket() -> None:
    page = DrawnPage().box(5, 5, 20, 35).line((20, 12), (22, 12), (22, 24), (20, 24))
    assert nets_of(page.read(), [(21, 12), (21, 24)]) == [{0, 1}]


def dashed_box(page: DrawnPage, x0: float, y0: float, x1: float, y1: float) -> None:
    """An outline in dashes of 2 mm with gaps of 1 mm that starts with a dash at each corner."""
    for a, b, fixed, level in ((x0, x1, y0, True), (x0, x1, y1, True), (y0, y1, x0, False),
                               (y0, y1, x1, False)):  # fmt: skip
        at = a
        while at < b:
            stop = min(at + 2, b)
            ends = ((at, fixed), (stop, fixed)) if level else ((fixed, at), (fixed, stop))
            page.line(*ends)
            at += 3


def test_lines_end_at_an_outline_drawn_in_dashes() -> None:
    page = DrawnPage().text((27, 21), "A7")
    dashed_box(page, 20, 10, 40, 30)
    for y in (14, 20, 26):
        page.line((5, y), (20, y)).line((40, y), (55, y))
    places = [(x, y) for y in (14, 20, 26) for x in (10, 50)]
    assert nets_of(page.read(), places) == [{k} for k in range(6)]


def test_line_runs_on_through_an_outline_drawn_in_dashes() -> None:
    page = DrawnPage().line((5, 20), (55, 20)).line((30, 2), (30, 38))
    dashed_box(page, 22, 14, 38, 26)
    places = [LEFT, RIGHT, (30, 5), (30, 35)]
    assert nets_of(page.read(), places) == [{0, 1}, {2, 3}]


def make_diode(*, filled: bool, barred: bool) -> DrawnPage:
    page = DrawnPage().line((5, 20), (55, 20))
    for k in range(31 if filled else 0):
        page.line((28.5, 18.5 + 0.1 * k), (31.5, 20))
    page.line((28.5, 18.5), (31.5, 20), (28.5, 21.5), (28.5, 18.4))
    return page.line((31.5, 18.5), (31.5, 21.5)) if barred else page


@pytest.mark.parametrize("filled", [False, True], ids=["open", "filled"])
def test_diode_parts_its_lines(filled: bool) -> None:
    assert nets_of(make_diode(filled=filled, barred=True).read(), [LEFT, RIGHT]) == [{0}, {1}]


def test_head_of_an_arrow_on_a_line_parts_nothing_in_silence() -> None:
    reading = make_diode(filled=True, barred=False).read()
    assert nets_of(reading, [LEFT, RIGHT]) == [{0, 1}] or reading.doubts


def test_fuse_drawn_as_a_wave_parts_its_lines() -> None:
    page = DrawnPage().line((5, 20), (27, 20)).line((33, 20), (55, 20))
    page.arc((28.5, 20), 1.5, 180, 360).arc((31.5, 20), 1.5, 180, 0)
    assert nets_of(page.read(), [LEFT, RIGHT]) == [{0}, {1}]


def test_inductor_parts_its_lines() -> None:
    page = DrawnPage().line((5, 20), (26, 20)).line((34, 20), (55, 20))
    for k in range(4):
        page.arc((27 + 2 * k, 20), 1.0, 180, 360)
    assert nets_of(page.read(), [LEFT, RIGHT]) == [{0}, {1}]


def test_contact_that_rests_on_its_stop_parts_its_lines() -> None:
    page = DrawnPage().line((5, 20), (28, 20), (32.4, 21.3)).line((32, 21.6), (32, 20), (55, 20))
    assert nets_of(page.read(), [LEFT, RIGHT]) == [{0}, {1}]


def test_line_that_turns_away_and_back_is_one_conductor() -> None:
    page = DrawnPage().line((5, 20), (25, 20), (27, 24), (33, 24), (35, 20), (55, 20))
    assert nets_of(page.read(), [LEFT, RIGHT]) == [{0, 1}]


def make_cores() -> tuple[DrawnPage, list[tuple[float, float]]]:
    page = DrawnPage()
    for y in (15, 18, 21):
        page.line((5, y), (55, y))
    return page, [(x, y) for y in (15.0, 18.0, 21.0) for x in (10.0, 50.0)]


def test_bar_with_ticks_over_the_cores_of_a_cable_joins_nothing() -> None:
    page, places = make_cores()
    page.line((30, 13.4), (30, 22.6))
    for y in (15, 18, 21):
        page.line((29.4, y - 0.6), (30.6, y + 0.6))
    reading = page.read()
    assert nets_of(reading, places) == [{0, 1}, {2, 3}, {4, 5}]
    assert len(reading.conductors) == 3


def test_twist_sign_over_two_lines_joins_nothing() -> None:
    page, places = make_cores()
    curve = [(30 + 1.6 * math.sin(math.tau * t / 20), 14.1 + 4.8 * t / 20) for t in range(21)]
    page.line(*curve)
    assert nets_of(page.read(), places) == [{0, 1}, {2, 3}, {4, 5}]


def test_fuse_with_a_thick_line_through_it_parts_its_lines() -> None:
    page = DrawnPage().box(27, 18.9, 33, 21.1, width_mm=0.5).line((5, 20), (55, 20), width_mm=0.5)
    assert nets_of(page.read(), [LEFT, RIGHT]) == [{0}, {1}]


def test_screen_drawn_as_an_ellipse_neither_joins_nor_parts_its_lines() -> None:
    page, places = make_cores()
    angles = [math.tau * t / 60 for t in range(61)]
    page.line(*((30 + 1.6 * math.cos(a), 18 + 4.3 * math.sin(a)) for a in angles))
    assert nets_of(page.read(), places) == [{0, 1}, {2, 3}, {4, 5}]
