"""The job, the sheets on the table, fits and specimens."""

from __future__ import annotations

import pytest

from loomfolio.basics import EditError, MmPoint, Resolution
from loomfolio.project import (
    Anchor,
    BodyMark,
    HalfKey,
    Job,
    LineMark,
    Project,
    Vehicle,
    edits,
    faults,
)
from support.make_project import make_sheet, make_two_sheets

MADE = make_two_sheets()
P = MADE.project


def test_the_job_is_stated_and_its_scope_taken_once():
    half = HalfKey(part=MADE.relay)
    p = edits.set_job(P, Job(title="Towing", vehicle=Vehicle(year=2021), cautions=("Gloves.",)))
    p = edits.set_scope(p, [half, half, HalfKey(part=MADE.module, connector="C1")])
    assert p.job.title == "Towing"
    assert p.job.scope == (half, HalfKey(part=MADE.module, connector="C1"))
    assert edits.set_scope(p, p.job.scope) is p


def test_a_job_past_the_checks_of_the_model_is_refused():
    with pytest.raises(EditError, match=r"This job cannot be kept: vehicle.year should be less"):
        edits.set_job(P, P.job.model_copy(update={"vehicle": {"year": 20210}}))


# ------------------------------------------------------------------------------------------ sheets


def test_a_sheet_is_added_changed_and_laid_elsewhere():
    p, sheet_id = make_sheet(P, "Grounds", page=2, kind="locations", resolution_from="file")
    sheet = p.sheet(sheet_id)
    assert (sheet.title, sheet.page, sheet.kind) == ("Grounds", 2, "locations")
    p = edits.change_sheet(p, sheet.model_copy(update={"is_read": False}))
    p = edits.move_sheet(p, sheet_id, table_at=MmPoint(440, 10))
    assert (p.sheet(sheet_id).is_read, p.sheet(sheet_id).table_at) == (False, MmPoint(440, 10))
    with pytest.raises(KeyError):
        P.sheet(sheet_id)


@pytest.mark.parametrize(
    ("fields", "what"),
    [
        ({"file": "../page.png"}, "its file '../page.png' does not lie in the project folder"),
        ({"x_dpi": 0.0}, "x_dpi should be greater than 0"),
        ({"x_dpi": float("inf")}, "x_dpi should be a finite number"),
        ({"sha256": "abc"}, "sha256 "),
        ({"page": 0}, "page should be greater than or equal to 1"),
        ({"when": "towing,"}, "The condition 'towing,' cannot be read"),
        ({"title": "caf\udce9"}, "title holds a character that cannot be written"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused(fields: dict[str, object], what: str):
    with pytest.raises(EditError) as caught:
        make_sheet(P, **{"title": "Grounds", **fields})
    assert f"This sheet cannot be kept: {what}" in str(caught.value)


def test_removing_a_sheet_takes_its_marks_and_what_was_confirmed_there():
    p = edits.confirm(P, piece="name", record=MADE.name).project
    after = edits.remove_sheet(p, MADE.sheet)
    assert [sheet.title for sheet in after.sheets] == ["Supply"]
    assert after.marks == ()
    assert [c.record for c in after.confirmations] == [MADE.mate]
    assert after.parts is p.parts
    assert list(faults(after)) == []


def test_a_link_keeps_the_end_that_is_left_and_is_no_longer_confirmed():
    link = P.links[0]
    without_a = edits.remove_sheet(P, MADE.sheet)
    assert [(one.id, one.a, one.b) for one in without_a.links] == [(MADE.link, link.b, None)]
    without_b = edits.remove_sheet(P, MADE.other_sheet)
    assert [(one.id, one.a, one.b) for one in without_b.links] == [(MADE.link, link.a, None)]
    for after in (without_a, without_b):
        assert MADE.link not in [c.record for c in after.confirmations]


def test_a_link_with_no_end_left_goes():
    here = Anchor(sheet=MADE.sheet, at=MmPoint(1, 1))
    there = Anchor(sheet=MADE.sheet, at=MmPoint(9, 1))
    p, within = edits.add_link(P, a=here, b=there)
    p, waiting = edits.add_link(p, a=here)
    p, elsewhere = edits.add_link(p, a=Anchor(sheet=MADE.other_sheet, at=MmPoint(1, 1)))
    left = [link.id for link in edits.remove_sheet(p, MADE.sheet).links]
    assert left == [MADE.link, elsewhere]
    assert {within, waiting}.isdisjoint(left)


def test_removing_a_sheet_that_nothing_stands_on_leaves_the_rest_alone():
    p, lone = make_sheet(P, "Empty")
    after = edits.remove_sheet(p, lone)
    assert after.sheets == P.sheets
    assert after.links is P.links
    assert after.confirmations is P.confirmations


# ------------------------------------------------------------------------------- fits, specimens


def for_fit(project: Project, name: str) -> Project:
    return edits.set_job(project, project.job.model_copy(update={"fit": name}))


def test_the_job_follows_the_name_of_its_fit():
    fit = P.fits[0]
    renamed = fit.model_copy(update={"name": "towing, cold land"})
    assert edits.change_fit(for_fit(P, fit.name), renamed).job.fit == "towing, cold land"
    assert edits.change_fit(for_fit(P, "another"), renamed).job.fit == "another"
    assert edits.remove_fit(for_fit(P, fit.name), fit.id).job.fit == ""
    assert edits.remove_fit(for_fit(P, "another"), fit.id).job.fit == "another"


def test_a_fit_has_a_name_of_its_own():
    with pytest.raises(EditError, match="already a fit called 'with towing'"):
        edits.add_fit(P, name="With Towing")


def test_a_specimen_comes_changes_and_goes():
    p, specimen_id = edits.add_specimen(
        P, name="Van 7", kind="this vehicle", vehicle=Vehicle(vin="X"), photos=("photos/a.jpg",)
    )
    p = edits.change_specimen(p, p.specimens[0].model_copy(update={"name": "Van 8"}))
    assert [(s.id, s.name) for s in p.specimens] == [(specimen_id, "Van 8")]
    assert edits.remove_specimen(p, specimen_id).specimens == ()
    with pytest.raises(EditError, match=r"'../a.jpg' does not lie in the project folder"):
        edits.add_specimen(P, name="Van 7", kind="this vehicle", photos=("../a.jpg",))


# --------------------------------------------------------------------------------- another paper


def px_places(project: Project, sheet_id: str) -> list[tuple[float, float]]:
    """Where all that lies on a sheet lies on its page image, px."""
    sheet = project.sheet(sheet_id)
    places: list[MmPoint] = []
    for mark in project.marks:
        if mark.sheet != sheet_id:
            continue
        if isinstance(mark, LineMark):
            places += mark.points
        elif isinstance(mark, BodyMark):
            places += [MmPoint(*mark.box[:2]), MmPoint(*mark.box[2:]), *(p.at for p in mark.pins)]
        else:
            places.append(mark.at)
    anchors = [end for link in project.links for end in (link.a, link.b)]
    anchors += [confirmation.place for confirmation in project.confirmations]
    places += [anchor.at for anchor in anchors if anchor and anchor.sheet == sheet_id]
    resolution = Resolution(sheet.x_dpi, sheet.y_dpi)
    return [tuple(resolution.to_px(place)) for place in places]


def test_another_paper_leaves_all_that_lies_on_the_sheet_on_its_pixel():
    sheets = [sheet.id for sheet in P.sheets]
    before = {sheet: px_places(P, sheet) for sheet in sheets}
    assert all(before.values())
    p = edits.resize_sheet(P, sheets[0], x_dpi=150.0, y_dpi=75.0, resolution_from="paper size")
    assert (p.sheet(sheets[0]).x_dpi, p.sheet(sheets[0]).y_dpi) == (150.0, 75.0)
    for sheet in sheets:
        for (x0, y0), (x1, y1) in zip(before[sheet], px_places(p, sheet), strict=True):
            assert (x1, y1) == (pytest.approx(x0), pytest.approx(y0))
    assert list(faults(p)) == []


def test_another_paper_moves_nothing_on_other_sheets():
    first, second = (sheet.id for sheet in P.sheets)
    p = edits.resize_sheet(P, first, x_dpi=150.0, y_dpi=150.0, resolution_from="paper size")
    others = [mark for mark in P.marks if mark.sheet == second]
    assert [mark for mark in p.marks if mark.sheet == second] == others


def test_a_paper_that_cannot_be_is_refused():
    with pytest.raises(EditError, match="x_dpi should be greater than 0"):
        edits.resize_sheet(P, P.sheets[0].id, x_dpi=0.0, y_dpi=100.0, resolution_from="person")
