"""Sheets coming in while the person goes on working."""

import pytest

from loomfolio.desk.sheet_arrival import (
    NOT_KNOWN,
    Arrived,
    check_in,
    lay_down,
    on_paper,
    paper_choices,
    sized,
)
from loomfolio.project import Project, edits
from support.make_desk import FRONT, draw_page


@pytest.fixture
def arrived(session, tmp_path):
    page = draw_page(FRONT, tmp_path / "in" / "page.png")
    return check_in(session.folder, session.project, page, None)


def test_checking_in_leaves_the_document_alone(session, arrived):
    before = session.project
    assert [sheet.title for sheet in arrived.sheets] == ["page"]
    assert session.project == before
    assert session.folder.sheet_path(arrived.sheets[0]).is_file()


def test_pages_are_laid_onto_whatever_the_document_became(session, arrived):
    renamed = session.project.sheet("sheet-1").model_copy(update={"title": "Nose"})
    changed = edits.change_sheet(session.project, renamed)
    step = lay_down(changed, [arrived])
    assert [sheet.title for sheet in step.project.sheets] == ["Nose", "Rear", "page"]
    assert step.title == "Add page.png"


def test_many_pages_are_one_step(session, arrived):
    two = Arrived(arrived.path, arrived.sheets * 2)
    step = lay_down(Project(), [two])
    assert step.title == "Add 2 sheets of page.png"
    assert len({sheet.id for sheet in step.project.sheets}) == 2


def test_a_file_that_says_its_size_wants_no_paper(arrived):
    assert not arrived.wants_paper


def test_a_chosen_paper_gives_the_resolution(arrived):
    sheet = arrived.sheets[0].model_copy(update={"resolution_from": "assumed"})
    asked = Arrived(arrived.path, (sheet,))
    assert asked.wants_paper
    settled = on_paper(asked, "A4").sheets[0]
    assert settled.resolution_from == "paper size"
    long_mm = max(settled.width_px / settled.x_dpi, settled.height_px / settled.y_dpi) * 25.4
    assert long_mm == pytest.approx(297, abs=1)


@pytest.mark.parametrize("answer", [None, NOT_KNOWN], ids=["no answer", "not known"])
def test_who_does_not_know_the_paper_goes_on_without(arrived, answer):
    assert on_paper(arrived, answer) is arrived


def test_the_choices_begin_with_the_likeliest_and_end_with_not_knowing():
    assert paper_choices()[0] == "A4"
    assert paper_choices()[-1] == NOT_KNOWN


def test_the_paper_of_one_sheet_can_be_set_later(session):
    assert sized(session.project.sheet("sheet-1"), "A3").x_dpi != FRONT.sheet.x_dpi
