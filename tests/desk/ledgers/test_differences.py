"""Whatever becomes of a list, taking rows out and putting rows in gives exactly the new one."""

from hypothesis import given
from hypothesis import strategies as st

from loomfolio.desk.ledgers.differences import RowRange, row_changes

keys = st.lists(st.integers(0, 30), unique=True, max_size=20)


def applied(old, new):
    changes = row_changes(old, new)
    rows = list(old)
    for gone in changes.removed:
        del rows[gone.first : gone.last + 1]
    for come in changes.added:
        rows[come.first : come.first] = new[come.first : come.last + 1]
    return rows


@given(keys, keys)
def test_changes_lead_from_old_to_new(old, new):
    assert applied(old, new) == new


@given(keys)
def test_nothing_changes_between_equal_lists(rows):
    changes = row_changes(rows, rows)
    assert changes.removed == changes.added == ()


@given(keys, st.data())
def test_one_row_gone_is_one_range(rows, data):
    if rows:
        at = data.draw(st.integers(0, len(rows) - 1))
        changes = row_changes(rows, rows[:at] + rows[at + 1 :])
        assert changes.removed == (RowRange(at, at),)
        assert changes.added == ()


def test_a_row_that_moves_is_taken_out_and_put_in_alone():
    changes = row_changes("abcd", "bcda")
    assert changes.removed == (RowRange(0, 0),)
    assert changes.added == (RowRange(3, 3),)


def test_neighbours_go_together():
    assert row_changes("abcde", "ae").removed == (RowRange(1, 3),)
