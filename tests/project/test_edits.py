"""Laws of all edits: pure, sharing what they left alone, refused in one sentence, never reusing an id."""

from __future__ import annotations

import inspect

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio import project as room
from loomfolio.basics import EditError, MmPoint
from loomfolio.project import LIST_NAMES, Anchor, Project, compare, edits, records_of
from support.make_project import EDITS, Hand, make_two_sheets, runs_of_edits

MADE = make_two_sheets()


@given(runs_of_edits(start=MADE.project, max_size=10))
def test_no_id_is_ever_used_twice(steps):
    given_before: dict[str, type] = {}
    for step in steps:
        for name in LIST_NAMES:
            for record in records_of(step.project, name):
                assert given_before.setdefault(record.id, type(record)) is type(record)
        fresh = {r.id for name in LIST_NAMES for r in records_of(step.project, name)}
        assert max(int(i.rpartition("-")[2]) for i in fresh | {"x-0"}) <= step.project.serial


@given(runs_of_edits(start=MADE.project, max_size=10))
def test_an_edit_leaves_the_document_before_as_it_was_and_shares_what_it_left_alone(steps):
    before = MADE.project
    for step in steps:
        changes = compare(before, step.project)
        for name in LIST_NAMES:
            change = changes.of(name)
            if change.is_empty:
                assert records_of(step.project, name) is records_of(before, name)
            kept = {record.id: record for record in records_of(before, name)}
            for record in records_of(step.project, name):
                if record.id in kept and record.id not in change.changed_ids:
                    assert record is kept[record.id]
        before = step.project
    assert MADE.project == make_two_sheets().project


@given(st.data(), st.sampled_from(sorted(EDITS)))
def test_the_same_edit_of_the_same_document_gives_the_same_document(
    data: st.DataObject, title: str
):
    class Again:
        """Repeats what was drawn the first time."""

        def __init__(self) -> None:
            self.drawn: list[object] = []
            self.at: int | None = None

        def __call__(self, strategy):
            if self.at is None:
                self.drawn.append(data.draw(strategy))
                return self.drawn[-1]
            self.at += 1
            return self.drawn[self.at - 1]

    again = Again()
    try:
        first = EDITS[title](Hand(again, MADE.project))
    except EditError:
        return
    again.at = 0
    assert EDITS[title](Hand(again, MADE.project)) == first


NOWHERE = {
    "set_scope": lambda p: edits.set_scope(p, [room.HalfKey(part="part-99")]),
    "set_job": lambda p: edits.set_job(p, room.Job(scope=(room.HalfKey(part="part-99"),))),
    "change_sheet": lambda p: edits.change_sheet(
        p, p.sheets[0].model_copy(update={"id": "sheet-99"})
    ),
    "move_sheet": lambda p: edits.move_sheet(p, "sheet-99", table_at=MmPoint(0, 0)),
    "remove_sheet": lambda p: edits.remove_sheet(p, "sheet-99"),
    "change_part": lambda p: edits.change_part(p, p.parts[0].model_copy(update={"id": "part-99"})),
    "rename_part": lambda p: edits.rename_part(p, "part-99", "X"),
    "remove_part": lambda p: edits.remove_part(p, "part-99"),
    "remove_reference": lambda p: edits.remove_reference(p, "reference-99"),
    "remove_lead": lambda p: edits.remove_lead(p, "lead-99"),
    "remove_group": lambda p: edits.remove_group(p, "group-99"),
    "remove_harness": lambda p: edits.remove_harness(p, "harness-99"),
    "remove_fit": lambda p: edits.remove_fit(p, "fit-99"),
    "remove_specimen": lambda p: edits.remove_specimen(p, "specimen-99"),
    "remove_marks": lambda p: edits.remove_marks(p, [MADE.body, "mark-99"]),
    "move_marks": lambda p: edits.move_marks(p, [MADE.body, "mark-99"], right_mm=1),
    "change_mark": lambda p: edits.change_mark(p, p.marks[0].model_copy(update={"id": "mark-99"})),
    "number_pins": lambda p: edits.number_pins(p, "mark-99", ()),
    "remove_link": lambda p: edits.remove_link(p, "link-99"),
    "remove_mate": lambda p: edits.remove_mate(p, "mate-99"),
    "withdraw_confirmation": lambda p: edits.withdraw_confirmation(p, "confirmation-99"),
    "withdraw_acceptance": lambda p: edits.withdraw_acceptance(p, "acceptance-99"),
    "put_name": lambda p: edits.put_name(p, sheet="sheet-99", at=MmPoint(1, 1), name="X"),
    "put_join": lambda p: edits.put_join(p, sheet="sheet-99", at=MmPoint(1, 1)),
    "put_body": lambda p: edits.put_body(
        p,
        sheet=MADE.sheet,
        box=room.BodyMark.model_fields["box"].annotation(0, 0, 1, 1),
        part="part-99",
    ),
    "add_link": lambda p: edits.add_link(p, a=Anchor(sheet="sheet-99", at=MmPoint(1, 1))),
    "confirm": lambda p: edits.confirm(p, piece="link", record="link-99"),
    "add_part": lambda p: edits.add_part(p, name="X", reference="reference-99"),
    "add_lead": lambda p: edits.add_lead(
        p, ends=(MADE.project.leads[0].ends[0], room.PinKey(part="part-99", pin="1"))
    ),
}


@pytest.mark.parametrize("edit", NOWHERE.values(), ids=NOWHERE.keys())
def test_an_edit_that_speaks_of_what_is_not_there_is_refused_in_one_sentence(edit):
    with pytest.raises(EditError) as caught:
        edit(MADE.project)
    sentence = str(caught.value)
    assert "-99" in sentence
    assert sentence.endswith(".")
    assert "\n" not in sentence


def test_every_edit_stands_in_the_contract_of_the_room():
    for name in edits.__all__:
        assert getattr(room, name) is getattr(edits, name)
        assert name in room.__all__


def test_every_edit_takes_the_document_first_and_gives_one_back():
    for name in set(edits.__all__) - {"Added"}:
        signature = inspect.signature(getattr(edits, name), eval_str=True)
        assert next(iter(signature.parameters)) == "project"
        assert signature.return_annotation in {Project, edits.Added}


def test_every_public_name_of_the_room_is_there():
    assert len(set(room.__all__)) == len(room.__all__)
    assert all(hasattr(room, name) for name in room.__all__)
