"""The gap sheet as it lies beside the vehicle, read back from PDF."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from loomfolio.basics import UsageError
from loomfolio.bench import write_gap_sheet
from loomfolio.project import Job
from support.make_bench import MapMaker
from support.make_gaps import GAP_JOB, GapMaker, make_van_gaps
from support.pdf_text import layout_faults, pages_of, plain

DAY = date(2026, 8, 14)
BOX_MM = 7.6  # with its stroke


def sheet_of(maker, path, **options):
    write_gap_sheet(maker.project, maker.gaps, path, today=DAY, **options)
    return path


@pytest.fixture(scope="module")
def van_sheet(tmp_path_factory):
    path = tmp_path_factory.mktemp("van") / "gap_sheet.pdf"
    return sheet_of(make_van_gaps(), path, contradictions=("X80:6 is GY; the documents differ",))


def text_of(path):
    return "".join(page.text for page in pages_of(path))


def test_head_and_foot_are_those_of_the_other_sheets(van_sheet):
    reader = PdfReader(van_sheet)
    assert reader.metadata.title == f"Gap sheet, {GAP_JOB.title}"
    for number, page in enumerate(pages_of(van_sheet), 1):
        assert f"sheet{number}of{len(reader.pages)}" in page.text
        assert "Parcelle E3 2021 DE" in page.lines[1]
        assert page.lines[1].endswith("2026-08-14")
        assert "2of6gapsaretobelookedatfirst:hollowhere." in page.text
        assert "Stopifwhatyouseediffers." in page.text
        assert "Caution:Highvoltagerunsalongtheleftsill" in page.text


def test_counts_stand_on_top(van_sheet):
    lines = pages_of(van_sheet)[0].lines
    assert "Gaps|6 open, 1 closed" in lines
    assert any("2 lead missing|1|1" in line for line in lines)
    assert any("1 connector missing|1" in line for line in lines)


def test_every_open_gap_of_the_job_stands_under_its_part(van_sheet):
    text = text_of(van_sheet)
    heads = [text.index(plain(words)) for words in ("BCMmodule", "K7relay", "TCUmodule")]
    assert heads == sorted(heads)
    assert "4gaps,2tobelookedat" in text
    for gap in make_van_gaps().gaps[:6]:
        assert plain(gap.sentence) in text[heads[0] :]


def test_gap_names_its_pins_its_sheet_and_what_it_rests_on(van_sheet):
    text = text_of(van_sheet)
    lines = pages_of(van_sheet)[0].lines
    assert "3|TCU C1|1|– X80|1|The lead from TCU C1:1 to X80:1 is missing|2" in lines
    assert any(line.endswith("|56, 42") for line in lines)
    assert "sheet2at56,42mm" in text
    assert "sheetLighting" not in text
    assert "Surveyofthisvan," in text
    assert "2026-08-01: TCU C1:1 is empty" in lines


def test_what_is_hollow_says_what_decides(van_sheet):
    text = text_of(van_sheet)
    assert "Tolookat:NobodyhaslookedatX80:4yet·Onsheet2linescrossat192,72mm" in text
    assert text.count("Tolookat:") == 2


def test_connector_with_many_pins_is_told_by_its_sentence(van_sheet):
    lines = [line for page in pages_of(van_sheet) for line in page.lines]
    line = next(line for line in lines if "The connector TCU C2 is missing" in line)
    assert "6|The connector" in line


def test_every_open_gap_has_a_box_to_tick(van_sheet):
    boxes = [
        shape
        for page in pages_of(van_sheet)
        for shape in page.shapes
        if abs(shape.x1 - shape.x0 - BOX_MM) < 0.5 and abs(shape.y1 - shape.y0 - BOX_MM) < 0.5
    ]
    assert len([box for box in boxes if box.x1 > 190]) == 6


def test_closed_gaps_keep_standing_with_their_reason(van_sheet):
    text = text_of(van_sheet)
    closed = text[text.index("Closed7") :]
    assert "drawnasGY/RD" in closed
    assert "reason:Rungout:thesamelead" in closed


def test_what_lies_beyond_the_job_is_counted_not_listed(van_sheet):
    text = text_of(van_sheet)
    assert "1moreoutsideofwhatthejobisaboutstands" in text
    assert "istoomuch" not in text


def test_contradictions_and_cautions_stand_on_the_first_sheet(van_sheet):
    text = pages_of(van_sheet)[0].text
    assert "X80:6isGY;thedocumentsdiffer" in text
    assert "Nojoint,tap,fuseorrepairinorangecable" in text


def test_job_without_gaps_says_so(tmp_path):
    path = sheet_of(GapMaker(), tmp_path / "none.pdf")
    assert text_of(path).count("Nogapisopen.") == 2  # in the body and in the foot
    assert len(PdfReader(path).pages) == 1


def test_same_gaps_and_day_give_the_same_bytes(tmp_path):
    one, other = (sheet_of(make_van_gaps(), tmp_path / f"{n}.pdf").read_bytes() for n in (1, 2))
    assert one == other


def make_crowded_gaps():
    """Sixty gaps with long names, long evidence, and many cautions of the job."""
    cautions = tuple(f"Caution {n}: wait until the converter has gone to sleep." for n in range(9))
    job = GAP_JOB.model_copy(update={"cautions": cautions})
    names = MapMaker([f"{n} Workshop manual, electrical" for n in range(1, 26)], job)
    maker = GapMaker(names)
    for number in range(1, 61):
        pins = [f"REAR-BODY-CONTROL-MODULE{number % 5} CONNECTOR_{n}:{number}" for n in (1, 2, 3)]
        maker.gap(
            "cable group missing",
            "The screened cable A_SIGNAL_WITH_A_VERY_LONG_NAME_THAT_HAS_NO_BLANK is missing",
            *pins[: number % 4],
            part="X" * 60 if number % 4 == 0 else None,
            at=("sheet-25", 1180.4, 830.2),
            evidence=[f"Survey of the van, entry {n}: " + "Z" * 40 for n in range(number % 7)],
            look=[f"On sheet 7 lines cross at {n}, 80 mm" for n in range(number % 9)],
        )
    return maker


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_nothing_overlaps_or_leaves_the_page(tmp_path, paper):
    for maker in (make_van_gaps(), make_crowded_gaps(), GapMaker()):
        path = sheet_of(maker, tmp_path / "gap_sheet.pdf", paper=paper)
        assert layout_faults(path) == []


def test_foot_holds_whole_cautions_and_counts_the_rest(tmp_path):
    pages = pages_of(sheet_of(make_crowded_gaps(), tmp_path / "crowded.pdf"))
    for page in pages:
        foot = page.text[page.text.rindex("Caution:") :]
        shown = foot.count("hasgonetosleep.")
        assert shown >= 2
        assert f"{9 - shown}more,andallothers,onsheet1." in foot


def test_caution_longer_than_the_foot_is_cut_between_words_and_says_so(tmp_path):
    long = " ".join(f"word{number}" for number in range(100))
    maker = GapMaker(MapMaker(job=Job(title="Job", cautions=(long,))))
    page = pages_of(sheet_of(maker, tmp_path / "long.pdf"))[0]
    foot = page.text[page.text.rindex("Caution:") :]
    assert "…Readitwholeonsheet1." in foot
    assert layout_faults(tmp_path / "long.pdf") == []
    assert plain(long) in page.text


names = st.text(
    st.characters(codec="cp1252", categories=["L", "N", "P", "S"]), min_size=1, max_size=40
)


@settings(max_examples=10)
@given(names, names, names)
def test_no_text_can_break_the_sheet_or_be_taken_for_markup(tmp_path_factory, sentence, look, note):
    maker = GapMaker(MapMaker([note], Job(title=note, cautions=(look,))))
    maker.gap(
        "lead missing", sentence, "E1:1", at=("sheet-1", 1, 2), look=(look,), evidence=(note,)
    )
    path = sheet_of(
        maker, tmp_path_factory.mktemp("names") / "gaps.pdf", contradictions=(sentence,)
    )
    assert layout_faults(path) == []


def test_place_that_cannot_be_written_is_told(tmp_path):
    with pytest.raises(UsageError, match="cannot be written"):
        sheet_of(GapMaker(), tmp_path / "no" / "gap_sheet.pdf")
