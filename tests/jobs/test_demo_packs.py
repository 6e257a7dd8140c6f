"""The packs of both demo jobs, planned to the last lead: sheets counted, nothing overlaps, nothing is missing."""

from __future__ import annotations

import sys
from datetime import date

import pytest
from pypdf import PdfReader

from loomfolio.basics import demo_projects_path
from loomfolio.bench import BenchJob, write_work_pack
from loomfolio.bench.step_sheet import short_title
from loomfolio.retrofit import job_gaps, plan_work
from support.pdf_text import layout_faults, pages_of, plain

sys.path.insert(0, str(demo_projects_path()))

import draw_orchard_tractor as tractor
import draw_parcel_van as van

DAY = date(2026, 8, 14)
SHEETS = ("bench_pack.pdf", "splice_sheet.pdf", "proof.pdf", "wire_tags.pdf", "connector_map.pdf")


@pytest.fixture(
    scope="module", params=[pytest.param(van, id="van"), pytest.param(tractor, id="tractor")]
)
def packed(request, tmp_path_factory):
    demo = request.param
    project = demo.planned_project(demo.PROJECT)
    job = job_gaps(project, {})
    bench = BenchJob(project, job, plan_work(project, job))
    out = tmp_path_factory.mktemp(demo.__name__)
    write_work_pack(bench, out, today=DAY)
    return demo, bench, out


def squeezed(text):
    """Text without blanks and hyphens: PDFium takes a hyphen at the end of a line for one that divides a word."""
    return plain(text).replace("-", "")


def text_of(path):
    return "".join(squeezed(page.text) for page in pages_of(path))


@pytest.mark.parametrize("name", SHEETS)
def test_nothing_overlaps_or_leaves_the_page(packed, name):
    assert layout_faults(packed[2] / name) == []


def test_fifteen_leads_to_cut_take_six_sheets_the_splice_sheet_two(packed):
    demo, bench, out = packed
    to_cut = sum(not lead.is_bought for lead in bench.plan.leads)
    most = 6 if to_cut <= 15 else 7
    assert (demo.__name__, to_cut) in {("draw_parcel_van", 15), ("draw_orchard_tractor", 18)}
    assert len(PdfReader(out / "bench_pack.pdf").pages) <= most
    assert len(PdfReader(out / "splice_sheet.pdf").pages) <= 2


def test_every_lead_and_joint_stands_on_the_splice_sheet(packed):
    _, bench, out = packed
    text, words = text_of(out / "splice_sheet.pdf"), bench.words()
    for lead in bench.plan.leads:
        assert words.lead_numbers[lead.key] in text
        assert all(squeezed(words.end(end)) in text for end in lead.ends)
    for joint in bench.plan.joints:
        assert f"{words.joint_numbers[joint.key]}{squeezed(joint.kind)}" in text


def test_every_step_and_hold_point_stands_on_the_pack_in_its_order(packed):
    _, bench, out = packed
    text = text_of(out / "bench_pack.pdf")
    steps = text[text.index("Stepsintheirorder") :]
    at = 0
    for step in bench.plan.steps:
        at = steps.index(squeezed(short_title(step.title)), at)
    holds = [step for step in bench.plan.steps if step.hold is not None]
    assert steps.count("STOP:") == len(holds)


def test_every_cavity_that_gets_a_lead_is_marked(packed):
    _, bench, out = packed
    text, words = text_of(out / "bench_pack.pdf"), bench.words()
    kinds = {part.id: part.kind for part in bench.project.parts}
    for lead in bench.plan.leads:
        for end in lead.ends:
            if end.pin is not None and kinds[end.pin.part] not in {"fuse", "relay", "ground point"}:
                assert f"{squeezed(end.pin.pin)}newlead{words.lead_numbers[lead.key]}" in text


def test_every_test_of_the_proof_is_printed(packed):
    _, bench, out = packed
    text = text_of(out / "proof.pdf")
    for test in bench.proof.tests:
        assert squeezed(test.title) in text
