"""A document for others: nobody's name or plate in it; and the start of the next vehicle."""

from __future__ import annotations

from loomfolio.project import Known, Project, Vehicle, edits, faults, next_vehicle, redacted
from support.make_project import make_two_sheets

MADE = make_two_sheets()
OWNED = Vehicle(
    make="Brenvik",
    model="Pakka",
    year=2023,
    vin="XPA00000000000017",
    plate="BR-AB 123",
    owner="Ada Lund",
)


def owned() -> Project:
    p, van = edits.add_specimen(
        MADE.project, name="Van 7", kind="this vehicle", vehicle=OWNED, note="Belongs to ada lund."
    )
    p = edits.set_job(
        p, p.job.model_copy(update={"vehicle": OWNED, "title": "Socket for BR-AB 123"})
    )
    p, _ = edits.add_baseline(p, specimen=van, when="before", sleep_current_ma=12.0)
    p, _ = edits.record_position(p, specimen=van, part=MADE.relay, grade="complete")
    p, _ = edits.record_doing(p, subject="lead a", note="asked Ada Lund")
    p, _ = edits.add_reading(p, test="t", value=0.2, unit="ohm")
    p, _ = edits.sign_hold(p, hold="h", by="Bo")
    return edits.close_gap(p, gap="g", by="work", reason="made").project


def test_owner_plate_and_number_stand_nowhere_any_more():
    text = redacted(owned()).model_dump_json().casefold()
    for name in ("ada lund", "br-ab 123", "xpa00000000000017"):
        assert name not in text
    assert "pakka" in text
    assert "asked (left out)" in text


def test_a_redacted_document_is_sound_and_says_the_same_else():
    p, shared = owned(), redacted(owned())
    assert list(faults(shared)) == []
    assert (shared.parts, shared.marks, shared.meter_readings) == (
        p.parts,
        p.marks,
        p.meter_readings,
    )


def test_without_a_name_nothing_changes():
    assert redacted(MADE.project) == MADE.project


def test_the_next_vehicle_starts_without_what_was_seen_and_done():
    p = owned()
    fresh = next_vehicle(p)
    assert list(faults(fresh)) == []
    for name in ("survey", "baselines", "closures", "doings", "meter_readings", "signatures"):
        assert getattr(p, name)
        assert getattr(fresh, name) == ()
    assert (fresh.job.vehicle.plate, fresh.job.vehicle.model) == ("", "Pakka")
    assert [one.kind for one in fresh.specimens] == ["this vehicle"]
    assert (fresh.parts, fresh.marks, fresh.sheets) == (p.parts, p.marks, p.sheets)


def test_what_was_confirmed_on_the_paper_stays_and_what_was_seen_goes():
    p = owned()
    part = MADE.relay
    seen, _ = edits.confirm(p, piece="name", record=part, known=Known(how="seen", source="Van 7"))
    read, _ = edits.confirm(seen, piece="lead", record=part, known=Known(how="stated"))
    kept = next_vehicle(read).confirmations
    assert [one.known.how for one in kept if one.record == part] == ["stated"]
