"""What was done otherwise than planned is held against the bounds of the plan again."""

from __future__ import annotations

import pytest

from loomfolio.basics import EditError, demo_projects_path
from loomfolio.bench import with_deviations
from loomfolio.project import Deviation, FuseNote, ProjectFolder, edits
from loomfolio.reading import readings_of
from loomfolio.retrofit import job_gaps, plan_work, take_best


@pytest.fixture(scope="module")
def made():
    path = demo_projects_path() / "parcel_van_towing"
    with ProjectFolder.open(path, read_only=True) as folder:
        job = job_gaps(folder.project, readings_of(folder, folder.project))
        project = take_best(folder.project, job)
    return project, job, plan_work(project, job)


def done(made, what, text, subject=None):
    project, job, plan = made
    lead = next(x for x in plan.leads if x.area_mm2 == 1.5)
    one = Deviation(what=what, done=text)
    project, _ = edits.record_doing(project, subject=subject or lead.key, deviations=(one,))
    after = with_deviations(project, plan)
    new = next(x for x in plan_work(after, job).leads if x.key == lead.key)
    return after, lead, new


def test_a_thinner_lead_is_held_against_its_bounds_again(made):
    after, planned, new = done(made, "area", "0.35")
    assert (planned.area_mm2, new.area_mm2) == (1.5, 0.35)
    assert with_deviations(after, made[2]) == after


def test_length_and_colour_are_taken_over(made):
    assert done(made, "length", "3,4 m")[2].length_m.value == 3.4
    assert done(made, "colour", "VT/GN")[2].colour.text == "VT/GN"


def test_another_fuse_is_noted_with_its_rating(made):
    _, _, plan = made
    part = next(p for p in plan.parts if p.part and p.what.startswith("fuse"))
    after, *_ = done(made, "fuse", "30 A", subject=part.key)
    (note,) = [n for n in after.electric_notes if isinstance(n, FuseNote) and n.part == part.part]
    assert note.rating_a == 30


def test_what_is_only_told_in_words_stays_with_the_tick(made):
    after, planned, new = done(made, "other", "laid left of the frame")
    assert (new.size, new.length_m, after.operations) == (
        planned.size,
        planned.length_m,
        made[0].operations,
    )


def test_a_length_that_is_no_number_is_refused(made):
    with pytest.raises(EditError, match="'long' is no number; give the length"):
        done(made, "length", "long")
