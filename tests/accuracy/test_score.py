"""The scorer, on readings written by hand over a page of two nets."""

from __future__ import annotations

import numpy as np
import pytest

from accuracy.scans import Scan, Truth
from accuracy.score import score_reading
from loomfolio.basics import PxPoint
from loomfolio.reading import Conductor, Doubt, PageSize, Reading

# Two level lines 100 px apart, crossed by nothing: terminals 0 and 1 above, 2 and 3 below.
UPPER = ((100, 100), (900, 100))
LOWER = ((100, 200), (900, 200))


@pytest.fixture
def scan() -> Scan:
    truth = Truth(
        terminals=np.array([*UPPER, *LOWER], dtype=float),
        nets=((0, 1), (2, 3)),
        net_lines=(
            np.array([[*UPPER[0], *UPPER[1]]], float),
            np.array([[*LOWER[0], *LOWER[1]]], float),
        ),
        joins=np.zeros((0, 2)),
        crossings=np.zeros((0, 2)),
    )
    return Scan(0, "clean", np.full((300, 1000), 255, np.uint8), 300, (), truth)


def read(*conductors, doubts=()) -> Reading:
    return Reading(
        page=PageSize(width_px=1000, height_px=300, dpi=300),
        conductors=tuple(
            Conductor(
                id=number,
                lines=tuple(tuple(PxPoint(*p) for p in line) for line in lines),
                stroke_px=3,
            )
            for number, lines in enumerate(conductors, 1)
        ),
        doubts=tuple(Doubt(x=x, y=y, kind="touch", taken="joined") for x, y in doubts),
    )


def test_a_reading_like_the_truth_has_no_fault(scan):
    score = score_reading(scan, read([UPPER], [LOWER]))
    assert (score.wrong, score.true_pairs, score.read_pairs, score.common_pairs) == ((), 2, 2, 2)


def test_a_terminal_may_lie_a_millimetre_off_its_conductor_but_no_more(scan):
    near = read([((100, 111), (900, 111))], [LOWER])
    far = read([((100, 113), (900, 113))], [LOWER])
    assert score_reading(scan, near).wrong == ()
    assert [w.fault for w in score_reading(scan, far).wrong] == ["missed"]


def test_a_line_in_two_pieces_is_one_wrong_net_and_no_pair(scan):
    score = score_reading(
        scan, read([((100, 100), (480, 100))], [((520, 100), (900, 100))], [LOWER])
    )
    assert [w.fault for w in score.wrong] == ["split"]
    assert (score.common_pairs, score.read_pairs, score.silent) == (1, 1, 1)


@pytest.mark.parametrize(
    ("doubt", "silent"),
    [((500, 100), 0), ((700, 100), 1), ((500, 200), 1)],
    ids=["in the gap", "elsewhere on the net", "on another net"],
)
def test_a_doubt_excuses_a_split_only_in_its_gap(scan, doubt, silent):
    pieces = [((100, 100), (490, 100))], [((510, 100), (900, 100))]
    assert score_reading(scan, read(*pieces, [LOWER], doubts=[doubt])).silent == silent


@pytest.mark.parametrize(
    ("doubt", "silent"),
    [((500, 150), 0), ((500, 100), 0), ((800, 100), 2)],
    ids=["on the false line", "where it meets the net", "elsewhere on the net"],
)
def test_a_doubt_excuses_a_false_join_only_on_the_way_to_the_stranger(scan, doubt, silent):
    bridge = ((500, 100), (500, 200))
    upper, lower = (UPPER[0], (500, 100), UPPER[1]), (LOWER[0], (500, 200), LOWER[1])
    score = score_reading(scan, read([upper, bridge, lower], doubts=[doubt]))
    assert [w.fault for w in score.wrong] == ["joined", "joined"]
    assert (score.silent, score.read_pairs, score.common_pairs) == (silent, 6, 2)


def test_a_missing_terminal_is_excused_by_a_doubt_beside_it_alone(scan):
    short = [((100, 100), (700, 100))]
    silent = [
        score_reading(scan, read(short, [LOWER], doubts=[(x, 100)])).silent for x in (500, 890)
    ]
    assert silent == [1, 0]


def test_a_conductor_that_is_not_in_one_piece_is_reported(scan):
    assert score_reading(scan, read([UPPER, LOWER])).loose == (0,)
    assert score_reading(scan, read([UPPER], [LOWER])).loose == ()


def test_nothing_read_misses_every_net_in_silence(scan):
    score = score_reading(scan, read())
    assert (len(score.wrong), score.silent, score.read_pairs) == (2, 2, 0)
