"""The first demo project: drawn alike each time, true to its own declaration and to the socket's standard."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from loomfolio.basics import demo_projects_path
from loomfolio.nets import Netlist, connector_map, derive, findings
from loomfolio.project import (
    BodyMark,
    CavityEntry,
    LineMark,
    Project,
    ProjectFolder,
    edits,
    pin_text,
)
from loomfolio.retrofit import job_gaps
from loomfolio.sheets import outside_validity, page_list

sys.path.insert(0, str(demo_projects_path()))

import draw_parcel_van as van
from drawing.marks import all_crossings
from drawing.wiring import is_pin, leads
from parcel_van.parts import EXCEPT, WITH

from support import demo_sheets as sheets

CIRCUITS = tuple(plan for plan in van.SHEETS if plan.kind == "circuit")
BY_TITLE = {"argvalues": van.SHEETS, "ids": [plan.file for plan in van.SHEETS]}
CIRCUITS_BY_TITLE = {"argvalues": CIRCUITS, "ids": [plan.file for plan in CIRCUITS]}


@pytest.fixture(scope="module")
def truth() -> dict:
    return json.loads(van.TRUTH.read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def shipped() -> Project:
    with ProjectFolder.open(van.PROJECT, read_only=True) as folder:
        return folder.project


@pytest.fixture(scope="module")
def by_hand() -> Project:
    return van.complete_project(van.PROJECT, reading_on=False)


@pytest.fixture(scope="module")
def first_sight(shipped) -> Netlist:
    return derive(shipped, sheets.read_all(van.PROJECT, shipped))


# ---------------------------------------------------------------------------------- drawn alike


@pytest.fixture(scope="module")
def drawn_again(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("again") / "van"
    van.main(["--into", str(folder)])
    return folder


@pytest.mark.parametrize("plan", **BY_TITLE)
def test_drawing_a_sheet_again_gives_the_same_pixels(plan, drawn_again):
    new, old = (folder / "sheets" / plan.file for folder in (drawn_again, van.PROJECT))
    assert sheets.is_same_picture(new, old)


def test_the_command_writes_a_project_that_opens(drawn_again):
    with ProjectFolder.open(drawn_again, read_only=True) as folder:
        assert [sheet.title for sheet in folder.project.sheets] == [
            f"{plan.number} {plan.title}" for plan in van.SHEETS
        ]


def test_the_script_makes_the_project_that_is_shipped(shipped):
    assert van.half_way_project(van.PROJECT) == shipped


def test_the_script_makes_the_truth_that_is_shipped(truth):
    assert json.loads(json.dumps(van.truth())) == truth


# ------------------------------------------------------------------------------- what it consists of


@pytest.mark.parametrize("plan", **BY_TITLE)
def test_a_sheet_is_a_small_scan_of_an_a4_page(plan):
    path = van.PROJECT / "sheets" / plan.file
    (page,) = page_list(path)
    assert 200 <= round(page.x_dpi) <= 300
    assert page.width_px * 25.4 / page.x_dpi == pytest.approx(297, abs=0.2)
    assert page.height_px * 25.4 / page.y_dpi == pytest.approx(210, abs=0.2)
    assert path.stat().st_size < 300_000
    assert 0 < abs(plan.skew_degrees) <= 0.3


def test_there_are_five_sheets_and_sixty_pins_or_more(truth):
    assert len(CIRCUITS) >= 5
    assert len(truth["pins"]) >= 60


def test_two_modules_have_a_connector_c1(by_hand):
    modules = {part.id: part.name for part in by_hand.parts if part.kind == "module"}
    owners = {
        modules[mark.part]
        for mark in by_hand.marks
        if isinstance(mark, BodyMark) and mark.connector == "C1" and mark.part in modules
    }
    assert {"A1", "A27"} <= owners


def test_the_halves_of_the_in_line_connector_are_numbered_against_each_other(by_hand):
    (mate,) = by_hand.mates
    assert all(int(pair.a) + int(pair.b) == 15 for pair in mate.pairs)
    assert len(mate.pairs) == 10


def test_different_pins_of_the_two_bars_of_the_joint_connector_stand_on_different_sheets():
    shown = {
        plan.number: {spot.pin for body in plan.bodies if body.part == "X70" for spot in body.pins}
        for plan in CIRCUITS
    }
    shown = {number: pins for number, pins in shown.items() if pins}
    assert len(shown) >= 3
    assert not set.intersection(*shown.values())
    (joint,) = [
        t for t in van.complete_project(van.PROJECT, reading_on=True).parts if t.name == "X70"
    ]
    assert [way.relation for way in joint.ways] == ["joined", "joined"]


def test_the_coil_and_the_contact_of_the_relay_stand_on_different_sheets():
    sheets = {
        body.look: plan.number for plan in CIRCUITS for body in plan.bodies if body.part == "K41"
    }
    assert sheets["relay coil"] != sheets["relay contact"]


def test_there_are_fuses_a_splice_a_supply_and_two_kinds_of_ground(by_hand):
    kinds = [part.kind for part in by_hand.parts]
    assert kinds.count("fuse") >= 3
    assert {"splice", "supply", "relay", "joint connector", "in-line connector"} <= set(kinds)
    references = {reference.id: reference.kind for reference in by_hand.references}
    grounds = {references[p.reference] for p in by_hand.parts if p.kind == "ground point"}
    assert grounds == {"chassis", "sensor ground"}


def test_the_print_has_crossings_dots_a_hop_and_a_supply_that_is_hot_at_all_times():
    assert all(all_crossings(plan) for plan in CIRCUITS if plan.number in (1, 2, 3, 4, 6))
    assert any(name.startswith("@") for plan in CIRCUITS for name, _ in plan.nodes)
    assert any(wire.hops for plan in CIRCUITS for wire in plan.wires)
    printed = {word.text for word in sheets.lettering(van.SHEETS[0])}
    assert any("HOT AT ALL TIMES" in text for text in printed)


@pytest.mark.parametrize("plan", **CIRCUITS_BY_TITLE)
def test_a_hop_stands_where_wires_cross(plan):
    hops = {hop for wire in plan.wires for hop in wire.hops}
    assert hops <= set(all_crossings(plan))


def test_the_printer_left_some_signal_names_out():
    spots = [
        spot for plan in CIRCUITS for body in plan.bodies if body.connector for spot in body.pins
    ]
    named = sum(1 for spot in spots if spot.signal)
    assert 0 < named < len(spots)


def test_lead_colours_are_letters_of_iec_60757():
    # IEC 60757, letters as in the table of wire colours (GOST 28763-90 adopts them).
    letters = {"BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "TQ"}
    colours = {wire.colour for plan in CIRCUITS for wire in plan.wires if wire.colour}
    assert {letter for colour in colours for letter in colour.split("/")} <= letters
    assert any("/" in colour for colour in colours)


def test_one_sheet_is_of_other_model_years_than_the_van(shipped):
    ((sheet, reasons),) = outside_validity(shipped)
    assert sheet.title.startswith("6 ")
    assert reasons == ("the sheet ends with 2021, the vehicle is of 2023",)


# -------------------------------------------------------------------------- nothing drawn by mistake


@pytest.mark.parametrize("plan", **BY_TITLE)
def test_no_text_touches_a_line_another_text_or_the_edge_of_the_page(plan):
    assert sheets.texts_on_lines(plan) == []
    assert sheets.texts_on_texts(plan) == []
    assert sheets.texts_off_the_page(plan) == []


@pytest.mark.parametrize("plan", **CIRCUITS_BY_TITLE)
def test_wires_meet_where_they_are_declared_to_and_keep_clear_elsewhere(plan):
    assert sheets.undeclared_meetings(plan) == []
    assert sheets.crowded_wires(plan) == []


# --------------------------------------------------------------------------------- map against truth


def test_all_drawn_by_hand_gives_the_declared_nets(by_hand, truth):
    assert not any(sheet.is_read for sheet in by_hand.sheets)
    assert sheets.nets_of(derive(by_hand, {})) == {frozenset(net) for net in truth["nets"]}


def test_the_fit_with_towing_gives_its_declared_nets(by_hand, truth):
    (fit,) = (fit for fit in by_hand.fits if fit.name == "with towing")
    found = {net for net in sheets.nets_of(derive(by_hand, {}, fit=fit)) if len(net) > 1}
    declared = truth["fits"][fit.name]["nets"]
    assert found == {frozenset(net) for net in declared if len(net) > 1}


def test_the_socket_and_its_leads_are_not_there_in_the_base_fit(by_hand):
    (fit,) = (fit for fit in by_hand.fits if fit.name == "base")
    nets = sheets.nets_of(derive(by_hand, {}, fit=fit))
    parts = {pin.partition(":")[0] for net in nets for pin in net}
    assert {"X90", "B14"} & parts == set()
    assert frozenset({"A1 C2:5", "A27 C1:10"}) in nets


def test_one_missing_line_is_seen_in_the_nets(by_hand, truth):
    line = next(mark for mark in by_hand.marks if isinstance(mark, LineMark))
    less = edits.remove_marks(by_hand, [line.id])
    assert sheets.nets_of(derive(less, {})) != {frozenset(net) for net in truth["nets"]}


def test_each_declared_net_bears_its_name(by_hand, truth):
    netlist = derive(by_hand, {})
    names = {
        pin_text(by_hand, pin): net.name for net in netlist.nets for pin in net.pins if net.claims
    }
    assert {pin: names[pin] for pin in truth["names"]} == truth["names"]


def test_the_map_by_hand_holds_each_plain_lead_with_its_colour(by_hand):
    rows = {
        frozenset((pin_text(by_hand, row.a), pin_text(by_hand, row.b))): row
        for row in connector_map(derive(by_hand, {}))
        if row.b is not None
    }
    plain = [lead for lead in leads(van.SHEETS) if len(lead.pins) == 2]
    for lead in plain:
        row = rows[frozenset(lead.pins)]
        noted = () if row.colour is None else (row.colour.text,)
        assert noted in ((), lead.colours)
        assert not row.is_branch
    assert len(plain) > 40


def test_with_everything_confirmed_every_lead_that_ends_somewhere_is_released(by_hand):
    rows = connector_map(derive(by_hand, {}))
    held_back = [pin_text(by_hand, row.a) for row in rows if not row.is_released]
    assert held_back == ["SG1:3"]  # the drain of the screen ends at the screen


def test_the_reader_finds_the_declared_nets_where_nothing_is_drawn_by_hand(truth):
    project = van.complete_project(van.PROJECT, reading_on=True)
    assert not any(isinstance(mark, LineMark) for mark in project.marks)
    found = sheets.nets_of(derive(project, sheets.read_all(van.PROJECT, project)))
    assert found == {frozenset(net) for net in truth["nets"]}


# -------------------------------------------------------------------------------- left half way


def test_at_first_sight_a_few_things_stand_open_in_scope(first_sight):
    found = findings(first_sight)
    in_scope = {finding.kind for finding in found if finding.in_scope}
    assert {
        "sheet outside the vehicle's validity",
        "one name on two nets",
        "two colours on one lead",
        "pin on no conductor",
    } <= in_scope
    assert {"two names on one net", "link without its other end", "mate not confirmed"} <= {
        finding.kind for finding in found
    }
    assert sum(finding.in_scope for finding in found) < 30


def test_a_few_leads_are_released_and_most_are_not(first_sight):
    rows = connector_map(first_sight)
    released = sum(row.is_released for row in rows)
    assert 0 < released < len(rows) / 2


def test_half_way_says_no_more_than_everything(shipped, by_hand):
    def numbered(project: Project) -> set[str]:
        return {
            pin_text(project, mark.key(pin))
            for mark in project.marks
            if isinstance(mark, BodyMark)
            for pin in mark.pins
        }

    assert numbered(shipped) < numbered(by_hand)


# ----------------------------------------------------------------- the socket and what the van lacks


def contacts() -> dict[str, dict[str, str]]:
    return {row["contact"]: row for row in sheets.table_rows("trailer_socket_iso11446.csv")}


# A second printing: the pin-out of ISO 11446 in a public encyclopedia, in its own order of words.
SECOND_PRINTING = {
    "1": "left indicator",
    "2": "rear fog lamp",
    "3": "earth",
    "4": "right indicator",
    "5": "right tail lamp",
    "6": "brake lamp",
    "7": "left tail lamp",
    "8": "reverse lamp",
    "9": "permanent power",
    "10": "switched supply",
    "11": "earth for pin 10",
    "13": "earth for pin 9",
}
SAME_WORD = {
    "left": "left",
    "right": "right",
    "fog": "fog",
    "indicator": "indicator",
    "tail": "position",
    "brake": "stop",
    "reverse": "reversing",
    "permanent": "permanent",
    "switched": "switched",
    "earth": "return",
}


@pytest.mark.parametrize("contact", SECOND_PRINTING)
def test_the_table_of_contacts_agrees_with_a_second_printing(contact):
    ours = contacts()[contact]["function"]
    for word in SECOND_PRINTING[contact].split():
        assert SAME_WORD.get(word, "") in ours


def test_the_contacts_of_the_demo_socket_are_those_of_the_standard():
    wires = {
        end.partition(":")[2]: wire
        for wire in van.SHEETS[3].wires
        for end in (wire.a, wire.b)
        if end.startswith("X90:")
    }
    drawn = {contact: (wire.colour, f"{wire.area_mm2:g}") for contact, wire in wires.items()}
    table = {
        c: (row["letters"], row["area_mm2"]) for c, row in contacts().items() if row["letters"]
    }
    assert drawn == table


def test_the_printed_table_of_contacts_is_that_of_the_standard():
    (printed, _) = van.SHEETS[6].tables
    table = {c: (row["letters"], row["area_mm2"]) for c, row in contacts().items()}
    assert {row[0]: (row[2], row[3]) for row in printed.rows} == table


def test_supplies_and_returns_of_the_socket_lie_on_the_right_nets(truth):
    net_of = {pin: frozenset(net) for net in truth["nets"] for pin in net}
    assert "F31:2" in net_of["X90:9"]
    assert "K41:87" in net_of["X90:10"]
    returns = {row["return_contact"] for row in contacts().values() if row["return_contact"]}
    assert returns == {"3", "11", "13"}
    assert all("GND2:2" in net_of[f"X90:{contact}"] for contact in returns)
    assert net_of["X90:12"] == {"X90:12"}


def test_the_van_lacks_thirteen_leads_and_a_screened_pair_and_one_lead_has_to_move(truth):
    base, towing = (
        {tuple(lead["pins"]) for lead in truth["fits"][fit]["leads"]}
        for fit in ("base", "with towing")
    )
    new = towing - base
    pair = {("A27 C1:15", "B14:1"), ("A27 C1:16", "B14:2"), ("SG1:3",)}
    moved = {("A27 C1:8", "E12:4", "X14.B:8")}
    assert pair | moved <= new
    assert len(new - pair - moved) == 13
    assert base - towing == {("A31 C1:4", "E12:4", "X14.B:8")}


def test_header_pin_terminal_and_bar_that_the_van_lacks_are_marked_as_with_towing(by_hand):
    conditions = {
        (part.name, connector.name, half.name, cavity.pin): cavity.when
        for part in by_hand.parts
        for connector in part.connectors
        for half in connector.halves
        for cavity in half.cavities
    }
    assert conditions["A1", "C2", "", "17"] == WITH
    assert conditions["X14", "", "A", "9"] == WITH
    assert conditions["A31", "C1", "", "4"] == EXCEPT
    assert {conditions["X70", "", "", pin] for pin in ("8", "9", "10")} == {WITH}
    assert {part.name for part in by_hand.parts if part.when == WITH} == {"X90", "B14"}


def test_every_conditional_wire_ends_at_a_pin_or_part_with_that_condition(by_hand):
    conditional = {
        f"{part.name}{' ' + c.name if c.name else ''}{'.' + h.name if h.name else ''}:{cavity.pin}"
        for part in by_hand.parts
        for c in part.connectors
        for h in c.halves
        for cavity in h.cavities
    }
    parts = {part.name for part in by_hand.parts if part.when}
    for lead in leads(van.SHEETS):
        if lead.when:
            assert any(pin in conditional or pin.partition(":")[0] in parts for pin in lead.pins)
    assert all(is_pin(pin) for pin in conditional)


# ------------------------------------------------------------------------ the survey, and the gaps


@pytest.fixture(scope="module")
def surveyed() -> Project:
    return van.surveyed_project(van.PROJECT)


def test_the_survey_contradicts_the_sheets_twice(surveyed):
    printed = {
        end: wire.colour
        for plan in CIRCUITS
        for wire in plan.wires
        if not wire.when or wire.when == EXCEPT
        for end in (wire.a, wire.b)
    }
    cavities = {pin_text(surveyed, e.pin): e for e in surveyed.survey if isinstance(e, CavityEntry)}
    otherwise = {
        pin
        for pin, seen in cavities.items()
        if (seen.state == "filled") != (pin in printed)
        or (seen.colour and printed.get(pin) and seen.colour.text != printed[pin])
    }
    assert otherwise == {"A27 C1:9", "A27 C1:1"}


def test_half_way_more_than_half_of_the_survey_is_done(shipped, surveyed):
    assert 0.5 < len(shipped.survey) / len(surveyed.survey) < 0.7
    assert {entry.model_copy(update={"id": "entry-1"}) for entry in shipped.survey} <= {
        entry.model_copy(update={"id": "entry-1"}) for entry in surveyed.survey
    }


def test_the_baseline_tells_what_did_not_work_before(surveyed):
    (baseline,) = surveyed.baselines
    assert [check.name for check in baseline.functions if not check.works] == ["Park assist, rear"]
    assert baseline.when == "before"
    assert baseline.sleep_current_ma == pytest.approx(14)


def test_the_faces_of_the_sheet_are_those_of_the_halves(surveyed):
    sides = {
        (part.name, connector.name, half.name): half.face.side
        for part in surveyed.parts
        for connector in part.connectors
        for half in connector.halves
        if half.face is not None
    }
    assert sides == {
        ("X14", "", "A"): "wire side",
        ("X14", "", "B"): "wire side",
        ("A27", "C1", ""): "mating side",
        ("A27", "C2", ""): "unknown",
        ("A1", "C2", ""): "wire side",
        ("X70", "", ""): "wire side",
    }


@pytest.fixture(scope="module")
def gap_lists(surveyed) -> tuple[list[str], list[str]]:
    by_hand = sheets.gaps_by_hand(van.TRUTH.with_name("parcel_van_gaps.json"))
    return sheets.gap_differences(surveyed, by_hand, job_gaps(surveyed, {}).gaps)


def test_every_line_of_the_list_written_by_hand_is_found_as_a_gap(gap_lists):
    assert gap_lists[0] == []


def test_no_gap_is_found_beyond_the_list_written_by_hand(gap_lists):
    assert gap_lists[1] == []


def test_every_gap_of_the_van_is_open_and_in_scope_and_what_the_survey_changed_is_told(surveyed):
    found = job_gaps(surveyed, {})
    assert found.open_in_scope == found.gaps
    assert any("A27 C1:9" in sentence for sentence in found.contradictions)
    assert found.matching.questions == ()


def test_half_way_fewer_than_thirty_gaps_stand_open_in_scope(shipped):
    found = job_gaps(shipped, sheets.read_all(van.PROJECT, shipped))
    assert 10 < len(found.open_in_scope) < 30
