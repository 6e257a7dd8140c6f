"""Steps of a plan: zones opened once, modules on the bench, loops before covers, hold points until signed."""

from __future__ import annotations

import pytest

from loomfolio.project import edits
from loomfolio.retrofit import PlannedStep, WorkPlan, take_best
from support.make_work import Shop, make_lamp_shop


def keys(plan: WorkPlan) -> list[str]:
    return [step.key for step in plan.steps]


def step(plan: WorkPlan, words: str) -> PlannedStep:
    (found,) = [one for one in plan.steps if words in one.title]
    return found


def comes_before(plan: WorkPlan, first: str, then: str) -> bool:
    titles = [one.title for one in plan.steps]
    at = [n for n, title in enumerate(titles) if first in title]
    other = [n for n, title in enumerate(titles) if then in title]
    assert at
    assert other
    return max(at) < min(other)


def planned(shop: Shop) -> WorkPlan:
    shop.project = take_best(shop.project, shop.job)
    return shop.plan()


def make_van() -> Shop:
    shop = make_lamp_shop()
    shop.lead("A1 C1:6", "X9:6", new=True, area=1.5)
    shop.zone("Cab", "A1", covers=("dash",), is_wet=False, ambient_c=50, vibration="low")
    shop.zone("Rear", "E1", "X9", "GND1", covers=("bumper", "lamp"), is_wet=True, ambient_c=45)
    shop.way("Cab", "Rear", 4.0, label="sill", opening_mm=20)
    return shop


def make_high_voltage() -> Shop:
    shop = make_van()
    shop.part("A5", "module")
    shop.lead("A5 H1:1", "X9:DC", new=True, area=70, colour="OG")
    shop.lead("A5 C1:1", "A1 C1:20")
    shop.lead("A5 C1:2", "A1 C1:21")
    shop.lead("A5 C1:3", "X9:7", new=True, area=0.5)
    shop.circuit("A5 H1:1", "high voltage")
    shop.circuit("A5 C1:1", "interlock")
    shop.project = edits.place_thing(
        shop.project, part=shop.parts["A5"], zone=shop.zones["Cab"]
    ).project
    return shop


def test_a_zone_is_opened_once_before_all_work_in_it_and_closed_once_after():
    plan = planned(make_van())
    for zone in ("Cab", "Rear"):
        own = [one for one in plan.steps if one.title.startswith((f"Open {zone}", f"Close {zone}"))]
        assert [one.kind for one in own] == ["open", "close"]
    assert step(plan, "Open Rear").title == "Open Rear: take off bumper, lamp"
    rear = [n for n, one in enumerate(plan.steps) if one.kind in {"work", "plug in"}]
    assert plan.steps.index(step(plan, "Open Rear")) < min(
        n for n in rear if "X9" in plan.steps[n].title
    )
    assert plan.steps.index(step(plan, "Close Rear")) > max(rear)


def test_parts_are_in_place_before_leads_and_leads_are_rung_out_before_plugging():
    plan = planned(make_van())
    assert comes_before(plan, "Fit the socket X9", "A lead A1 C1:5")
    assert comes_before(plan, "Make 3 leads on the bench", "A lead A1 C1:5")
    assert comes_before(plan, "A lead A1 C1:6", "Ring out the new leads")
    assert comes_before(plan, "Ring out the new leads", "Plug X9 together")
    assert comes_before(plan, "Take the baseline", "Take the 12 V battery off")
    assert comes_before(plan, "Plug A1 C1 together", "12 V on again")
    assert comes_before(plan, "Close Rear", "Try the new function")


def test_a_module_is_on_the_bench_before_it_goes_back_in():
    shop = make_van()
    shop.choose("A1 C1:5", "solder to board", "at A1 C1:5")
    plan = shop.plan()
    assert comes_before(plan, "Take A1 out", "Solder a lead for X9:5")
    assert comes_before(plan, "Solder a lead for X9:5", "Put A1 back in")
    assert comes_before(plan, "Put A1 back in", "Plug A1 C1 together")
    assert step(plan, "Solder a lead for X9:5").kind == "bench"


def test_high_voltage_is_made_dead_step_by_step_and_comes_back_in_order():
    plan = planned(make_high_voltage())
    holds = [one.title for one in plan.steps if one.kind == "hold"]
    assert holds == [
        "12 V off",
        "Service disconnect out",
        "The maker's waiting time",
        "Tester proved, measured, proved again",
        "Below 60 V DC",
        "12 V back with the disconnect out",
        "Codes read",
        "Interlock loop as the vehicle sees it",
        "Traction back",
    ]
    assert comes_before(plan, "Below 60 V DC", "Open Cab")
    assert comes_before(plan, "Close Cab", "12 V back with the disconnect out")


def test_the_loop_is_measured_closed_before_anything_over_it_is_closed():
    plan = planned(make_high_voltage())
    assert comes_before(plan, "Plug A5 C1 together", "Measure the interlock loop closed")
    assert comes_before(plan, "Measure the interlock loop closed", "Close Cab")


def test_what_follows_a_hold_point_is_blocked_until_it_is_signed():
    shop = make_high_voltage()
    plan = planned(shop)
    assert step(plan, "Make 4 leads").blocked_by == ""
    assert step(plan, "Open Cab").blocked_by == "12 V off"
    for hold in ("12 V off", "disconnect out", "waiting time", "tester"):
        shop.project = edits.sign_hold(shop.project, hold=f"hold: {hold}", by="Ada").project
    plan = shop.plan()
    assert step(plan, "Open Cab").blocked_by == "Below 60 V DC"
    shop.project = edits.sign_hold(shop.project, hold="hold: dead", by="Ada", read="3 V").project
    plan = shop.plan()
    assert step(plan, "Open Cab").blocked_by == ""
    assert step(plan, "Try the new function").blocked_by == "12 V back with the disconnect out"
    assert step(plan, "Below 60 V DC").hold.signed_by == "Ada"


def test_a_person_may_turn_the_order_round_and_is_told_what_that_breaks():
    shop = make_high_voltage()
    plan = planned(shop)
    opened, dead = step(plan, "Open Cab").key, "hold: dead"
    shop.project = edits.order_steps(shop.project, first=opened, then=dead).project
    plan = shop.plan()
    assert keys(plan).index(opened) < keys(plan).index(dead)
    (told,) = [one for one in plan.findings if one.title.startswith("An order made by hand")]
    assert told.severity == "stop"
    assert told.sentence.startswith(
        "Open Cab: take off dash now comes without Below 60 V DC before it"
    )


def test_an_order_of_a_step_that_is_gone_is_told():
    shop = make_van()
    shop.project = edits.order_steps(shop.project, first="work: nothing", then="open: x").project
    plan = planned(shop)
    assert any("no longer in the plan" in one.sentence for one in plan.findings)


def test_general_work_has_its_place_before_and_after():
    shop = make_van()
    plan = planned(shop)
    fit = step(plan, "Fit the socket X9").key
    shop.project, drill = edits.add_work_step(
        shop.project, title="Drill the plate", zone=shop.zones["Rear"], before=(fit,), hours=0.5
    )
    plan = shop.plan()
    assert comes_before(plan, "Open Rear", "Drill the plate")
    assert comes_before(plan, "Drill the plate", "Fit the socket X9")
    assert step(plan, "Drill the plate").key == drill
    assert plan.findings == ()


def test_a_module_is_coded_with_power_on():
    shop = make_van()
    shop.header("A1 C1:5", "needs coding")
    plan = planned(shop)
    assert comes_before(plan, "12 V on again", "Code A1")


def test_nothing_chosen_is_nothing_to_do():
    plan = make_van().plan()
    assert plan.steps == ()
    assert len(plan.open_gaps) == 4


@pytest.mark.parametrize("make", [make_van, make_high_voltage])
def test_every_step_comes_after_those_that_it_names(make):
    plan = planned(make())
    at = {key: number for number, key in enumerate(keys(plan))}
    assert all(at[first] < at[one.key] for one in plan.steps for first in one.after)
