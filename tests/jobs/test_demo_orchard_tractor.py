"""The second demo project: drawn alike each time, true to its own declaration and to the standards of its inlet."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from loomfolio.basics import demo_projects_path
from loomfolio.nets import Netlist, connector_map, derive, findings
from loomfolio.project import (
    HalfEntry,
    LineMark,
    Project,
    ProjectFolder,
    edits,
    pin_text,
)
from loomfolio.retrofit import job_gaps
from loomfolio.sheets import page_list

sys.path.insert(0, str(demo_projects_path()))

import draw_orchard_tractor as tractor
from drawing.marks import all_crossings
from drawing.wiring import leads
from orchard_tractor.faces_sheet import CONTACTS, PILOT
from orchard_tractor.publication import OPTION

from support import demo_sheets as sheets

CIRCUITS = tuple(plan for plan in tractor.SHEETS if plan.kind == "circuit")
BY_TITLE = {"argvalues": tractor.SHEETS, "ids": [plan.file for plan in tractor.SHEETS]}
CIRCUITS_BY_TITLE = {"argvalues": CIRCUITS, "ids": [plan.file for plan in CIRCUITS]}


@pytest.fixture(scope="module")
def truth() -> dict:
    return json.loads(tractor.TRUTH.read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def shipped() -> Project:
    with ProjectFolder.open(tractor.PROJECT, read_only=True) as folder:
        return folder.project


@pytest.fixture(scope="module")
def by_hand() -> Project:
    return tractor.complete_project(tractor.PROJECT, reading_on=False)


@pytest.fixture(scope="module")
def surveyed() -> Project:
    return tractor.surveyed_project(tractor.PROJECT)


@pytest.fixture(scope="module")
def drawn_again(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("again") / "tractor"
    tractor.main(["--into", str(folder)])
    return folder


@pytest.fixture(scope="module")
def first_sight(shipped) -> Netlist:
    return derive(shipped, sheets.read_all(tractor.PROJECT, shipped))


# ---------------------------------------------------------------------------------- drawn alike


@pytest.mark.parametrize("plan", **BY_TITLE)
def test_drawing_a_sheet_again_gives_the_same_pixels(plan, drawn_again):
    new, old = (folder / "sheets" / plan.file for folder in (drawn_again, tractor.PROJECT))
    assert sheets.is_same_picture(new, old)


def test_the_command_writes_a_project_that_opens(drawn_again, shipped):
    with ProjectFolder.open(drawn_again, read_only=True) as folder:
        assert folder.project.sheets == shipped.sheets


def test_the_script_makes_the_project_that_is_shipped(shipped):
    assert tractor.half_way_project(tractor.PROJECT) == shipped


def test_the_script_makes_the_truth_that_is_shipped(truth):
    assert json.loads(json.dumps(tractor.truth())) == truth


@pytest.mark.parametrize("plan", **BY_TITLE)
def test_a_sheet_is_a_small_scan_of_an_a4_page(plan):
    path = tractor.PROJECT / "sheets" / plan.file
    (page,) = page_list(path)
    assert 200 <= round(page.x_dpi) <= 300
    assert page.width_px * 25.4 / page.x_dpi == pytest.approx(297, abs=0.2)
    assert page.height_px * 25.4 / page.y_dpi == pytest.approx(210, abs=0.2)
    assert path.stat().st_size < 300_000
    assert 0 < abs(plan.skew_degrees) <= 0.3


@pytest.mark.parametrize("plan", **BY_TITLE)
def test_no_text_touches_a_line_another_text_or_the_edge_of_the_page(plan):
    assert sheets.texts_on_lines(plan) == []
    assert sheets.texts_on_texts(plan) == []
    assert sheets.texts_off_the_page(plan) == []


@pytest.mark.parametrize("plan", **CIRCUITS_BY_TITLE)
def test_wires_meet_where_they_are_declared_to_and_keep_clear_elsewhere(plan):
    assert sheets.undeclared_meetings(plan) == []
    assert sheets.crowded_wires(plan) == []
    assert {hop for wire in plan.wires for hop in wire.hops} <= set(all_crossings(plan))


# ------------------------------------------------------------------------------- what it consists of


def test_the_inlet_has_its_lock_its_two_sensors_its_pilot_and_its_earth(by_hand, truth):
    kinds = {part.name: part.kind for part in by_hand.parts if part.when == OPTION}
    assert kinds["X95"] == "inlet"
    assert kinds["M95"] == "motor"
    assert [name for name, kind in kinds.items() if kind == "sensor"] == ["B95", "B96"]
    net_of = {pin: set(net) for net in truth["nets"] for pin in net}
    assert net_of["X95:CP"] == {"X95:CP", "A40 C2:1"}
    assert net_of["X95:PP"] == {"X95:PP", "A40 C2:2"}
    assert net_of["X95:PE"] == {"X95:PE", "GND4:1"}


def test_the_can_pair_is_twisted_and_terminated_at_each_end(by_hand):
    (group,) = (group for group in by_hand.groups if group.name == "Charge CAN")
    assert group.kind == "twist"
    ends = [{pin_text(by_hand, pair[end]) for pair in group.pins} for end in (0, 1)]
    terminated = [
        {f"{part.name} {pin.connector}:{pin.pin}" for pin in way.pins}
        for part in by_hand.parts
        for way in part.ways
        if "termination" in way.label
    ]
    assert sorted(map(sorted, terminated)) == sorted(map(sorted, ends))


def test_the_interlock_loop_is_one_way_round_through_every_high_voltage_plug(by_hand):
    joined = {
        frozenset(net)
        for net in sheets.nets_of(derive(by_hand, {}))
        if any(pin.startswith("X61") and pin[-1] in "34" for pin in net)
    }
    (after_the_charger,) = joined
    assert {"X61.A:3", "X61.B:3", "X61.B:4", "X61.A:4", "A50 C1:12"} <= after_the_charger
    passes = {
        part.name
        for part in by_hand.parts
        for way in part.ways
        if way.relation == "passes"
        and way.at_rest == "closed"
        and part.kind in {"module", "switch"}
    }
    assert passes == {"S80", "U1", "U2"}


def test_the_high_voltage_leads_are_one_assembly_that_comes_with_the_option(by_hand):
    (loom,) = by_hand.harnesses
    assert (loom.name, loom.when) == ("W95", OPTION)
    assert {(half.part, half.half) for half in loom.ends} == {
        (part.id, "B" if part.name == "X61" else "")
        for part in by_hand.parts
        if part.name in {"X61", "X95"}
    }
    (group,) = (group for group in by_hand.groups if group.name == "W95")
    assert {pin_text(by_hand, pin) for pair in group.pins for pin in pair} == {
        "X61.B:1",
        "X61.B:2",
        "X95:DC+",
        "X95:DC-",
    }


def test_every_orange_lead_is_high_voltage_and_no_other_lead_is_orange(truth):
    high_voltage = {"G2", "F80", "K81", "K82", "X61.A", "X61.B", "X95"}
    for lead in truth["fits"]["with DC charging"]["leads"]:
        homes = {pin.partition(":")[0] for pin in lead["pins"]}
        is_high = all(home.endswith("HV1") or home in high_voltage for home in homes) and not set(
            lead["pins"]
        ) & {"X61.A:3", "X61.A:4", "X61.B:3", "X61.B:4"}
        if lead["colours"]:
            assert (lead["colours"] == ["OG"]) == (is_high and "X95:PE" not in lead["pins"])


def test_high_voltage_minus_is_joined_to_no_ground(truth):
    (minus,) = (net for net in truth["nets"] if "G2:-" in net)
    assert not any(pin.startswith("GND") for pin in minus)


def test_every_sheet_shows_a_caution():
    assert all(plan.cautions and plan.cautions[0].lines for plan in tractor.SHEETS)


# One for each rule of the reference text on high-voltage cautions that this job meets; figures of UN R100.
@pytest.mark.parametrize(
    "words",
    [
        "trained",
        "Prove dead",
        "Wait 10 minutes",
        "Above 60 V",
        "always live",
        "No joint, tap, fuse or repair",
        "never bridged",
        "not earthed to the chassis",
        "below 0.1 ohm",
        "50 mm",
        "lock, earth, pilot, proximity and both temperature sensors",
        "100 ohm per volt",
    ],
)
def test_the_job_carries_each_caution_that_it_needs(words, shipped):
    assert any(words in line for line in shipped.job.cautions)


def test_what_comes_with_the_option_says_so_on_the_sheets():
    printed = {word.text for plan in tractor.SHEETS for word in sheets.lettering(plan)}
    assert "(WITH DC CHARGING)" in printed
    assert any("EXCEPT DC CHARGING" in text for text in printed)
    assert [plan.number for plan in tractor.SHEETS if plan.when] == [3]


# --------------------------------------------------------------------------------- map against truth


def test_all_drawn_by_hand_gives_the_declared_nets(by_hand, truth):
    assert not any(sheet.is_read for sheet in by_hand.sheets)
    assert sheets.nets_of(derive(by_hand, {})) == {frozenset(net) for net in truth["nets"]}


@pytest.mark.parametrize("name", ["base", "with DC charging"])
def test_each_fit_gives_its_declared_nets(name, by_hand, truth):
    (fit,) = (fit for fit in by_hand.fits if fit.name == name)
    declared = {frozenset(net) for net in truth["fits"][name]["nets"]}
    # A cavity with nothing in it still faces a contact of the other half; the declared nets leave it out.
    wired = frozenset().union(*declared)
    found = {net & wired for net in sheets.nets_of(derive(by_hand, {}, fit=fit))}
    assert {net for net in found if net} == declared


def test_one_missing_line_is_seen_in_the_nets(by_hand, truth):
    line = next(mark for mark in by_hand.marks if isinstance(mark, LineMark))
    less = edits.remove_marks(by_hand, [line.id])
    assert sheets.nets_of(derive(less, {})) != {frozenset(net) for net in truth["nets"]}


def test_each_declared_net_bears_its_name(by_hand, truth):
    names = {
        pin_text(by_hand, pin): net.name
        for net in derive(by_hand, {}).nets
        for pin in net.pins
        if net.claims
    }
    assert {pin: names[pin] for pin in truth["names"]} == truth["names"]


def test_with_everything_confirmed_every_lead_is_released_and_nothing_is_found(by_hand):
    netlist = derive(by_hand, {})
    assert [pin_text(by_hand, row.a) for row in connector_map(netlist) if not row.is_released] == []
    assert [finding.sentence for finding in findings(netlist)] == []


@pytest.fixture(scope="module")
def read_nets() -> set[frozenset[str]]:
    project = tractor.complete_project(tractor.PROJECT, reading_on=True)
    assert not any(isinstance(mark, LineMark) for mark in project.marks)
    return sheets.nets_of(derive(project, sheets.read_all(tractor.PROJECT, project)))


def test_the_reader_finds_the_declared_nets_where_nothing_is_drawn_by_hand(read_nets, truth):
    assert read_nets == {frozenset(net) for net in truth["nets"]}


def test_the_reader_misses_no_declared_net_but_that_of_the_battery_minus(read_nets, truth):
    declared = {frozenset(net) for net in truth["nets"]}
    assert all("G1:-" in net for net in declared - read_nets)


def test_the_reader_joins_nothing_that_is_declared_apart(read_nets, truth):
    net_of = {pin: frozenset(net) for net in truth["nets"] for pin in net}
    assert all(net <= net_of[pin] for net in read_nets for pin in net)


def test_the_tractor_lacks_sixteen_leads_two_cables_and_no_lead_that_it_has_goes(truth):
    base, charging = (
        {tuple(lead["pins"]) for lead in truth["fits"][fit]["leads"]}
        for fit in ("base", "with DC charging")
    )
    cables = {
        ("X61.B:1", "X95:DC+"),
        ("X61.B:2", "X95:DC-"),
        ("A40 C1:4", "A50 C2:3"),
        ("A40 C1:5", "A50 C2:4"),
    }
    assert base < charging
    assert cables < charging - base
    assert len(charging - base - cables) == 16


# ------------------------------------------------------------------------------- left half way


def test_at_first_sight_a_few_things_stand_open_in_scope(first_sight):
    found = findings(first_sight)
    assert {"link without its other end", "mate not confirmed"} <= {f.kind for f in found}
    assert 0 < sum(finding.in_scope for finding in found) < 30


def test_half_way_only_a_part_of_the_survey_is_done(shipped, surveyed):
    assert 0.4 < len(shipped.survey) / len(surveyed.survey) < 0.8


# ------------------------------------------------- the inlet against the published tables


def contacts() -> dict[str, dict[str, str]]:
    return {
        row["contact"]: row
        for row in sheets.table_rows("dc_inlets.csv")
        if row["inlet"].startswith("configuration FF")
    }


# A second printing, from memory of public pages on combined couplers: the contacts that DC charging uses.
SECOND_PRINTING = {
    "DC+": "plus",
    "DC-": "minus",
    "PE": "protective earth",
    "CP": "control pilot",
    "PP": "proximity",
}


def test_the_table_of_contacts_agrees_with_a_second_printing():
    assert set(contacts()) == set(SECOND_PRINTING)
    for contact, words in SECOND_PRINTING.items():
        assert words in contacts()[contact]["function"].lower()


def test_the_inlet_uses_each_contact_of_the_standard_and_no_other(truth):
    drawn = {pin.partition(":")[2] for pin in truth["pins"] if pin.startswith("X95:")}
    assert drawn == set(contacts())


def test_the_printed_functions_of_the_contacts_are_those_of_the_table():
    printed = {row[0]: row[1].lower() for row in CONTACTS.rows if row[0] in contacts()}
    table = {
        contact: row["function"].partition(";")[0].lower() for contact, row in contacts().items()
    }
    assert printed == table
    (unused,) = (row for row in CONTACTS.rows if row[0] not in contacts())
    assert "unused in DC charging" in contacts()["DC+"]["circuit_note"]
    assert unused[1] == "UNUSED IN DC CHARGING"


def test_the_printed_colours_of_the_contacts_are_those_of_the_leads():
    printed = {row[0]: (row[2], row[3]) for row in CONTACTS.rows if row[2]}
    drawn = {
        end.partition(":")[2]: (wire.colour, f"{wire.area_mm2:g}")
        for plan in CIRCUITS
        for wire in plan.wires
        for end in (wire.a, wire.b)
        if end.startswith("X95:")
    }
    assert drawn == printed


def pilot(item: str) -> dict[str, str]:
    return {
        row["state_or_code"]: row["value"]
        for row in sheets.table_rows("control_pilot.csv")
        if row["item"] == item
    }


def test_the_printed_pilot_values_are_those_of_the_table():
    assert {row[0]: row[2] for row in PILOT.rows} == pilot("control pilot voltage, upper half")
    printed_ohm = {row[0]: row[3] for row in PILOT.rows if row[3]}
    assert printed_ohm == {**pilot("car total"), "B": pilot("car resistor")["B"]}


def test_the_pilot_values_follow_from_the_resistors():
    # 12 V behind 1 kohm, a diode of 0.7 V and the resistance of the vehicle make the volts of the state.
    volts = {row[0]: float(row[2]) for row in PILOT.rows}
    for state, ohm in ((row[0], float(row[3])) for row in PILOT.rows if row[3]):
        assert 0.7 + (12 - 0.7) * ohm / (1000 + ohm) == pytest.approx(volts[state], abs=0.1)


# ------------------------------------------------------------------------------------- what it lacks


def test_the_survey_sees_the_dummy_plug_that_closes_the_interlock_loop(shipped):
    (plug,) = (e for e in shipped.survey if isinstance(e, HalfEntry) and e.state == "dummy plug")
    assert pin_text(shipped, plug.half.pin("3")) == "X61.B:3"


def test_every_conditional_wire_ends_at_a_pin_or_part_with_that_condition(by_hand):
    conditional = {
        f"{part.name}{' ' + c.name if c.name else ''}{'.' + h.name if h.name else ''}:{cavity.pin}"
        for part in by_hand.parts
        for c in part.connectors
        for h in c.halves
        for cavity in h.cavities
    }
    parts = {part.name for part in by_hand.parts if part.when}
    for lead in leads(tractor.SHEETS):
        if lead.when:
            assert any(
                pin in conditional or pin.partition(":")[0].partition(" ")[0] in parts
                for pin in lead.pins
            )


@pytest.fixture(scope="module")
def gap_list() -> list[dict[str, object]]:
    return sheets.gaps_by_hand(tractor.TRUTH.with_name("orchard_tractor_gaps.json"))


def test_the_gaps_are_those_of_the_list_written_by_hand(surveyed, gap_list):
    found = job_gaps(surveyed, {})
    assert sheets.gap_differences(surveyed, gap_list, found.gaps) == ([], [])
    assert found.open_in_scope == found.gaps
    assert found.matching.questions == ()


def test_one_lead_more_in_the_list_would_be_missed(surveyed, gap_list):
    line = {"kind": "lead missing", "pins": ["X95:PE", "A40 C2:1"], "words": "earth to the pilot"}
    gaps = job_gaps(surveyed, {}).gaps
    assert sheets.gap_differences(surveyed, [*gap_list, line], gaps) == (
        ["lead missing: earth to the pilot"],
        [],
    )


def test_half_way_fewer_than_thirty_gaps_stand_open_in_scope(shipped):
    found = job_gaps(shipped, sheets.read_all(tractor.PROJECT, shipped))
    assert 10 < len(found.open_in_scope) < 30
