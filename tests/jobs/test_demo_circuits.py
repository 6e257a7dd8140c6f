"""Both demo projects done right: no rule broken without a reason, loops, buses, and what is live in each state."""

from __future__ import annotations

import sys

import pytest

from loomfolio.basics import demo_projects_path
from loomfolio.electrics import standard_tables
from loomfolio.project import find_pin
from loomfolio.retrofit import (
    LiveTable,
    all_rules,
    bus_pairs,
    check_job,
    interlock_loops,
    job_gaps,
    live_table,
    path_text,
    plan_work,
    screen_checks,
)

sys.path.insert(0, str(demo_projects_path()))

import draw_orchard_tractor as tractor
import draw_parcel_van as van

DEMOS = {"van": van, "tractor": tractor}
DOCUMENTS = {
    (name, how): make(demo.PROJECT, reading_on=False)
    for name, demo in DEMOS.items()
    for how, make in (("complete", demo.complete_project), ("surveyed", demo.surveyed_project))
}
JOBS = {key: job_gaps(project, {}) for key, project in DOCUMENTS.items()}


@pytest.mark.parametrize("key", DOCUMENTS, ids="-".join)
def test_no_rule_is_broken_without_a_reason(key):
    found = check_job(DOCUMENTS[key], JOBS[key])
    assert [f"{one.rule}: {one.sentence}" for one in found if one.is_open] == []


@pytest.mark.parametrize("name", DEMOS)
def test_no_rule_is_broken_by_the_plan_to_the_last_lead(name):
    project = DEMOS[name].planned_project(DEMOS[name].PROJECT)
    job = job_gaps(project, {})
    plan = plan_work(project, job)
    assert plan.leads
    found = check_job(project, job, plan=plan)
    assert [f"{one.rule}: {one.sentence}" for one in found if one.is_open] == []


def test_the_reason_for_the_van_s_one_finding_is_a_step_of_its_plan():
    project = van.planned_project(van.PROJECT)
    titles = [step.title for step in plan_work(project, job_gaps(project, {})).steps]
    assert any("20 A in line" in title for title in titles)


def test_the_one_finding_of_the_van_leads_to_its_place_and_has_a_reason():
    (found,) = check_job(DOCUMENTS["van", "complete"], JOBS["van", "complete"])
    assert (found.rule, found.severity) == ("fuse: area", "stop")
    assert found.place is not None
    assert "20 A" in (found.accepted or "")


def test_every_rule_was_asked():
    assert len(all_rules()) > 20


# -------------------------------------------------------------------------------- loops and pairs


@pytest.mark.parametrize("side", ["target", "vehicle"])
def test_the_tractor_s_loop_is_closed_and_opened_by_each_of_its_connectors(side):
    """Hand-counted on sheet 2: the switch of the disconnect, two plugs with a contact, both plugs of the box."""
    project, job = DOCUMENTS["tractor", "complete"], JOBS["tractor", "complete"]
    view = getattr(job, side)
    (loop,) = interlock_loops(project, view.netlist, view.equipment)
    assert loop.is_closed
    opens = {one.text: one.opens for one in loop.connectors}
    assert opens == {"S80": True, "U1 C1": True, "U2 C1": True, "X61": True, "X62": True}


@pytest.mark.parametrize(
    ("name", "buses"), [("van", ["CAN"]), ("tractor", ["Charge CAN", "Drive CAN"])]
)
def test_each_bus_reads_sixty_ohm_and_stays_a_pair(name, buses):
    project, job = DOCUMENTS[name, "complete"], JOBS[name, "complete"]
    pairs = bus_pairs(project, job.target.netlist, job.target.equipment, standard_tables())
    assert sorted(pair.name for pair in pairs) == buses
    for pair in pairs:
        assert pair.resistance is not None
        assert pair.resistance.value == pytest.approx(60)
        assert pair.partings == ()


def test_the_van_s_screen_is_at_the_sensors_star_point_alone():
    (check,) = screen_checks(JOBS["van", "complete"].target.netlist)
    assert [end.grounds for end in check.grounded] == [("SG1",)]


# ------------------------------------------------------------------------------------------ states


def tables(name: str) -> dict[str, LiveTable]:
    project, job = DOCUMENTS[name, "complete"], JOBS[name, "complete"]
    return {state.name: live_table(project, job.target.netlist, state) for state in project.states}


def answers(name: str, pin: str) -> dict[str, str]:
    key = find_pin(DOCUMENTS[name, "complete"], pin)
    return {state: table.pins[key].answer for state, table in tables(name).items()}


def test_the_van_s_switched_supply_is_live_only_while_its_relay_is_held():
    assert answers("van", "X90:10") == {"parked": "dead", "ignition on": "dead", "towing": "live"}
    assert answers("van", "X90:9") == dict.fromkeys(("parked", "ignition on", "towing"), "live")
    key = find_pin(DOCUMENTS["van", "complete"], "X90:10")
    way = path_text(tables("van")["towing"].pins[key].path)
    assert way == "G1:+ ╌ F1 ╌ SUPPLY 30 ╌ K41 contact ╌ TRAILER SWITCHED 12 V"


def test_the_tractor_s_inlet_is_live_only_while_charging_and_its_battery_always():
    assert answers("tractor", "X95:DC+") == {"parked": "dead", "key on": "dead", "charging": "live"}
    assert set(answers("tractor", "G2:+").values()) == {"live"}
    assert set(answers("tractor", "G2:-").values()) == {"live"}


def test_a_bus_is_unknown_in_every_state_for_modules_are_not_guessed():
    assert set(answers("van", "A27 C1:10").values()) == {"unknown"}


@pytest.mark.parametrize("name", DEMOS)
def test_nothing_is_wrong_in_any_state(name):
    assert [table.faults for table in tables(name).values()] == [(), (), ()]


def test_the_van_s_currents_add_up_at_its_main_fuse():
    """Trailer 12 A and 12 A, module 10 A, body controller and park assist 2 A, stated each for itself."""
    key = find_pin(DOCUMENTS["van", "complete"], "F1:1")
    (main,) = (one for one in tables("van")["towing"].currents if one.ends[0] == key)
    assert main.amperes.value == pytest.approx(12 + 12 + 10 + 1.5 + 0.5)
    assert all(leaf.source is not None for leaf in main.amperes.leaves())
