"""What the ledgers say of a sheet, a net, a pin, a lead and a doubt."""

import pytest

from loomfolio.desk.derived import derive_all
from loomfolio.desk.gestures import step_of
from loomfolio.desk.ledgers.lines import (
    doubt_lines,
    lead_lines,
    net_lines,
    pin_lines,
    sheet_lines,
)
from loomfolio.desk.table.intents import NameNet
from loomfolio.nets import Memory
from loomfolio.project import ValidFor, Vehicle, edits
from support.make_desk import FRONT, X90, derived, pin, scoped_job, small_job


def with_sheet(**fields):
    project = small_job()
    sheet = project.sheet("sheet-1").model_copy(update=fields)
    return edits.change_sheet(project, sheet)


def line_of(lines, **wanted):
    return next(
        line
        for line in lines
        if all(getattr(line, name) == value for name, value in wanted.items())
    )


# -------------------------------------------------------------------------------------- sheets


def test_a_sheet_says_how_it_was_read():
    lines = sheet_lines(derived(), {"sheet-2": "reading"})
    assert [line.progress for line in lines] == ["read", "reading"]


def test_a_sheet_that_waits_is_not_read():
    project = small_job()
    state = derive_all(0, project, {}, fit=None, memory=Memory())
    assert [line.progress for line in sheet_lines(state, {})] == ["not read", "not read"]


@pytest.mark.parametrize("fields", [{"is_read": False}, {"kind": "locations"}], ids=["off", "kind"])
def test_a_sheet_without_conductors_is_not_waited_for(fields):
    assert sheet_lines(derived(with_sheet(**fields)), {})[0].progress == "reading off"


def test_a_sheet_of_another_year_is_flagged():
    project = with_sheet(valid_for=ValidFor(make="Brenvik", year_from=2018, year_to=2021))
    job = project.job.model_copy(update={"vehicle": Vehicle(year=2023)})
    line = sheet_lines(derived(edits.set_job(project, job)), {})[0]
    assert line.is_open
    assert "2021" in line.misfits[0]
    assert line.valid_for == "Brenvik 2018–2021"


@pytest.mark.parametrize(
    ("valid", "words"),
    [
        (ValidFor(), ""),
        (ValidFor(make="B", model="P", market="EU"), "B P EU"),
        (ValidFor(year_from=2020, year_to=2020), "2020"),
        (ValidFor(year_from=2020), "2020–"),
        (ValidFor(year_to=2020), "–2020"),
    ],
    ids=["nothing", "no years", "one year", "open end", "open start"],
)
def test_validity_in_a_few_words(valid, words):
    assert sheet_lines(derived(with_sheet(valid_for=valid)), {})[0].valid_for == words


def test_a_size_that_is_only_assumed_wants_a_look():
    assert sheet_lines(derived(with_sheet(resolution_from="assumed")), {})[0].is_open
    assert not sheet_lines(derived(with_sheet(resolution_from="file")), {})[0].is_open


def test_findings_are_counted_on_their_sheet():
    state = derived()
    lines = sheet_lines(state, {})
    assert sum(line.open_count for line in lines) == len(
        [finding for finding in state.open_findings if finding.place is not None]
    )


# ---------------------------------------------------------------------------------------- nets


def test_a_net_says_its_pins_in_the_persons_words():
    line = line_of(net_lines(derived()), names=("BRAKE",))
    assert line.pins == "TCU C1:2  X90:2"
    assert line.pin_count == 2
    assert not line.is_open


def test_a_net_without_a_name_is_open_if_it_has_pins():
    lines = net_lines(derived())
    assert all(line.is_open == (line.pin_count > 0) for line in lines if not line.names)


def test_rival_names_stand_side_by_side_and_open():
    project = step_of(small_job(), NameNet("sheet-1", FRONT.at("e"), "STOP")).project
    line = line_of(net_lines(derived(project)), names=("BRAKE", "STOP"))
    assert line.name == "BRAKE / STOP"
    assert line.is_open


def test_a_net_keeps_its_key_when_numbers_shift():
    before = derived()
    key = line_of(net_lines(before), names=("BRAKE",)).key
    fewer = small_job().model_copy(
        update={"marks": tuple(m for m in small_job().marks if m.id != "mark-3")}
    )
    assert line_of(net_lines(derived(fewer)), names=("BRAKE",)).key == key


def test_only_nets_of_the_scope_are_in_scope():
    lines = net_lines(derived(scoped_job()))
    assert line_of(lines, names=("BRAKE",)).in_scope
    assert not all(line.in_scope for line in lines)


# ---------------------------------------------------------------------------------------- pins


def test_a_pin_stands_on_its_net():
    line = line_of(pin_lines(derived()), pin=pin("X90", "2"))
    assert (line.text, line.net_name, line.state, line.sheets) == (
        "X90:2",
        "BRAKE",
        "joined",
        "Front",
    )


def test_a_pin_that_meets_nothing_is_open():
    project = small_job()
    moved = tuple(
        mark.model_copy(
            update={
                "pins": tuple(
                    p.model_copy(update={"at": type(p.at)(1.0, 1.0)}) if p.pin == "4" else p
                    for p in mark.pins
                )
            }
        )
        if mark.id == "mark-2"
        else mark
        for mark in project.marks
    )
    line = line_of(
        pin_lines(derived(project.model_copy(update={"marks": moved}))), pin=pin("X90", "4")
    )
    assert line.is_open
    assert line.place is not None


def test_a_pin_that_is_named_but_drawn_nowhere_is_not_open():
    project = small_job()
    bare = project.model_copy(update={"marks": tuple(m for m in project.marks if m.id != "mark-4")})
    line = line_of(pin_lines(derived(bare)), pin=pin("F5", "1"))
    assert line.state == "not drawn"
    assert line.place is None
    assert not line.is_open


# --------------------------------------------------------------------------------------- leads


def test_a_lead_says_its_ends_its_colour_and_what_is_open():
    lines = lead_lines(derived())
    line = next(line for line in lines if line.a == "TCU C1:2")
    assert line.b == "X90:2"
    assert line.wire.letters == "RD/WH"
    assert line.row.area_mm2 == 1.5
    assert line.open_text.endswith("to confirm")


def test_a_lead_that_goes_nowhere_is_never_released():
    line = next(line for line in lead_lines(derived()) if line.row.b is None)
    assert line.b == "goes nowhere"
    assert line.is_open


def test_a_lead_with_nothing_to_confirm_is_released():
    lines = lead_lines(derived())
    line = next(line for line in lines if line.row.is_released)
    assert line.open_text == "released"
    assert not line.is_open


# -------------------------------------------------------------------------------------- doubts


def test_accepted_findings_stand_last_with_their_reason():
    project = small_job()
    key = derived(project).open_findings[0].key
    project = edits.accept_finding(project, key, "Seen on the vehicle").project
    lines = doubt_lines(derived(project))
    assert lines[-1].finding.accepted == "Seen on the vehicle"
    assert not lines[-1].is_open
    assert all(line.is_open for line in lines[:-1])


def test_lines_are_equal_where_nothing_differs():
    one, other = derived(), derived()
    assert net_lines(one) == net_lines(other)
    assert lead_lines(one) == lead_lines(other)
    assert doubt_lines(one) == doubt_lines(other)
    assert X90.id in {line.pin.part for line in pin_lines(one)}
