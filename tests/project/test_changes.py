"""Comparing documents: what an edit touched, and the laws that undo and the journal rest on."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.basics import MmPoint
from loomfolio.project import Changes, ListChange, Project, apply, compare, edits
from support.make_project import make_two_sheets, projects, runs_of_edits, shuffled

pairs = projects().flatmap(
    lambda a: st.tuples(
        st.just(a),
        st.one_of(
            projects(),
            shuffled(a),
            runs_of_edits(start=a, min_size=1, max_size=4).map(
                lambda steps: steps[-1].project if steps else a
            ),
        ),
    )
)


@given(projects())
def test_a_document_does_not_differ_from_itself(project: Project):
    assert compare(project, project).is_empty
    again = Project.model_validate(project.model_dump())
    assert compare(project, again).is_empty


@given(pairs)
def test_the_changes_made_to_the_first_document_give_the_second(pair: tuple[Project, Project]):
    a, b = pair
    assert apply(a, compare(a, b)) == b


@given(pairs)
def test_comparing_the_other_way_round_mirrors_the_changes(pair: tuple[Project, Project]):
    a, b = pair
    there, back = compare(a, b), compare(b, a)
    assert there.mirrored() == back
    assert there.mirrored().mirrored() == there


@given(pairs)
def test_changes_are_empty_only_for_equal_documents(pair: tuple[Project, Project]):
    a, b = pair
    assert compare(a, b).is_empty == (a == b)


def test_an_edit_tells_ids_of_what_was_added_changed_and_removed():
    before = make_two_sheets()
    after, added = edits.put_join(before.project, sheet=before.sheet, at=MmPoint(3, 3))
    after = edits.rename_part(after, before.relay, "K2")
    after = edits.remove_marks(after, [before.name])
    changes = compare(before.project, after)
    assert changes.of("marks").added_ids == {added}
    assert changes.of("marks").removed_ids == {before.name}
    assert changes.of("parts").changed_ids == {before.relay}
    assert changes.of("sheets").is_empty
    assert changes.serial == (before.project.serial, after.serial)
    assert changes.job is None


def test_a_change_in_the_middle_does_not_carry_the_rest_of_the_list():
    before = make_two_sheets().project
    marks = before.marks
    moved = edits.move_marks(before, [marks[0].id], right_mm=1)
    assert compare(before, moved).lists == (
        ListChange("marks", changed=((marks[0], moved.marks[0]),)),
    )


def test_records_in_another_order_are_a_change_of_order_alone():
    before = make_two_sheets().project
    after = before.model_copy(update={"parts": before.parts[::-1]})
    change = compare(before, after).of("parts")
    assert change.order is not None
    assert change.order.after == tuple(part.id for part in after.parts)
    assert not change.added
    assert not change.removed
    assert not change.changed


def test_changes_of_another_document_are_refused():
    made = make_two_sheets()
    removal = compare(made.project, edits.remove_marks(made.project, [made.name]))
    addition = removal.mirrored()
    renaming = compare(made.project, edits.rename_part(made.project, made.relay, "K9"))
    reordering = compare(
        made.project, made.project.model_copy(update={"parts": made.project.parts[::-1]})
    )
    for misfit in (removal, renaming, reordering):
        with pytest.raises(KeyError):
            apply(Project(), misfit)
    with pytest.raises(KeyError):
        apply(made.project, addition)


def test_no_changes_lead_to_the_same_records():
    project = make_two_sheets().project
    assert apply(project, Changes()) == project
