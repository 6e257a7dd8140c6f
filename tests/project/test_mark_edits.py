"""Marks on the sheets: names, notes, lines, answers to crossings, bodies with their pins."""

from __future__ import annotations

import math

import pytest

from loomfolio.basics import EditError, MmBox, MmPoint
from loomfolio.project import (
    Anchor,
    ApartMark,
    BodyMark,
    BodyPin,
    JoinMark,
    Known,
    LeadColour,
    LeadMark,
    LineMark,
    NameMark,
    NotConductorMark,
    Project,
    edits,
)
from support.make_project import make_two_sheets

MADE = make_two_sheets()
P, SHEET = MADE.project, MADE.sheet


def mark_of(added: edits.Added):
    return next(mark for mark in added.project.marks if mark.id == added.id)


def test_a_name_is_trimmed_and_says_how_it_is_known():
    known = Known(how="seen", source="the van")
    added = edits.put_name(
        P, sheet=SHEET, at=MmPoint(1, 2), name=" TAIL L ", when="tow", known=known
    )
    assert mark_of(added) == NameMark(
        id=added.id, sheet=SHEET, at=MmPoint(1, 2), name="TAIL L", when="tow", known=known
    )
    assert added.id == f"mark-{P.serial + 1}"


@pytest.mark.parametrize("name", ["", "   "])
def test_a_name_of_nothing_is_refused(name: str):
    with pytest.raises(EditError, match=r"This mark cannot be kept: name is empty."):
        edits.put_name(P, sheet=SHEET, at=MmPoint(1, 2), name=name)


@pytest.mark.parametrize("at", [MmPoint(math.nan, 1), MmPoint(1, math.inf)])
def test_a_mark_at_no_place_is_refused(at: MmPoint):
    with pytest.raises(EditError, match="should be a finite number"):
        edits.put_join(P, sheet=SHEET, at=at)


def test_a_condition_that_cannot_be_read_is_refused():
    with pytest.raises(EditError, match=r"cannot be kept: The condition 'a \|' cannot be read"):
        edits.put_name(P, sheet=SHEET, at=MmPoint(1, 2), name="X", when="a |")


def test_a_note_on_a_lead_has_a_colour_or_an_area():
    colour = LeadColour(text="BN/WH")
    added = edits.put_lead_note(P, sheet=SHEET, at=MmPoint(1, 2), colour=colour, area_mm2=1.5)
    assert mark_of(added) == LeadMark(
        id=added.id, sheet=SHEET, at=MmPoint(1, 2), colour=colour, area_mm2=1.5
    )
    with pytest.raises(EditError, match="needs a colour or an area; give at least one"):
        edits.put_lead_note(P, sheet=SHEET, at=MmPoint(1, 2))
    with pytest.raises(EditError, match="area_mm2 should be greater than 0"):
        edits.put_lead_note(P, sheet=SHEET, at=MmPoint(1, 2), area_mm2=-1)


def test_a_line_takes_doubled_points_once():
    a, b = MmPoint(0, 0), MmPoint(0, 9)
    added = edits.put_line(P, sheet=SHEET, points=[a, a, b, b, a])
    assert mark_of(added) == LineMark(id=added.id, sheet=SHEET, points=(a, b, a))


@pytest.mark.parametrize("points", [[], [MmPoint(1, 1)], [MmPoint(1, 1), MmPoint(1, 1)]])
def test_a_line_of_fewer_than_two_points_is_refused(points: list[MmPoint]):
    with pytest.raises(EditError, match="needs two different points"):
        edits.put_line(P, sheet=SHEET, points=points)


def test_what_is_no_conductor():
    added = edits.put_not_conductor(P, sheet=SHEET, at=MmPoint(1, 2))
    assert mark_of(added) == NotConductorMark(id=added.id, sheet=SHEET, at=MmPoint(1, 2))


# -------------------------------------------------------------------------------------- answers


def answers(project: Project) -> list[tuple[str, MmPoint]]:
    return [(m.kind, m.at) for m in project.marks if isinstance(m, JoinMark | ApartMark)]


@pytest.mark.parametrize("first", [edits.put_join, edits.put_apart])
@pytest.mark.parametrize("second", [edits.put_join, edits.put_apart])
def test_answering_again_within_a_millimetre_changes_the_answer(first, second):
    p = first(P, sheet=SHEET, at=MmPoint(50, 50)).project
    added = second(p, sheet=SHEET, at=MmPoint(50.6, 50.8))
    assert answers(added.project) == [(mark_of(added).kind, MmPoint(50.6, 50.8))]


def test_an_answer_farther_off_or_on_another_sheet_or_for_another_fit_is_another_one():
    p = edits.put_join(P, sheet=SHEET, at=MmPoint(50, 50)).project
    p = edits.put_apart(p, sheet=SHEET, at=MmPoint(50, 51.01)).project
    p = edits.put_apart(p, sheet=MADE.other_sheet, at=MmPoint(50, 50)).project
    p = edits.put_apart(p, sheet=SHEET, at=MmPoint(50, 50), when="towing").project
    assert [kind for kind, _ in answers(p)] == ["join", "apart", "apart", "apart"]


def confirmed_at(project: Project, at: MmPoint, piece="crossing") -> Project:
    return edits.confirm(project, piece=piece, place=Anchor(sheet=SHEET, at=at)).project


def test_another_answer_withdraws_what_was_confirmed_of_the_old_one():
    p = edits.put_join(P, sheet=SHEET, at=MmPoint(50, 50)).project
    for piece in ("join", "crossing", "gap", "touch"):
        p = confirmed_at(p, MmPoint(50.2, 50), piece)
    p = confirmed_at(p, MmPoint(50, 50), "end")
    p = confirmed_at(p, MmPoint(60, 50), "join")
    after = edits.put_apart(p, sheet=SHEET, at=MmPoint(50, 50)).project
    gone = set(p.confirmations) - set(after.confirmations)
    assert {c.piece for c in gone} == {"join", "crossing", "gap", "touch"}
    assert all(c.place.at == MmPoint(50.2, 50) for c in gone)


def test_a_first_answer_withdraws_what_was_confirmed_of_the_reading():
    p = confirmed_at(P, MmPoint(50, 50))
    after = edits.put_apart(p, sheet=SHEET, at=MmPoint(50, 50.5)).project
    assert len(after.confirmations) == len(p.confirmations) - 1


def test_the_same_answer_keeps_what_was_confirmed():
    p = edits.put_join(P, sheet=SHEET, at=MmPoint(50, 50)).project
    p = confirmed_at(p, MmPoint(50, 50))
    again = edits.put_join(p, sheet=SHEET, at=MmPoint(50.1, 50)).project
    assert again.confirmations == p.confirmations


# --------------------------------------------------------------------------------------- bodies


def test_a_body_with_its_pins_and_the_keys_of_the_pins():
    pins = (BodyPin(at=MmPoint(5, 1), pin="86"),)
    added = edits.put_body(
        P, sheet=SHEET, box=MmBox(0, 0, 5, 9), part=MADE.relay, connector="C2", half="B", pins=pins
    )
    body = mark_of(added)
    assert isinstance(body, BodyMark)
    assert body.pins == pins
    key = body.key(pins[0])
    assert (key.part, key.connector, key.half, key.pin) == (MADE.relay, "C2", "B", "86")
    assert body.half_key == key.half_key


@pytest.mark.parametrize("box", [MmBox(0, 0, 0, 5), MmBox(5, 0, 1, 5), MmBox(0, 5, 5, 5)])
def test_a_body_without_room_is_refused(box: MmBox):
    with pytest.raises(EditError, match="the box of a body has no width or no height"):
        edits.put_body(P, sheet=SHEET, box=box, part=MADE.relay)


def test_pins_are_numbered_anew_and_only_on_a_body():
    pins = (BodyPin(at=MmPoint(30, 12), pin="A1"),)
    p = edits.number_pins(P, MADE.body, pins)
    assert p.marks[0].pins == pins
    assert edits.number_pins(P, MADE.body, ()).marks[0].pins == ()
    with pytest.raises(EditError, match=f"{MADE.name} is no body; only a body has pins"):
        edits.number_pins(P, MADE.name, pins)


# --------------------------------------------------------------------------- change, move, remove


def test_a_mark_keeps_its_id_and_its_kind():
    name = P.marks[1]
    changed = edits.change_mark(P, name.model_copy(update={"name": "TAIL"}))
    assert (changed.marks[1].id, changed.marks[1].name) == (name.id, "TAIL")
    other = JoinMark(id=name.id, sheet=SHEET, at=MmPoint(1, 1))
    with pytest.raises(EditError, match="cannot become another kind of mark"):
        edits.change_mark(P, other)


def test_a_change_past_the_checks_of_the_model_is_refused():
    with pytest.raises(EditError, match="name is empty"):
        edits.change_mark(P, P.marks[1].model_copy(update={"name": ""}))


def test_a_change_that_changes_nothing_gives_the_same_document():
    assert edits.change_mark(P, P.marks[0].model_copy()) is P


def test_another_name_withdraws_the_confirmation_of_the_old_one_and_another_place_does_not():
    p = edits.confirm(P, piece="name", record=MADE.name, detail="BRAKE").project
    moved = edits.change_mark(p, p.marks[1].model_copy(update={"at": MmPoint(41, 12)}))
    assert moved.confirmations == p.confirmations
    renamed = edits.change_mark(p, p.marks[1].model_copy(update={"name": "TAIL"}))
    assert renamed.confirmations == P.confirmations


def test_marks_move_with_all_that_belongs_to_them():
    p, line = edits.put_line(P, sheet=SHEET, points=[MmPoint(0, 0), MmPoint(0, 9)])
    moved = edits.move_marks(p, [MADE.body, MADE.name, line], right_mm=10, down_mm=-1)
    body, name, drawn = moved.marks
    assert body.box == MmBox(20, 9, 40, 19)
    assert [pin.at for pin in body.pins] == [MmPoint(40, 11), MmPoint(40, 14)]
    assert name.at == MmPoint(50, 11)
    assert drawn.points == (MmPoint(10, -1), MmPoint(10, 8))


def test_moving_by_nothing_or_moving_no_mark_changes_nothing():
    assert edits.move_marks(P, [MADE.body, MADE.name]) is P
    assert edits.move_marks(P, [], right_mm=5) is P


def test_removing_marks_removes_the_confirmations_that_name_them():
    p = edits.confirm(P, piece="name", record=MADE.name).project
    after = edits.remove_marks(p, [MADE.name])
    assert [mark.id for mark in after.marks] == [MADE.body]
    assert after.confirmations == P.confirmations
    assert edits.remove_marks(P, []) is P
