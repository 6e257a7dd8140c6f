"""A ledger's model tells Qt exactly what changed, and takes edits only where a column has them."""

from dataclasses import dataclass, replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QModelIndex, Qt

from loomfolio.desk.ledgers.columns import Column
from loomfolio.desk.ledgers.filter_model import FilterModel
from loomfolio.desk.ledgers.records_model import RECORD_ROLE, RecordsModel


@dataclass(frozen=True)
class Line:
    number: int
    name: str = ""


def make_model(*lines, edit=None):
    columns = [
        Column("number", "No.", lambda line: f"E{line.number}", is_number=True),
        Column("name", "Name", lambda line: line.name, edit=edit),
    ]
    model = RecordsModel(columns, key=lambda line: line.number)
    model.show_records(lines)
    return model


lines = st.lists(
    st.builds(Line, st.integers(0, 12), st.sampled_from(["", "E7", "+30"])), max_size=12
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(first=lines, second=lines)
def test_any_list_can_follow_any_other(qtmodeltester, first, second):
    model = make_model(*first)
    qtmodeltester.check(model)
    model.show_records(second)
    assert model.records == tuple(second)
    assert model.rowCount() == len(second)


def test_the_model_passes_qts_own_checker(qtmodeltester):
    qtmodeltester.check(make_model(Line(1), Line(2, "E7")))


def test_a_changed_line_is_told_once_and_nothing_else(qtbot):
    model = make_model(Line(1), Line(2), Line(3))
    told = []
    model.dataChanged.connect(lambda top, bottom: told.append((top.row(), bottom.row())))
    model.rowsInserted.connect(lambda *_: told.append("in"))
    model.rowsRemoved.connect(lambda *_: told.append("out"))
    model.modelReset.connect(lambda: told.append("reset"))
    model.show_records([Line(1), Line(2, "named"), Line(3)])
    assert told == [(1, 1)]


def test_the_same_list_again_tells_nothing(qtbot):
    model = make_model(Line(1), Line(2))
    told = []
    for signal in (model.dataChanged, model.rowsInserted, model.rowsRemoved, model.modelReset):
        signal.connect(lambda *_: told.append(1))
    model.show_records([Line(1), Line(2)])
    assert told == []


def test_two_lines_with_one_key_are_both_kept(qtbot):
    model = make_model(Line(1, "a"), Line(1, "b"))
    model.show_records([Line(1, "b")])
    assert model.records == (Line(1, "b"),)


def test_a_typed_name_is_handed_on_and_the_line_waits_for_the_document(qtbot):
    typed = []
    model = make_model(Line(4), edit=lambda line, text: typed.append((line.number, text)))
    assert model.setData(model.index(0, 1), "  E7 ", Qt.ItemDataRole.EditRole)
    assert typed == [(4, "E7")]
    assert model.record(0).name == ""


@pytest.mark.parametrize(("column", "is_read_only"), [(0, False), (1, True)])
def test_a_refused_edit_tells_nothing(qtbot, column, is_read_only):
    model = make_model(Line(4), edit=lambda line, text: None)
    model.is_read_only = is_read_only
    told = []
    model.dataChanged.connect(lambda *_: told.append(1))
    index = model.index(0, column)
    assert not index.flags() & Qt.ItemFlag.ItemIsEditable
    assert not model.setData(index, "x", Qt.ItemDataRole.EditRole)
    assert told == []


def test_typing_what_is_there_already_is_no_edit(qtbot):
    typed = []
    model = make_model(Line(4, "E7"), edit=lambda *edit: typed.append(edit))
    assert not model.setData(model.index(0, 1), "E7", Qt.ItemDataRole.EditRole)
    assert typed == []


def shown(proxy, column=0):
    return [proxy.index(row, column).data() for row in range(proxy.rowCount())]


def test_sorting_counts_as_a_person_does(qtbot):
    proxy = FilterModel(make_model(Line(10), Line(2), Line(1)), lambda line: True)
    proxy.sort(0)
    assert shown(proxy) == ["E1", "E2", "E10"]


def test_empty_cells_sort_last(qtbot):
    proxy = FilterModel(make_model(Line(1), Line(2, "b"), Line(3, "a")), lambda line: True)
    proxy.sort(1)
    assert shown(proxy, 1) == ["a", "b", ""]


def test_every_word_must_be_in_the_line(qtbot):
    proxy = FilterModel(make_model(Line(1, "brake left"), Line(2, "brake right")), lambda _: True)
    proxy.set_words("RIGHT brake")
    assert shown(proxy) == ["E2"]
    proxy.set_words("")
    assert shown(proxy) == ["E1", "E2"]


def test_scope_hides_what_the_job_is_not_about(qtbot, qtmodeltester):
    proxy = FilterModel(make_model(Line(1), Line(2)), lambda line: line.number == 2)
    proxy.set_scope_only(is_scope_only=True)
    assert shown(proxy) == ["E2"]
    qtmodeltester.check(proxy)


def test_an_edited_line_moves_to_its_place_in_the_sorted_ledger(qtbot):
    model = make_model(Line(1, "b"), Line(2, "c"))
    proxy = FilterModel(model, lambda line: True)
    proxy.sort(1)
    model.show_records([replace(model.record(0), name="d"), model.record(1)])
    assert shown(proxy, 1) == ["c", "d"]


def test_copied_rows_have_a_header_and_no_stray_tabs(qtbot):
    proxy = FilterModel(make_model(Line(1, "a\tb\nc"), Line(2, "d")), lambda line: True)
    assert proxy.as_tsv([0, 1]) == "No.\tName\nE1\ta b c\nE2\td\n"


def test_the_record_behind_a_line_comes_back_as_it_was(qtbot):
    model = make_model(Line(7, "x"))
    assert model.index(0, 0).data(RECORD_ROLE).value is model.record(0)
    assert not model.index(0, 0, QModelIndex()).parent().isValid()
