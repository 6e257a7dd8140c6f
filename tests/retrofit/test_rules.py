"""Each rule catches its planted fault and says nothing of the same circuit done right."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest

from loomfolio.electrics import given
from loomfolio.project import Cavity, Connector, Half, edits
from loomfolio.retrofit import (
    PlanFinding,
    PlannedJoint,
    RuleFinding,
    Span,
    WorkPlan,
    all_rules,
    check_job,
)
from support.make_circuits import Circuit


@dataclass(frozen=True)
class Planted:
    """A rule, a circuit that is right, and what is done to it to break the rule. `told` stands in the sentence."""

    rule: str
    right: Callable[[], Circuit]
    fault: Callable[[Circuit], object]
    told: str


def findings(made: Circuit) -> tuple[RuleFinding, ...]:
    job = made.job()
    return check_job(made.project, job)


def of_rule(made: Circuit, rule: str) -> list[RuleFinding]:
    return [finding for finding in findings(made) if finding.rule == rule]


# ---------------------------------------------------------------------------- circuits that are right


def battery() -> Circuit:
    """A battery on chassis and a 10 A fuse behind it, which the vehicle has; a lamp behind it, which it lacks."""
    made = Circuit().part("G1", "battery").part("GND1", "ground point", on="chassis")
    made.part("F1", "fuse", "1-2 closed").part("E1", "lamp", "1-2 loads")
    made.leads("G1:+ - F1:1, G1:- - GND1:1").supply("G1:+", 12, back="G1:-")
    made.fuse("F1", 10, fuse_kind="C").load("E1:1", 4, "E1:2")
    return made.new("F1:2 - E1:1", area_mm2=1.0).new("E1:2 - GND1:2", area_mm2=1.0)


def traction() -> Circuit:
    """A traction battery off chassis with its fuse and an inverter, and an inlet with all its contacts."""
    made = battery().part("G2", "battery").part("F80", "fuse", "1-2 closed").part("X95", "inlet")
    made.part("U1", "module", "HV:1-HV:2 loads inverter").part("A40", "module")
    made.leads("G2:+ - F80:1, F80:2 - U1 HV:1, G2:- - U1 HV:2", colour="OG")
    made.new("F80:2 - X95:DC+", "OG").new("G2:- - X95:DC-", "OG")
    made.new("X95:CP - A40:1, X95:PP - A40:2, X95:PE - GND1:3")
    made.part("M95", "motor", "1-2 loads lock").part("B95", "sensor", "1-2 loads")
    made.new("A40:4 - M95:1, A40:5 - M95:2, A40:8 - B95:1, A40:9 - B95:2")
    made.supply("G2:+", 350, back="G2:-").fuse("F80", 250, rated_v=500)
    return made.circuit("G2:+", "high voltage", voltage_v=350).circuit("G2:-", "traction minus")


def loop() -> Circuit:
    """An interlock loop over an inverter's plug."""
    made = Circuit().part("A1", "module").part("U1", "module", "C1:1-C1:2 closed")
    made.leads("A1:11 - U1 C1:1, U1 C1:2 - A1:12")
    return made.circuit("A1:11", "interlock").circuit("A1:12", "interlock")


def bus() -> Circuit:
    """A pair between two modules, both of which terminate it."""
    made = battery().part("A1", "module").part("A2", "module")
    made.leads("A1:1 - A2:1, A1:2 - A2:2").ohm("A1:1", "A1:2", 120).ohm("A2:1", "A2:2", 120)
    made.group("CAN", "twist", "A1:1 A2:1", "A1:2 A2:2")
    return made.circuit("A1:1", "bus", kbit_per_s=500).circuit("A1:2", "bus", kbit_per_s=500)


def sensors() -> Circuit:
    """Two sensors of one module against the sensors' own ground, one of them in a screen."""
    made = battery().part("SG1", "ground point", on="sensor ground").part("A1", "module")
    made.part("B1", "sensor", "1-2 loads").part("B2", "sensor", "1-2 loads")
    made.leads("A1:1 - B1:1, B1:2 - SG1:1, A1:9 - SG1:2, A1:2 - B2:1")
    made.new("B2:2 - SG1:3")
    return made.group("Force", "screen", "A1:1 B1:1", ends="SG1:4")


def relay() -> Circuit:
    """A relay that a module drives to minus, suppressed, which feeds the lamp of the battery's fuse."""
    made = battery().part("K1", "relay", "85-86 loads coil", "30-87 open contact")
    made.part("A1", "module").part("E2", "lamp", "1-2 loads").load("E2:1", 2, "E2:2")
    made.leads("F1:2 - K1:86, F1:2 - K1:30, K1:87 - E2:1, E2:2 - GND1:4").new("K1:85 - A1:17")
    return made.relay("K1", suppression="resistor", layout="A", socket_layout="A")


def states() -> Circuit:
    """An ignition supply beside the battery, each with its own lamp, in two states."""
    made = battery().part("KL15", "supply").supply("KL15:1", 12).part("E3", "lamp", "1-2 loads")
    made.part("S1", "switch", "1-2 closed")
    made.leads("KL15:1 - E3:1, E3:2 - GND1:5")
    made.state("parked", "G1:+")
    made.state("ignition on", "G1:+ KL15:1")
    return made


def option() -> Circuit:
    """A plug of which one cavity is there with the option only, and has its lead then."""
    cavities = (Cavity(pin="1"), Cavity(pin="2", when="t"))
    made = battery().part(
        "X9", "socket", connectors=(Connector(halves=(Half(cavities=cavities),)),)
    )
    return made.leads("F1:2 - X9:1")


def wired_option() -> Circuit:
    return option().new("X9:2 - GND1:6")


# ------------------------------------------------------------------------------------ planted faults


def without_notes(kind: str) -> Callable[[Circuit], object]:
    def fault(made: Circuit) -> None:
        ids = [note.id for note in made.project.electric_notes if note.kind == kind]
        made.project = edits.remove_notes(made.project, ids)

    return fault


def without_lead(end: str) -> Callable[[Circuit], object]:
    def fault(made: Circuit) -> None:
        for lead in made.project.leads:
            if made.pin(end) in lead.ends:
                made.project = edits.remove_lead(made.project, lead.id)

    return fault


def inlet_without(*ends: str) -> Callable[[Circuit], object]:
    def fault(made: Circuit) -> None:
        for end in ends:
            without_lead(end)(made)

    return fault


def joint_in_high_voltage(made: Circuit) -> None:
    made.part("S9", "splice").part("U9", "module", "1-2 loads heater")
    made.part("U8", "module", "1-2 loads pump")
    made.new("F80:2 - S9:1, S9:2 - U9:1, S9:3 - U8:1", "OG")


def restrained() -> Circuit:
    made = battery().part("A9", "module").part("R9", "resistor", "1-2 loads igniter")
    return made.leads("A9:1 - R9:1, A9:2 - R9:2").circuit("A9:1", "restraint")


def screen_of(ends: str) -> Callable[[Circuit], object]:
    def fault(made: Circuit) -> None:
        (group,) = made.project.groups
        pins = tuple(made.pin(end) for end in ends.split())
        changed = group.model_copy(update={"screen_ends": pins})
        made.project = edits.change_group(made.project, changed)

    return fault


def part_on_sensor_ground(made: Circuit) -> None:
    made.part("B3", "sensor", "1-2 loads", on="sensor ground").leads("A1:5 - B3:1")
    made.new("B3:2 - GND1:7")


def sensor_on_chassis(made: Circuit) -> None:
    made.part("B4", "sensor", "1-2 loads").leads("A1:6 - B4:1").new("B4:2 - GND1:8")


def unknown_end(made: Circuit) -> None:
    made.part("A3", "module", "1-2 loads termination").leads("A2:1 - A3:1, A2:2 - A3:2")


def apart(made: Circuit) -> None:
    made.part("A3", "module").part("S9", "splice")
    made.leads("A2:1 - A3:1, A2:2 - S9:1, S9:2 - A3:2")


def long_stub(made: Circuit) -> None:
    made.part("A3", "module").lead("A2:1", "A3:1", length_m=3.0).lead("A2:2", "A3:2", length_m=3.0)


def thin_lead(made: Circuit) -> None:
    made.part("E4", "lamp", "1-2 loads").new("F1:2 - E4:1", area_mm2=0.5)


def new_fuse(made: Circuit) -> None:
    made.part("F2", "fuse", "1-2 closed", when="t").part("E5", "lamp", "1-2 loads")
    made.new("G1:+ - F2:1, F2:2 - E5:1")


PLANTED = [
    Planted("high voltage: new joint", traction, joint_in_high_voltage, "ends at a joint"),
    Planted(
        "high voltage: chassis",
        traction,
        lambda c: c.new("U1 HV:2 - GND1:9", "OG"),
        "joined to GND1",
    ),
    Planted(
        "high voltage: low supply",
        traction,
        lambda c: c.part("KL9", "supply").supply("KL9:1", 12).new("KL9:1 - F80:2"),
        "KL9:1 supplies 12 V",
    ),
    Planted(
        "high voltage: fuse", traction, lambda c: c.fuse("F80", 40, rated_v=32), "made for 32 V"
    ),
    Planted(
        "high voltage: colour",
        traction,
        lambda c: c.part("U2", "module", "1-2 loads").new("F80:2 - U2:1", "RD"),
        "drawn RD",
    ),
    Planted(
        "high voltage: inlet", traction, inlet_without("X95:PE", "M95:1", "M95:2"), "(earth), lock"
    ),
    Planted("interlock: closed", loop, without_lead("A1:12"), "is not closed"),
    Planted(
        "interlock: connector", loop, lambda c: c.lead("U1 C1:1", "U1 C1:2"), "leaves the loop"
    ),
    Planted(
        "interlock: joined",
        loop,
        lambda c: c.part("B9", "sensor").part("S9", "splice").leads("U1 C1:2 - S9:1, S9:2 - B9:1"),
        "B9:1",
    ),
    Planted(
        "restraint: new joint",
        restrained,
        lambda c: (
            c.part("S9", "splice")
            .part("A8", "module")
            .part("A7", "module")
            .new("A9:1 - S9:1, S9:2 - A8:1, S9:3 - A7:1")
        ),
        "restraint or safety",
    ),
    Planted("restraint: supply", restrained, lambda c: c.new("A9:2 - GND1:9"), "GND1"),
    Planted("ground: references", sensors, lambda c: c.new("SG1:5 - GND1:9"), "GND1 and SG1"),
    Planted("ground: sensors", sensors, lambda c: c.new("E1:2 - SG1:6"), "E1:2"),
    Planted("ground: reference of a part", sensors, part_on_sensor_ground, "B3 is joined to GND1"),
    Planted("ground: sensor on chassis", sensors, sensor_on_chassis, "B4:2 returns over chassis"),
    Planted("screen: end", sensors, screen_of(""), "Force"),
    Planted("screen: ground", sensors, screen_of("A1:8"), "at no ground"),
    Planted("screen: two grounds", sensors, screen_of("SG1:4 GND1:9"), "GND1 and at SG1"),
    Planted("bus: ends", bus, lambda c: c.part("A3", "module").ohm("A1:1", "A1:2", 60), "40 ohm"),
    Planted("bus: ends not known", bus, unknown_end, "A3 termination"),
    Planted("bus: pair", bus, apart, "A2 to A3"),
    Planted(
        "bus: twisted",
        bus,
        lambda c: c.circuit("A1:7", "bus").leads("A1:7 - A2:7"),
        "no stated pair",
    ),
    Planted("bus: stub", bus, long_stub, "at most 1 m"),
    Planted("bus: joined", bus, lambda c: c.new("A1:2 - GND1:9"), "GND1 lies on the bus"),
    Planted(
        "fuse: missing",
        battery,
        lambda c: c.part("E4", "lamp", "1-2 loads").new("G1:+ - E4:1"),
        "no fuse before it",
    ),
    Planted("fuse: area", battery, thin_lead, "lies behind 10 A; 7.5 A"),
    Planted("fuse: rating", battery, new_fuse, "F2"),
    Planted("fuse: load", battery, lambda c: c.load("E1:1", 9, "E1:2"), "carries 9 A"),
    Planted(
        "relay: numbers",
        relay,
        lambda c: c.part("K2", "relay", "30-85 loads coil").leads("F1:2 - K2:30, K2:85 - GND1:9"),
        "drawn at 30 and 85",
    ),
    Planted(
        "relay: layout",
        relay,
        lambda c: c.relay("K1", suppression="resistor", layout="B", socket_layout="A"),
        "layout B",
    ),
    Planted("relay: suppression", relay, without_notes("relay"), "A1 drives it"),
    Planted(
        "relay: diode",
        relay,
        lambda c: (
            c.part("K2", "relay", "85-86 loads coil")
            .leads("F1:2 - K2:85, K2:86 - GND1:9")
            .relay("K2", suppression="diode")
        ),
        "K2:86 is at chassis",
    ),
    Planted("relay: coil", relay, lambda c: c.lead("K1:85", "K1:86"), "are joined"),
    Planted(
        "relay: contact", relay, lambda c: c.load("E2:1", 31, "E2:2"), "contact for ever: 31 A"
    ),
    Planted(
        "state: short",
        states,
        lambda c: c.new("F1:2 - S1:1, S1:2 - GND1:9"),
        "parked: G1:+ is shorted",
    ),
    Planted(
        "state: fed back",
        states,
        lambda c: c.part("E7", "lamp", "1-2 loads").new("F1:2 - E7:1, E7:2 - KL15:1"),
        "parked: KL15:1 is off",
    ),
    Planted(
        "state: supplies joined",
        states,
        lambda c: c.new("F1:2 - S1:1, S1:2 - KL15:1"),
        "ignition on: G1:+ and KL15:1",
    ),
    Planted(
        "state: relays at rest",
        states,
        lambda c: c.part("K3", "relay", "85-86 loads coil", "30-87a closed", when="t").new(
            "F1:2 - K3:30, K3:87a - K3:86, K3:85 - GND1:9"
        ),
        "K3 does not come to rest",
    ),
    Planted(
        "lead: colours",
        lambda: wired_option().part("E6", "lamp", "1-2 loads").new("E6:1 - X9:5", "GN"),
        lambda c: c.new("E6:2 - X9:6", "GN"),
        "X9:5 and X9:6 are both GN",
    ),
    Planted("lead: cavity", wired_option, lambda c: c.new("X9:1 - E1:1"), "X9:1"),
    Planted("option: hole", wired_option, without_lead("X9:2"), "X9:2 is there t"),
    Planted(
        "option: undetermined",
        wired_option,
        lambda c: c.leads("X9:7 - GND1:8", when="airsusp"),
        "nothing of airsusp",
    ),
]
NAMES = [planted.rule for planted in PLANTED]


@pytest.mark.parametrize("planted", PLANTED, ids=NAMES)
def test_a_planted_fault_is_caught_and_leads_to_its_place(planted: Planted):
    made = planted.right()
    planted.fault(made)
    caught = of_rule(made, planted.rule)
    assert planted.told in " | ".join(finding.sentence for finding in caught)
    about_a_part = planted.rule != "option: undetermined"
    assert all(bool(finding.pins) == about_a_part for finding in caught)


@pytest.mark.parametrize("planted", PLANTED, ids=NAMES)
def test_the_same_circuit_done_right_is_quiet(planted: Planted):
    assert of_rule(planted.right(), planted.rule) == []


@pytest.mark.parametrize("right", [traction, loop, bus, sensors, relay, states, wired_option])
def test_a_circuit_that_is_right_breaks_no_rule_at_all(right):
    assert [f"{f.rule}: {f.sentence}" for f in findings(right())] == []


# ---------------------------------------------------------------------------------- rules as such


def test_every_rule_has_a_planted_fault():
    of_plans = {rule.id for rule in all_rules() if rule.id.startswith("plan: ")}
    assert set(NAMES) == {rule.id for rule in all_rules()} - of_plans


def test_a_rule_says_why_and_by_whom():
    for rule in all_rules():
        assert rule.title[0].isupper()
        assert rule.reason.endswith(".")
        assert rule.source
        assert rule.find.__doc__


def test_a_finding_is_let_stand_by_itself_or_with_its_rule():
    made = battery()
    thin_lead(made)
    made.part("E8", "lamp", "1-2 loads").new("F1:2 - E8:1", area_mm2=0.5)
    first, second = of_rule(made, "fuse: area")
    assert first.is_open
    assert second.is_open
    made.project, _ = edits.accept_finding(made.project, first.key, "0.3 m in a tube")
    assert [f.accepted for f in of_rule(made, "fuse: area")] == ["0.3 m in a tube", None]
    made.project, _ = edits.accept_rule(made.project, "fuse: area", "all as the maker built it")
    accepted = [finding.accepted for finding in of_rule(made, "fuse: area")]
    assert accepted == ["0.3 m in a tube", "all as the maker built it"]


def test_a_finding_keeps_its_key_where_a_part_is_renamed():
    made = battery()
    thin_lead(made)
    (before,) = of_rule(made, "fuse: area")
    part = next(part for part in made.project.parts if part.name == "E4")
    made.project = edits.rename_part(made.project, part.id, "E40")
    (after,) = of_rule(made, "fuse: area")
    assert before.key == after.key
    assert before.sentence != after.sentence


def test_what_is_in_the_vehicle_already_is_no_new_lead():
    made = battery()
    made.part("E4", "lamp", "1-2 loads").leads("G1:+ - E4:1")
    assert of_rule(made, "fuse: missing") == []


def test_a_relay_that_the_job_does_not_touch_is_left_alone():
    made = relay()
    for lead in made.project.leads:
        if lead.when and made.pin("K1:85") in lead.ends:
            made.project = edits.change_lead(made.project, lead.model_copy(update={"when": ""}))
    without_notes("relay")(made)
    assert of_rule(made, "relay: suppression") == []


def test_findings_that_stop_come_first():
    made = battery()
    thin_lead(made)
    new_fuse(made)
    severities = [finding.severity for finding in findings(made)]
    assert severities == sorted(severities, key=["stop", "look"].index)
    assert set(severities) == {"stop", "look"}


# -------------------------------------------------------------------------------------- of plans


def plan_of(made: Circuit, **fields: object) -> WorkPlan:
    """A plan with nothing in it but what a test puts there."""
    empty = WorkPlan(
        operations=(),
        leads=(),
        joints=(),
        parts=(),
        steps=(),
        open_gaps=(),
        findings=(),
        openings=(),
        material=(),
        hours=Span(0, 0),
        cost=None,
        effort=(),
    )
    return replace(empty, **fields)


def joint(made: Circuit, a: str, b: str, *, released: bool = True) -> PlannedJoint:
    return PlannedJoint(
        key="joint 1",
        kind="tap",
        gaps=(),
        net_name="",
        lead_ends=(made.pin(a), made.pin(b)),
        near_half="",
        distance_mm=given("distance", 120, "mm"),
        stubs=(),
        sleeve="",
        is_sealed=True,
        strip_mm=None,
        pull_force_n=None,
        stagger_mm=None,
        zone=None,
        sentence=f"Tap the lead from {a} to {b}",
        released=released,
        doubts=() if released else ("its crossing is not confirmed",),
    )


def of_plan(made: Circuit, plan: WorkPlan) -> dict[str, str]:
    job = made.job()
    found = check_job(made.project, job, plan=plan)
    return {f.rule: f.sentence for f in found if f.rule.startswith("plan: ")}


def test_a_joint_that_is_not_released_is_told_with_what_is_open():
    made = loop()
    told = of_plan(made, plan_of(made, joints=(joint(made, "A1:1", "A1:2", released=False),)))
    assert "its crossing is not confirmed" in told["plan: released"]


def test_a_joint_in_an_interlock_loop_is_refused():
    made = loop()
    told = of_plan(made, plan_of(made, joints=(joint(made, "A1:11", "U1 C1:1"),)))
    assert "stands no joint" in told["plan: joint"]
    assert "plan: released" not in told


def test_a_gap_without_work_is_told():
    made = battery()
    keys = tuple(gap.key for gap in made.job().open_in_scope)
    assert keys
    assert "Nothing is planned" in of_plan(made, plan_of(made, open_gaps=keys))["plan: gaps"]
    assert of_plan(made, plan_of(made)) == {}


def test_what_planning_found_stands_among_the_findings():
    made = battery()
    stop = PlanFinding("size 1", "stop", "Too thin", "1 mm² warms to 120 °C", "lead 1")
    look = replace(stop, key="size 2", severity="look", sentence="No length is known")
    told = of_plan(made, plan_of(made, findings=(stop, look)))
    assert told == {"plan: findings": "1 mm² warms to 120 °C", "plan: doubts": "No length is known"}
