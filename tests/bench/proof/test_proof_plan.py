"""The whole proof of both demo jobs: every new lead rung out, loops, bus ends, power in stages, functions."""

from __future__ import annotations

import csv
import json
from itertools import pairwise

import openpyxl
import pytest

from loomfolio.basics import demo_projects_path
from loomfolio.bench import (
    PROOF_COLUMNS,
    STAGES,
    job_proof,
    loop_open_search,
    loops_of,
    proof_json,
    proof_metal,
    proof_schema_text,
    proof_text,
    write_proof_csv,
    write_proof_xlsx,
)
from loomfolio.bench.proof.proof_table import PROOF_SCHEMA_PATH
from loomfolio.project import ProjectFolder, edits, find_pin
from loomfolio.reading import readings_of
from loomfolio.retrofit import job_gaps


def demo(name):
    with ProjectFolder.open(demo_projects_path() / name, read_only=True) as folder:
        return folder.project, job_gaps(folder.project, readings_of(folder, folder.project))


@pytest.fixture(scope="module")
def van():
    return demo("parcel_van_towing")


@pytest.fixture(scope="module")
def tractor():
    return demo("orchard_tractor_dc_inlet")


def titles(plan, stage):
    return [test.title for test in plan.of(stage)]


def test_every_new_lead_between_two_pins_is_rung_out(van):
    project, job = van
    plan = job_proof(project, job)
    reached = {probe.node for test in plan.of("continuity") for probe in test.probes}
    new = {ends for gap in job.gaps if gap.in_scope for ends in gap.mend.joined}
    pins = {node for ends in new for node in ends if not isinstance(node, str)}
    kinds = job.target.equipment.part_kinds
    assert {pin for pin in pins if kinds[pin.part] != "joint connector"} <= reached


def test_an_orange_lead_that_is_fed_with_12_v_is_no_high_voltage(van):
    """The lead to contact 9 of the trailer socket is orange; its supply has loads to the chassis."""
    plan = job_proof(*van)
    assert any("X90:9" in title for title in titles(plan, "continuity"))
    assert plan.of("high voltage") == ()


def test_orange_leads_are_high_voltage_though_nobody_said_so(tractor):
    project, job = tractor
    unsaid = project.model_copy(update={"electric_notes": ()})
    plan = job_proof(unsaid, job)
    assert any("not stated" in remark for remark in plan.remarks)
    assert not any("X95:DC" in title for title in titles(plan, "continuity"))


def test_the_current_over_a_fuse_is_held_against_its_rating(van):
    project, job = van
    fuse = find_pin(project, "F31:2").part
    noted = edits.note_fuse(project, part=fuse, rating_a=15, fuse_kind="C").project
    plan = job_proof(noted, job)
    (with_fuse,) = [test for test in plan.of("power up") if test.key == f"power fuse {fuse}"]
    assert with_fuse.limit.high.value == pytest.approx(0.75 * 15)


def test_tests_stand_in_the_order_in_which_they_are_done(tractor):
    stages = [test.stage for test in job_proof(*tractor).tests]
    assert stages == sorted(stages, key=STAGES.index)


def test_keys_are_there_once_and_stay_when_a_part_is_renamed(van):
    project, job = van
    keys = [test.key for test in job_proof(project, job).tests]
    assert len(set(keys)) == len(keys)
    part = find_pin(project, "X90:1").part
    renamed = edits.rename_part(project, part, "Socket")
    assert [test.key for test in job_proof(renamed, job).tests] == keys


def test_the_loop_of_the_tractor_is_opened_by_each_of_its_connectors(tractor):
    project, job = tractor
    loops = titles(job_proof(project, job), "loops")
    assert loops[0].startswith("Interlock loop closed")
    assert [title.rpartition(" ")[2] for title in loops[1:] if "X6" in title] == ["X62", "X61"]
    assert any(title.endswith("U1 C1") for title in loops)


def test_an_open_loop_is_named_in_few_probes(tractor):
    project, job = tractor
    metal, points = proof_metal(project, job)
    (loop,) = loops_of(project, metal)
    search = loop_open_search(loop, metal, points)
    assert len(search.suspects) > 8
    counts = [probes_to(search, suspect.key) for suspect in search.suspects]
    assert sum(counts) / len(counts) <= 4
    assert max(counts) <= 5


def probes_to(search, culprit):
    """How many checks it takes until nothing more can be told, where this piece is the culprit."""
    answers = {}
    while (check := search.after(answers).next_check) is not None:
        answers[check.key] = culprit not in check.side
    assert culprit in {suspect.key for suspect in search.after(answers).suspects}
    return len(answers)


def test_the_new_bus_pair_reads_its_two_ends(tractor):
    """60 ohm of two ends of 120 (ISO 11898-2); 55 to 65 is the usual service limit."""
    (test,) = job_proof(*tractor).of("bus ends")
    assert test.title.startswith("Ends of Charge CAN")
    assert (test.limit.low.value, test.limit.high.value) == pytest.approx((55, 65))


def test_high_voltage_is_for_trained_people_and_never_clipped_to(tractor):
    """100 and 500 ohm per volt: UN ECE R100 5.1.3. With an AC part on the bus 350 V ask for 175 kohm."""
    project, job = tractor
    pin = find_pin(project, "X95:DC+")
    noted = edits.note_circuit(project, pin=pin, circuit="high voltage", voltage_v=350).project
    plan = job_proof(noted, job)
    insulation = [test for test in plan.of("high voltage") if test.key.startswith("insulation")]
    assert insulation
    assert {test.limit.low.value for test in insulation} == {175_000}
    assert all(test.by_qualified_only for test in plan.of("high voltage"))
    ordinary = [test for test in plan.tests if not test.by_qualified_only]
    at_high_voltage = {"G2", "F80", "K81:1", "K82:1", "X61.A", "X61.B"}
    for test in ordinary:
        assert not at_high_voltage & {probe.place for probe in test.probes}


def test_power_comes_back_in_stages_each_after_the_last(van):
    plan = job_proof(*van)
    power = plan.of("power up")
    assert power[0].key == "power supply alone"
    for before, test in pairwise(power):
        assert test.after == (before.key,)
    lamp, loads, fuse = power[1:4]
    assert "lamp in place of the fuse" in lamp.title
    assert (lamp.limit.passes, loads.limit.passes) == ("dark", "dark or dim")
    assert "the fuse in" in fuse.title


def test_all_that_worked_before_is_tried_again(van):
    project, job = van
    tried = titles(job_proof(project, job), "functions")
    worked = [f.name for f in project.baselines[0].functions if f.works]
    assert tried == [f"{name}: works as before" for name in worked]


def test_readings_of_a_run_are_judged_in_every_form(van, tmp_path):
    project, job = van
    plan = job_proof(project, job)
    first = plan.of("continuity")[0]
    project, _ = edits.add_reading(project, test=first.key, value=0.31, unit="ohm", by="Ada")
    lines = json.loads(proof_json(project, plan))["tests"]
    assert (lines[0]["outcome"], lines[0]["by"]) == ("pass", "Ada")
    write_proof_csv(project, plan, tmp_path / "p.csv")
    write_proof_xlsx(project, plan, tmp_path / "p.xlsx")
    with (tmp_path / "p.csv").open(encoding="utf-8", newline="") as file:
        in_csv = list(csv.DictReader(file))
    rows = openpyxl.load_workbook(tmp_path / "p.xlsx")["proof"].iter_rows(values_only=True)
    assert next(rows) == PROOF_COLUMNS
    in_book = [dict(zip(PROOF_COLUMNS, row, strict=True)) for row in rows]
    assert len(in_csv) == len(in_book) == len(plan.tests)
    assert [row["key"] for row in in_book] == [test.key for test in plan.tests]
    assert in_book[0]["outcome"] == "pass"
    assert "1 passed" in proof_text(plan, project.meter_readings)


def test_published_schema_is_that_of_the_code():
    assert PROOF_SCHEMA_PATH.read_text(encoding="utf-8") == proof_schema_text()
