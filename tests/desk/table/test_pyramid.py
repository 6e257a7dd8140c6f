"""Pages halved and halved again: sizes, the fitting level, what is kept for good."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.desk.table.pyramid import KEPT_SIDE_PX, SMALLEST_SIDE_PX, build_pyramid, level_for


@given(st.integers(1, 3000), st.integers(1, 3000))
def test_each_level_is_half_the_one_before_rounded_up(width, height):
    pyramid = build_pyramid(np.zeros((height, width), np.uint8))
    for k, level in enumerate(pyramid.levels):
        assert level.shape == (-(-height // 2**k), -(-width // 2**k))


def test_the_last_level_is_small_enough():
    pyramid = build_pyramid(np.zeros((3508, 4961), np.uint8))
    assert max(pyramid.levels[-1].shape) <= SMALLEST_SIDE_PX
    assert max(pyramid.levels[-2].shape) > SMALLEST_SIDE_PX


def test_a_tiny_page_is_its_own_only_level():
    assert len(build_pyramid(np.zeros((3, 2), np.uint8)).levels) == 1


def test_halving_keeps_the_mean_of_the_ink():
    page = np.random.default_rng(1).integers(0, 256, (1024, 1024), np.uint8)
    pyramid = build_pyramid(page)
    means = [float(level.mean()) for level in pyramid.levels]
    assert means == pytest.approx([means[0]] * len(means), abs=0.6)


def test_a_colour_page_stays_in_colour():
    assert build_pyramid(np.zeros((600, 600, 3), np.uint8)).levels[-1].shape == (150, 150, 3)


@given(st.floats(0.001, 8))
def test_a_level_is_never_coarser_than_what_is_shown_nor_twice_too_fine(scale):
    shown = scale * 2 ** level_for(scale)
    assert shown <= 1.0 or level_for(scale) == 0
    assert shown > 0.5 - 1e-9


def test_a_thinned_pyramid_keeps_its_small_levels():
    pyramid = build_pyramid(np.zeros((7016, 9921), np.uint8))
    thin = pyramid.thinned()
    assert max(thin.levels[0].shape) <= KEPT_SIDE_PX
    assert thin.last == pyramid.last
    assert thin.level(thin.first) is pyramid.level(thin.first)
    assert thin.size_bytes < pyramid.size_bytes / 50


def test_the_nearest_held_level_stands_in():
    thin = build_pyramid(np.zeros((7016, 9921), np.uint8)).thinned()
    assert thin.held_near(0) == thin.first
    assert thin.held_near(99) == thin.last
    with pytest.raises(IndexError):
        thin.level(0)
