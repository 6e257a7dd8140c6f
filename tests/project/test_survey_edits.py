"""What was seen: survey entries, baselines, closed gaps, connector matches, layouts of lists."""

from __future__ import annotations

from datetime import date

import pytest

from loomfolio.basics import EditError
from loomfolio.project import (
    CavityEntry,
    Face,
    FunctionCheck,
    HalfEntry,
    HalfKey,
    LeadColour,
    ListColumn,
    Photo,
    PhotoMark,
    PicturePoint,
    Project,
    Specimen,
    edits,
    faults,
    subject_of,
)
from loomfolio.project.record_lists import reads_back
from support.make_project import make_two_sheets

MADE = make_two_sheets()
P, VAN = edits.add_specimen(MADE.project, name="Van 7", kind="this vehicle")
TCU, K1 = HalfKey(part=MADE.module, connector="C1"), HalfKey(part=MADE.relay)
SIDED = edits.record_half(P, specimen=VAN, half=TCU, viewed_from="wire side").project


def test_a_cavity_is_recorded_once_its_side_is_settled():
    p, entry = edits.record_cavity(
        SIDED, specimen=VAN, pin=TCU.pin("1"), state="filled", colour=LeadColour(text="RD")
    )
    (seen,) = (e for e in p.survey if e.id == entry)
    assert isinstance(seen, CavityEntry)
    assert (seen.state, seen.known.how) == ("filled", "seen")
    assert list(faults(p)) == []


@pytest.mark.parametrize(
    "document",
    [
        pytest.param(P, id="nobody said from where"),
        pytest.param(
            edits.record_half(P, specimen=VAN, half=TCU, viewed_from="unknown").project,
            id="side unknown",
        ),
        pytest.param(
            edits.record_half(P, specimen=VAN, half=K1, viewed_from="wire side").project,
            id="side of another half",
        ),
    ],
)
def test_no_cavity_is_stored_until_the_side_is_settled(document: Project):
    with pytest.raises(EditError, match="from which side"):
        edits.record_cavity(document, specimen=VAN, pin=TCU.pin("1"), state="empty")


def test_the_side_of_recorded_cavities_cannot_be_turned_round():
    p, entry = edits.record_cavity(SIDED, specimen=VAN, pin=TCU.pin("1"), state="empty")
    with pytest.raises(EditError, match="looked at from the wire side"):
        edits.record_half(p, specimen=VAN, half=TCU, viewed_from="mating side")
    p = edits.remove_entries(p, [entry])
    turned = edits.record_half(p, specimen=VAN, half=TCU, viewed_from="mating side").project
    assert [e.viewed_from for e in turned.survey if isinstance(e, HalfEntry)] == ["mating side"]


def test_looking_again_replaces_the_entry():
    p, first = edits.record_cavity(SIDED, specimen=VAN, pin=TCU.pin("1"), state="empty")
    p, again = edits.record_cavity(p, specimen=VAN, pin=TCU.pin("1"), state="filled")
    p, same_lead = edits.record_lead(
        p, specimen=VAN, ends=(TCU.pin("2"), K1.pin("86")), state="there"
    )
    p, other_way_round = edits.record_lead(
        p, specimen=VAN, ends=(K1.pin("86"), TCU.pin("2")), state="not there"
    )
    assert first == again
    assert same_lead == other_way_round
    assert len({subject_of(entry) for entry in p.survey}) == len(p.survey) == 3


def test_two_specimens_are_looked_at_apart():
    p, other = edits.add_specimen(P, name="Van 8", kind="reference vehicle")
    for specimen, grade in ((VAN, "moulding only"), (other, "complete")):
        p = edits.record_position(p, specimen=specimen, part=MADE.relay, grade=grade).project
    assert [(e.specimen, e.grade) for e in p.survey if e.kind == "position"] == [
        (VAN, "moulding only"),
        (other, "complete"),
    ]


def test_header_and_bar_are_recorded():
    p = edits.record_header(P, specimen=VAN, pin=TCU.pin("1"), state="missing").project
    p = edits.record_bar(p, specimen=VAN, part=MADE.relay, label="bar a", state="missing").project
    assert [entry.kind for entry in p.survey] == ["header", "bar"]


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        pytest.param(
            {"ends": (TCU.pin("1"), TCU.pin("1")), "state": "there"}, "two ends", id="one end"
        ),
        pytest.param(
            {"ends": (TCU.pin("1"), K1.pin("30")), "state": "there", "goes_to": K1.pin("86")},
            "only a lead that goes elsewhere",
            id="there and elsewhere",
        ),
        pytest.param(
            {
                "ends": (TCU.pin("1"), K1.pin("30")),
                "state": "goes elsewhere",
                "goes_to": K1.pin("30"),
            },
            "ends at another pin",
            id="elsewhere is where it was",
        ),
    ],
)
def test_a_lead_entry_that_makes_no_sense_is_refused(fields: dict[str, object], sentence: str):
    with pytest.raises(EditError, match=sentence):
        edits.record_lead(P, specimen=VAN, **fields)


def test_what_hangs_on_a_part_or_specimen_goes_with_it():
    p = edits.record_cavity(SIDED, specimen=VAN, pin=TCU.pin("1"), state="empty").project
    p = edits.record_lead(p, specimen=VAN, ends=(TCU.pin("2"), K1.pin("86")), state="there").project
    p = edits.match_connectors(p, target=TCU, vehicle=K1).project
    p = edits.add_baseline(p, specimen=VAN, when="before").project
    without_part = edits.remove_part(p, MADE.module)
    assert (without_part.survey, without_part.matches) == ((), ())
    without_van = edits.remove_specimen(p, VAN)
    assert (without_van.survey, without_van.baselines) == ((), ())
    assert list(faults(without_part)) == list(faults(without_van)) == []


def test_a_donor_loom_outlives_its_harness():
    harness = P.harnesses[0].id
    p = edits.add_specimen(P, name="Loom", kind="donor loom", harness=harness).project
    p = edits.remove_harness(p, harness)
    assert p.specimens[-1].harness is None


def test_a_baseline_is_noted_once_before_and_once_after():
    p, before = edits.add_baseline(P, specimen=VAN, when="before", sleep_current_ma=18.0)
    with pytest.raises(EditError, match="before the work is noted already"):
        edits.add_baseline(p, specimen=VAN, when="before")
    p = edits.add_baseline(p, specimen=VAN, when="after").project
    horn = FunctionCheck(name="horn", works=True)
    p = edits.change_baseline(p, p.baselines[0].model_copy(update={"functions": (horn,)}))
    assert p.baselines[0].functions == (horn,)
    assert [b.when for b in edits.remove_baseline(p, before).baselines] == ["after"]


def test_a_gap_is_closed_for_a_written_reason_only():
    with pytest.raises(EditError, match="for a reason"):
        edits.close_gap(P, gap="lead missing: 1", by="reason", reason="  ")
    p, closure = edits.close_gap(P, gap="lead missing: 1", by="work", reason="made, tested")
    p, again = edits.close_gap(p, gap="lead missing: 1", by="reason", reason="not wanted")
    assert closure == again
    assert [(c.by, c.reason) for c in p.closures] == [("reason", "not wanted")]
    assert edits.reopen_gap(p, closure).closures == ()


def test_a_connector_is_the_same_as_one_other_at_most():
    c2 = HalfKey(part=MADE.module, connector="C2")
    p, no = edits.match_connectors(P, target=TCU, vehicle=c2, is_same=False)
    p = edits.match_connectors(p, target=TCU, vehicle=K1).project
    assert [(m.vehicle, m.is_same) for m in p.matches] == [(c2, False), (K1, True)]
    p = edits.match_connectors(p, target=TCU, vehicle=c2).project
    assert [(m.id, m.vehicle, m.is_same) for m in p.matches] == [(no, c2, True)]
    assert edits.withdraw_match(p, no).matches == ()


def test_the_layout_of_a_list_is_remembered_by_its_headings():
    columns = [ListColumn(heading="Pin", means="pin"), ListColumn(heading="Farbe", means="colour")]
    p, layout = edits.remember_layout(P, columns)
    p, again = edits.remember_layout(p, columns[::-1])
    assert layout == again
    assert len(p.layouts) == 1
    with pytest.raises(EditError, match="same heading"):
        edits.remember_layout(P, [columns[0], columns[0]])


def test_the_job_follows_the_name_of_its_fits():
    p = edits.set_job(
        P, P.job.model_copy(update={"target_fit": "with towing", "vehicle_fit": "base"})
    )
    p = edits.change_fit(p, p.fits[0].model_copy(update={"name": "towing"}))
    assert (p.job.target_fit, p.job.vehicle_fit) == ("towing", "base")
    assert edits.remove_fit(p, p.fits[0].id).job.target_fit == ""


def test_the_rows_of_a_face_have_one_length():
    assert Face(rows=(("1", "2"), ("3", ""))).side == "unknown"
    with pytest.raises(ValueError, match="filled up to one length"):
        Face(rows=(("1", "2"), ("3",)))


def test_a_photo_with_arrows_and_a_day_reads_back_from_what_is_written() -> None:
    arrow = PhotoMark(
        at=PicturePoint(0.15, 0.12), text="A27 C1", points_at=PicturePoint(0.27, 0.35)
    )
    photo = Photo(file="photos/plug.jpg", on=date(2024, 4, 16), marks=(arrow,))
    van = Specimen(id="specimen-1", name="Van", kind="this vehicle", photos=(photo,))
    assert reads_back("specimens", van)
