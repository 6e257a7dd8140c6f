"""Ticks, readings and signatures: kept, changed, withdrawn, and what cannot be kept."""

from __future__ import annotations

from datetime import date

import pytest

from loomfolio.basics import EditError
from loomfolio.project import Deviation, Project, edits, faults
from support.make_project import make_two_sheets

P = make_two_sheets().project
DAY = date(2026, 8, 14)


def test_a_subject_is_ticked_once_and_told_anew():
    p, first = edits.record_doing(P, subject="lead a", by="Ada", note="short")
    thinner = Deviation(what="area", done="0.75", planned="0.5")
    p, again = edits.record_doing(p, subject="lead a", on=DAY, deviations=(thinner,))
    (doing,) = p.doings
    assert first == again == doing.id
    assert (doing.by, doing.note, doing.on, doing.deviations) == ("Ada", "short", DAY, (thinner,))
    assert edits.withdraw_doing(p, first).doings == ()


def test_readings_of_one_test_stay_beside_each_other():
    p, _ = edits.add_reading(P, test="ring a", value=0.4, unit="ohm", instrument="DMM 7", on=DAY)
    p, last = edits.add_reading(p, test="ring a", is_over_range=True)
    assert [one.value for one in p.meter_readings] == [0.4, None]
    assert len(edits.remove_reading(p, last).meter_readings) == 1


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        pytest.param({}, "a reading is a number, over range, or a word", id="nothing"),
        pytest.param({"text": " "}, "a reading is a number, over range, or a word", id="blank"),
        pytest.param(
            {"value": 1.0, "is_over_range": True}, "over range has no number", id="two things"
        ),
        pytest.param({"value": float("nan")}, "value", id="not a number"),
    ],
)
def test_a_reading_says_one_thing(fields: dict, said: str):
    with pytest.raises(EditError, match=said):
        edits.add_reading(P, test="ring a", **fields)


def test_a_hold_point_is_signed_once_and_by_somebody():
    p, first = edits.sign_hold(P, hold="hold dead", by=" Ada ", read="0.3 V", on=DAY)
    assert (p.signatures[0].by, p.signatures[0].read) == ("Ada", "0.3 V")
    with pytest.raises(EditError, match="signed already"):
        edits.sign_hold(p, hold="hold dead", by="Bo")
    with pytest.raises(EditError, match="signed by a person"):
        edits.sign_hold(P, hold="hold dead", by=" ")
    assert edits.withdraw_signature(p, first) == p.model_copy(update={"signatures": ()})


def test_a_photo_of_a_tick_lies_in_the_folder():
    with pytest.raises(EditError, match="does not lie in the project folder"):
        edits.record_doing(P, subject="joint 1", photos=("../elsewhere.jpg",))
    p, _ = edits.record_doing(P, subject="joint 1", photos=("photos/joint.jpg",))
    assert list(faults(p)) == []


def test_a_document_without_proof_opens_as_before():
    assert (P.doings, P.meter_readings, P.signatures) == ((), (), ())
    assert Project.model_validate_json(P.model_dump_json(by_alias=True)) == P
