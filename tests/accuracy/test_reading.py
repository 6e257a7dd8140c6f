"""A few generated pages through the reader: the promises of its records hold on crowded pages too."""

from __future__ import annotations

import pytest

from accuracy.pages import draw_page
from accuracy.report import Job, Total, read_scan, run_job, seeds_of, table
from accuracy.scans import scan_page
from accuracy.score import score_reading

PAGES = [(10, "clean"), (16, "slight"), (30, "screenshot")]


@pytest.fixture(scope="module", params=PAGES, ids=lambda page: f"{page[1]}-{page[0]}")
def page(request):
    seed, damage = request.param
    scan = scan_page(draw_page(seed), damage)
    return scan, read_scan(scan)


def test_every_conductor_is_in_one_piece_by_shared_vertices(page):
    scan, reading = page
    assert score_reading(scan, reading).loose == ()


def test_everything_seen_lies_on_the_page_that_was_given(page):
    scan, reading = page
    high, wide = scan.pixels.shape[:2]
    points = [p for c in reading.conductors for line in c.lines for p in line]
    points += [(d.x, d.y) for d in (*reading.doubts, *reading.junctions, *reading.crossings)]
    assert points
    assert all(-1 <= x <= wide + 1 and -1 <= y <= high + 1 for x, y in points)
    assert (reading.page.width_px, reading.page.height_px) == (wide, high)


def test_most_nets_of_a_page_are_read_right(page):
    """A floor far below the figures of the report: a reader that breaks down falls through it."""
    scan, reading = page
    score = score_reading(scan, reading)
    assert len(score.wrong) < 0.25 * score.nets


def test_the_two_sorts_of_seeds_share_no_page():
    assert seeds_of("tune", 4) == [0, 2, 4, 6]
    assert seeds_of("held", 4) == [1, 3, 5, 7]


def test_the_table_has_a_row_for_each_damage_and_draws_what_went_wrong(tmp_path):
    total = Total()
    outcome = run_job(Job(10, "clean150", with_boxes=False, picture=tmp_path))
    total.add(outcome)
    cells = total.cells("clean150")
    assert (cells[0], cells[1], cells[2]) == ("clean150", "1", f"{outcome.score.nets}")
    assert len(table([cells]).splitlines()) == 3
    assert len(outcome.causes) == len(outcome.score.wrong)
    assert bool(list(tmp_path.iterdir())) == bool(outcome.score.wrong)
