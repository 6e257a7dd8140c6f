"""The estimate: one page for the customer, read back from PDF."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomfolio.basics import UsageError
from loomfolio.bench import write_estimate_page
from loomfolio.bench.estimate_page import span_text
from loomfolio.project import Job
from loomfolio.retrofit import Alternative, Estimate, Span
from support.make_bench import MapMaker
from support.make_gaps import GAP_JOB, GapMaker, make_van_gaps
from support.pdf_text import layout_faults, pages_of, plain

DAY = date(2026, 8, 14)


FEW, NONE, SIX = Span(2, 4), Span(), Span(6, 6)


def one_way(kind, hours, leads=FEW, joints=NONE, parts=SIX, **more):
    return Alternative(kind, leads, joints, parts, hours, **{"is_possible": True, **more})


NOTHING = Estimate((), (), None)
VAN_FIGURES = Estimate(
    alternatives=(
        one_way("whole loom", Span(14, 22), Span(0, 2), remarks=("Nothing is cut.",)),
        one_way(
            "part of a loom",
            Span(31, 37),
            is_possible=False,
            remarks=("No donor loom is at hand.",),
        ),
        one_way("direct leads", Span(7.5, 13), Span(13, 14), Span(2, 4), Span(9, 11)),
    ),
    unknowns=("Whether the body controller can drive the relay.",),
    chosen="direct leads",
)


def page_of(maker, path, figures=VAN_FIGURES, **options):
    write_estimate_page(maker.project, maker.gaps, figures, path, today=DAY, **options)
    return pages_of(path)


@pytest.fixture(scope="module")
def van_page(tmp_path_factory):
    pages = page_of(make_van_gaps(), tmp_path_factory.mktemp("van") / "estimate.pdf")
    assert len(pages) == 1
    return pages[0]


def test_page_says_which_job_which_vehicle_and_when(van_page):
    assert van_page.lines[0] == "Estimate|Trailer socket, 13 pins|sheet 1 of 1"
    assert "Parcelle E3 2021 DE" in van_page.lines[1]
    assert van_page.lines[1].endswith("2026-08-14")
    assert "VIN|XPA00000000000017" in van_page.lines


def test_work_is_told_in_plain_words_without_pins(van_page):
    assert "Makeandlayupto2newwires." in van_page.text
    assert "C1:1" not in van_page.text


def test_ways_stand_side_by_side_with_their_ranges(van_page):
    rows = {line.split("|")[0]: line.split("|")[1:] for line in van_page.lines}
    assert rows["new wires"] == ["0 to 2", "–", "13 to 14"]
    assert rows["joints in wires"] == ["0", "–", "2 to 4"]
    assert rows["parts to fit"] == ["6", "–", "9 to 11"]
    assert rows["hours of work"] == ["14 to 22", "–", "7.5 to 13"]


def test_way_that_is_not_possible_shows_no_figures_but_the_reason(van_page):
    assert "notpossiblehere" in van_page.text
    assert "Nodonorloomisathand." in van_page.text
    assert "31" not in van_page.text


def test_only_the_chosen_way_is_proposed(van_page):
    middle = (20 + 195) / 2
    proposals = [run.box for run in van_page.runs if run.text == "our proposal"]
    assert len(proposals) == 1
    assert proposals[0].x0 > middle


def test_what_is_not_known_stands_there(van_page):
    assert plain(VAN_FIGURES.unknowns[0]) in van_page.text


def test_more_unknowns_than_the_page_holds_are_counted(tmp_path):
    unknowns = tuple(f"Unknown {number}" for number in range(20))
    page = page_of(GapMaker(), tmp_path / "e.pdf", Estimate((), unknowns, None))[0]
    shown = page.text.count("Unknown")
    assert f"{20 - shown}pointsmore." in page.text
    assert 5 <= shown < 20


def test_hours_are_rounded_outwards_to_half_hours(tmp_path):
    figures = Estimate((one_way("direct leads", Span(3.3, 9.6)),), (), None)
    page = page_of(GapMaker(), tmp_path / "e.pdf", figures)[0]
    assert "hours of work|3 to 10" in page.lines


def test_cautions_and_validity_stand_there(van_page):
    assert "Typeapproval,insuranceandwarranty" in van_page.text
    assert plain(GAP_JOB.cautions[0]) in van_page.text
    assert "Validuntil2026-09-13" in van_page.text
    assert "Itisnotanoffer." in van_page.text


def test_days_of_validity_are_counted_from_today(tmp_path):
    page = page_of(make_van_gaps(), tmp_path / "e.pdf", valid_days=14)[0]
    assert "Validuntil2026-08-28" in page.text


def test_job_without_gaps_and_figures_still_has_its_page(tmp_path):
    pages = page_of(GapMaker(), tmp_path / "e.pdf", NOTHING)
    assert len(pages) == 1
    assert "Nothingismissing,asfarasisknown." in pages[0].text
    assert "sidebyside" not in pages[0].text
    assert layout_faults(tmp_path / "e.pdf") == []


@pytest.mark.parametrize(
    ("span", "words"),
    [
        (Span(3, 3), "3"),
        (Span(7.5, 13), "7.5 to 13"),
        (Span(0, 0), "0"),
        (Span(0, 2), "0 to 2"),
    ],
    ids=["one figure", "half hours", "none", "from none"],
)
def test_range_reads_as_one_says_it(span, words):
    assert span_text(span) == words


def make_large_job():
    """What a large job brings: eleven cautions, ten kinds of work, three ways with three remarks each."""
    cautions = tuple(
        f"Caution {n}: wait until the converter has gone to sleep, then measure." for n in range(11)
    )
    maker = GapMaker(MapMaker(job=GAP_JOB.model_copy(update={"cautions": cautions})))
    kinds = (
        "lead missing",
        "cable group missing",
        "connector missing",
        "terminal missing",
        "bar missing",
        "lead goes elsewhere",
        "dummy plug or bridge must go",
        "needs coding",
    )
    for number, kind in enumerate(kinds):
        maker.gap(kind, "Something", f"E{number}:1", look=("Look",))
    for number in range(6):
        maker.gap("device missing", "It is missing", part=f"K{number}")
    return maker


LARGE_FIGURES = Estimate(
    alternatives=tuple(
        one_way(way.kind, way.hours, remarks=("Trim and seats have to come out.",) * 3)
        for way in VAN_FIGURES.alternatives
    ),
    unknowns=("Whether the body controller can drive the relay.",) * 3,
    chosen=None,
)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_large_job_stays_on_one_page(tmp_path, paper):
    assert len(page_of(make_large_job(), tmp_path / "e.pdf", LARGE_FIGURES, paper=paper)) == 1
    assert layout_faults(tmp_path / "e.pdf") == []


names = st.text(
    st.characters(codec="cp1252", categories=["L", "N", "P", "S"]), min_size=1, max_size=40
)


@settings(max_examples=10)
@given(names, names)
def test_no_text_can_break_the_page_or_be_taken_for_markup(tmp_path_factory, title, remark):
    maker = GapMaker(MapMaker(job=Job(title=title, cautions=(remark,))))
    way = one_way("direct leads", Span(1, 2), remarks=(remark,))
    path = tmp_path_factory.mktemp("names") / "e.pdf"
    page_of(maker, path, Estimate((way, way, way), (remark,), "direct leads"))
    assert layout_faults(path) == []


def test_place_that_cannot_be_written_is_told(tmp_path):
    with pytest.raises(UsageError, match="cannot be written"):
        page_of(GapMaker(), tmp_path / "no" / "e.pdf")
