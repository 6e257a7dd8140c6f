"""The columns of each ledger: what stands in a cell, how it sorts, which forms go with it."""

import pytest

from loomfolio.desk.icons import icon_names
from loomfolio.desk.ledgers.lines import (
    doubt_lines,
    gap_lines,
    lead_lines,
    net_lines,
    pin_lines,
    sheet_lines,
)
from loomfolio.desk.ledgers.plan_lines import bench_lines, proof_lines, work_lines
from loomfolio.desk.ledgers.tables import SHEET_KINDS, columns_of
from loomfolio.desk.planning import plan_all
from loomfolio.desk.stages import STAGES
from loomfolio.project import ValidFor, Vehicle, edits
from support.make_desk import derived, fitted_job, pin, planned_job, scoped_job, small_job


class NoEdits:
    """Nothing is typed in these tests."""

    def name_net(self, net, name):
        raise AssertionError

    def title_sheet(self, sheet, title):
        raise AssertionError

    def set_sheet_kind(self, sheet, kind):
        raise AssertionError


LINES = {
    "sheets": lambda state: sheet_lines(state, {}),
    "names": net_lines,
    "pins": pin_lines,
    "leads": lead_lines,
    "gaps": gap_lines,
    "work": lambda state: work_lines(state, plan_all(state)),
    "bench": lambda state: bench_lines(state, plan_all(state)),
    "proof": lambda state: proof_lines(state, plan_all(state)),
    "doubts": doubt_lines,
}
PLANNED = {"work", "bench", "proof"}


def job_for(stage, usual):
    """Gaps need two fits, and a plan needs ways that are chosen."""
    return planned_job() if stage in PLANNED else fitted_job() if stage == "gaps" else usual()


stages = [s.id for s in STAGES]


def columns(stage):
    return {column.id: column for column in columns_of(stage, NoEdits())}


@pytest.mark.parametrize("stage", stages)
def test_every_cell_of_every_line_has_words_tips_and_an_order(stage):
    for line in LINES[stage](derived(job_for(stage, scoped_job))):
        for column in columns(stage).values():
            assert isinstance(column.text(line), str)
            assert column.order(line) <= column.order(line)
            if column.tip is not None:
                assert isinstance(column.tip(line), str)
            mark = column.mark(line) if column.mark else None
            assert mark is None or mark.icon in icon_names()


@pytest.mark.parametrize("stage", stages)
def test_titles_are_short_and_told_apart(stage):
    titles = [column.title for column in columns(stage).values()]
    assert len(set(titles)) == len(titles)
    assert all(len(title) <= 16 for title in titles)


@pytest.mark.parametrize("stage", stages)
def test_open_lines_are_marked_by_a_form_of_their_own(stage):
    """Open and settled differ by the icon itself, not by its colour alone."""
    icons = {True: set(), False: set()}
    for line in LINES[stage](derived(job_for(stage, small_job))):
        for column in columns(stage).values():
            mark = column.mark(line) if column.mark else None
            if mark is not None:
                icons[line.is_open].add(mark.icon)
    assert icons[True].isdisjoint(icons[False])


def test_leads_sort_by_what_is_most_open():
    column = columns("leads")["state"]
    lines = sorted(lead_lines(derived()), key=column.order)
    assert lines[0].is_open
    assert [line.is_open for line in lines] == sorted(
        (line.is_open for line in lines), reverse=True
    )


def test_pins_are_counted_and_not_spelled():
    column = columns("pins")["pin"]
    texts = [line.text for line in sorted(pin_lines(derived()), key=column.order)]
    assert texts.index("TCU C1:2") < texts.index("TCU C2:7")


def test_a_sheet_of_another_vehicle_stops_and_says_why():
    project = small_job()
    sheet = project.sheet("sheet-1").model_copy(update={"valid_for": ValidFor(year_to=2010)})
    job = project.job.model_copy(update={"vehicle": Vehicle(year=2023)})
    project = edits.set_job(edits.change_sheet(project, sheet), job)
    line = sheet_lines(derived(project), {})[0]
    column = columns("sheets")["title"]
    assert column.mark(line).icon == "caution"
    assert column.tip(line).startswith("The sheet ends with 2010")


def test_an_assumed_size_says_what_to_do():
    project = small_job()
    sheet = project.sheet("sheet-1").model_copy(update={"resolution_from": "assumed"})
    line = sheet_lines(derived(edits.change_sheet(project, sheet)), {})[0]
    assert "pick a paper size" in columns("sheets")["title"].tip(line)
    assert columns("sheets")["dpi"].text(line).endswith("assumed")


def test_a_nameless_net_says_how_to_name_it():
    line = next(line for line in net_lines(derived()) if not line.names)
    assert columns("names")["name"].tip(line) == "No name yet: click here and type it."


def test_an_open_lead_says_what_it_still_rests_on():
    line = next(ln for ln in lead_lines(derived()) if ln.row.open_pieces)
    assert columns("leads")["state"].tip(line) == "\n".join(
        piece.sentence for piece in line.row.open_pieces
    )


def test_a_lead_shows_its_colour_as_a_wire_with_its_letters():
    line = next(ln for ln in lead_lines(derived()) if ln.row.a == pin("TCU", "2", "C1"))
    column = columns("leads")["colour"]
    assert column.wire(line).letters == column.text(line) == "RD/WH"
    assert columns("leads")["area"].text(line) == "1.5"


def test_what_can_be_chosen_is_what_the_document_knows():
    assert columns("sheets")["kind"].choices == SHEET_KINDS
    assert "circuit" in SHEET_KINDS
