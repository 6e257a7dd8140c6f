"""What must hold in a document: looked for in whole documents, and in what an edit changed."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.basics import MmBox
from loomfolio.project import (
    LIST_NAMES,
    Cavity,
    Connector,
    Half,
    HalfKey,
    InnerPin,
    InnerWay,
    Photo,
    Project,
    compare,
    faults,
    records_of,
)
from loomfolio.project.integrity import change_faults, is_inside_folder, needs
from loomfolio.project.record_lists import RECORD_LISTS
from support.make_project import make_two_sheets, projects, runs_of_edits

MADE = make_two_sheets()
WAY = InnerWay(relation="joined", pins=(InnerPin(pin="1"), InnerPin(pin="2")))


def with_first(list_name: str, /, **fields: object) -> Project:
    """The document with fields of the first record of a list changed past all checks."""
    first, *rest = getattr(MADE.project, list_name)
    return MADE.project.model_copy(update={list_name: (first.model_copy(update=fields), *rest)})


@given(projects())
def test_every_document_that_edits_lead_to_is_sound(project: Project):
    assert list(faults(project)) == []


@given(runs_of_edits(max_size=8))
def test_what_an_edit_changed_is_sound_too(steps):
    before = MADE.project
    for step in steps:
        assert list(change_faults(step.project, compare(before, step.project))) == []
        back = compare(step.project, before)
        assert list(change_faults(before, back)) == []
        before = step.project


@given(projects(), st.sampled_from(LIST_NAMES), st.integers(0, 50))
def test_a_record_torn_out_is_missed_by_the_same_records_either_way(
    project: Project, name: str, number: int
):
    """`change_faults` looks at fewer records than `faults` and must not miss one of them."""
    records = records_of(project, name)
    if not records:
        return
    kept = tuple(r for n, r in enumerate(records) if n != number % len(records))
    torn = project.model_copy(update={name: kept})
    assert set(change_faults(torn, compare(project, torn))) == set(faults(torn))


@pytest.mark.parametrize(
    ("broken", "fault"),
    [
        pytest.param(
            lambda: with_first("marks", sheet="sheet-9"),
            "mark-6: it speaks of the sheet sheet-9, which the project does not hold",
            id="mark on no sheet",
        ),
        pytest.param(
            lambda: with_first("marks", part="part-9"),
            "mark-6: it speaks of the part part-9, which the project does not hold",
            id="body of no part",
        ),
        pytest.param(
            lambda: with_first("marks", box=MmBox(5, 5, 5, 9)),
            "mark-6: the box of a body has no width or no height",
            id="flat body",
        ),
        pytest.param(
            lambda: with_first("parts", reference="part-5"),
            "part-4: it speaks of the reference part-5, which the project does not hold",
            id="a part is no reference",
        ),
        pytest.param(
            lambda: with_first("leads", harness="harness-9"),
            "lead-11: it speaks of the harness harness-9, which the project does not hold",
            id="lead of no harness",
        ),
        pytest.param(
            lambda: with_first(
                "links", b=None, a=MADE.project.links[0].a.model_copy(update={"sheet": "sheet-9"})
            ),
            "link-8: it speaks of the sheet sheet-9, which the project does not hold",
            id="link from no sheet",
        ),
        pytest.param(
            lambda: with_first("confirmations", record="link-9"),
            "confirmation-13: it speaks of the record link-9, which the project does not hold",
            id="confirmation of nothing",
        ),
        pytest.param(
            lambda: with_first("harnesses", ends=(HalfKey(part="part-9"),)),
            "harness-10: it speaks of the part part-9, which the project does not hold",
            id="harness to no part",
        ),
        pytest.param(
            lambda: with_first("groups", screen_ends=(HalfKey(part="part-9").pin("S"),)),
            "group-12: it speaks of the part part-9, which the project does not hold",
            id="screen to no part",
        ),
        pytest.param(
            lambda: with_first("sheets", file="sheets/../../x.png"),
            "sheet-1: its file 'sheets/../../x.png' does not lie in the project folder",
            id="sheet elsewhere",
        ),
        pytest.param(
            lambda: with_first("parts", name="k1"),
            "the name 'k1' of part-4 is used twice",
            id="name used twice",
        ),
        pytest.param(
            lambda: with_first("parts", when="a |"),
            "part-4: The condition 'a |' cannot be read: it ends where the name of an option is"
            " missing; add one",
            id="condition of a part",
        ),
        pytest.param(
            lambda: with_first("parts", connectors=(Connector(when="&"),)),
            "part-4: The condition '&' cannot be read: '&' stands where the name of an option is"
            " missing",
            id="condition of a connector",
        ),
        pytest.param(
            lambda: with_first(
                "parts",
                connectors=(Connector(halves=(Half(cavities=(Cavity(pin="1", when="("),)),)),),
            ),
            "part-4: The condition '(' cannot be read: it ends where the name of an option is"
            " missing; add one",
            id="condition of a cavity",
        ),
        pytest.param(
            lambda: with_first("parts", ways=(WAY.model_copy(update={"when": "!"}),)),
            "part-4: The condition '!' cannot be read: it ends where the name of an option is"
            " missing; add one",
            id="condition of a way",
        ),
        pytest.param(
            lambda: with_first("parts", note="caf\udce9"),
            "part-4: a text in it holds a character that cannot be written",
            id="half a character",
        ),
        pytest.param(
            lambda: with_first("parts", id="part-99"),
            "the id part-99 lies above the serial 16",
            id="id above the serial",
        ),
        pytest.param(
            lambda: with_first("parts", id="part-5"), "the id part-5 is used twice", id="id twice"
        ),
        pytest.param(
            lambda: MADE.project.model_copy(
                update={"job": MADE.project.job.model_copy(update={"title": "\ud800"})}
            ),
            "the job: a text in it holds a character that cannot be written",
            id="half a character in the job",
        ),
        pytest.param(
            lambda: MADE.project.model_copy(update={"serial": 3}),
            "the id part-4 lies above the serial 3",
            id="serial set back",
        ),
    ],
)
def test_what_does_not_hold_is_told_in_one_clause(broken: Callable[[], Project], fault: str):
    document = broken()
    assert fault in list(faults(document))
    assert fault in list(change_faults(document, compare(MADE.project, document)))


def test_photos_of_a_specimen_lie_in_the_folder():
    from loomfolio.project import edits

    p, _ = edits.add_specimen(
        MADE.project, name="Van", kind="this vehicle", photos=("photos/a.jpg",)
    )
    outside = p.specimens[0].model_copy(update={"photos": (Photo(file="/etc/passwd"),)})
    torn = p.model_copy(update={"specimens": (outside,)})
    assert any("'/etc/passwd' does not lie in" in fault for fault in faults(torn))


@pytest.mark.parametrize(
    ("file", "is_inside"),
    [
        ("sheets/a.png", True),
        ("a", True),
        ("sheets/a..b/..c.png", True),
        ("", False),
        (".", False),
        ("..", False),
        ("sheets/../a.png", False),
        ("/a.png", False),
        ("C:/a.png", False),
        ("sheets\\a.png", False),
        ("sheets/a\0.png", False),
    ],
)
def test_which_paths_stay_inside_a_folder(file: str, is_inside: bool):
    assert is_inside_folder(file) is is_inside


def test_every_kind_of_record_is_asked_for_what_it_speaks_of():
    spoken_of = {
        need.word
        for name in LIST_NAMES
        for r in records_of(MADE.project, name)
        for need in needs(r)
    }
    words = {record_list.word for record_list in RECORD_LISTS.values()}
    assert spoken_of == {"sheet", "part", "reference", "harness", "record"}
    assert spoken_of - {"record"} <= words
