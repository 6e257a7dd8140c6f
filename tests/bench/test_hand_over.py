"""The hand-over: one searchable PDF with bookmarks; what was done, measured, inferred; photos with their marks."""

from __future__ import annotations

import io
from datetime import date

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from loomfolio.basics import demo_projects_path
from loomfolio.bench import BenchJob, document_photos, hand_over_pdf, job_proof
from loomfolio.project import Deviation, Photo, PhotoMark, PicturePoint, ProjectFolder, edits
from loomfolio.reading import readings_of
from loomfolio.retrofit import job_gaps
from support.make_plan import make_plan
from support.pdf_text import layout_faults, pages_of, plain

DAY = date(2026, 8, 14)


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    out = tmp_path_factory.mktemp("hand_over")
    path = demo_projects_path() / "parcel_van_towing"
    with ProjectFolder.open(path, read_only=True) as folder:
        project = folder.project
        readings = readings_of(folder, project)
    job = job_gaps(project, readings)
    plan = make_plan(job)
    (out / "photos").mkdir()
    Image.fromarray(np.full((600, 800, 3), 180, np.uint8)).save(out / "photos" / "joint.jpg")
    mark = PhotoMark(at=PicturePoint(0.5, 0.25), text="glue at both ends")
    photo = Photo(file="photos/joint.jpg", caption="J1 shrunk", marks=(mark,))
    thicker = Deviation(what="area", done="2.5", planned="1.5")
    project, _ = edits.record_doing(
        project, subject=plan.leads[0].key, by="Ada", deviations=(thicker,)
    )
    project, _ = edits.record_doing(project, subject=plan.joints[0].key, photos=(photo,))
    project, _ = edits.sign_hold(project, hold="hold dead", by="Bo", read="0.2 V", on=DAY)
    first = job_proof(project, job, plan).of("continuity")[0]
    project, _ = edits.add_reading(project, test=first.key, value=4.0, unit="ohm", by="Ada")
    bench = BenchJob(project, job, plan, readings)
    pdf = out / "hand_over.pdf"
    pdf.write_bytes(hand_over_pdf(bench, document_photos(bench, out), today=DAY))
    return pdf, bench


def text_of(path):
    return "".join(page.text for page in pages_of(path))


def test_each_part_has_a_bookmark_and_the_sheets_below_theirs(made):
    outline = PdfReader(made[0]).outline
    assert [one.title for one in outline if not isinstance(one, list)] == [
        "What was done",
        "Joints and leads",
        "Test record",
        "Connector map",
        "Picture of the map",
        "Annotated sheets",
    ]
    sheets = [one.title for one in outline[-1]]
    assert sheets == [sheet.title for sheet in made[1].project.sheets]


def test_it_says_what_was_done_by_whom_and_how_it_came_out(made):
    text = text_of(made[0])
    assert "1of12" in text
    assert "WorkedonbyAda,Bo" in text
    assert plain("area: 2.5 instead of 1.5") in text
    assert plain("Bo, 2026-08-14, 0.2 V") in text


def test_every_gap_of_the_job_is_told_with_how_it_was_closed(made):
    text = text_of(made[0])
    for gap in made[1].job.gaps:
        if gap.in_scope:
            assert plain(gap.sentence) in text


def test_a_reading_that_failed_stands_on_the_first_pages(made):
    first = "".join(page.text for page in pages_of(made[0])[:2])
    assert "Notpassed" in first
    assert plain("fail. 4 ohm is more than") in first


def test_what_is_only_inferred_is_told_lead_by_lead(made):
    text = text_of(made[0])
    for lead in made[1].own_leads:
        if lead.open_sentences:
            assert f"Lead{lead.number}:" in text


def test_photos_of_joints_stand_with_what_is_pointed_out(made):
    text = text_of(made[0])
    assert plain("J1 J1 shrunk") in text
    assert plain("1 glue at both ends") in text
    images = [image for page in PdfReader(made[0]).pages[:4] for image in page.images]
    assert any(image.image.size == (800, 600) for image in images)


def test_nothing_overlaps_on_the_pages_that_are_set(made, tmp_path):
    reader = PdfReader(made[0])
    a4 = [page for page in reader.pages if abs(float(page.mediabox.height) - 841.89) < 1]
    from pypdf import PdfWriter

    writer = PdfWriter()
    for page in a4:
        writer.add_page(page)
    room = io.BytesIO()
    writer.write(room)
    (tmp_path / "a4.pdf").write_bytes(room.getvalue())
    faults = [fault for fault in layout_faults(tmp_path / "a4.pdf") if "shape" not in fault]
    assert faults == []
