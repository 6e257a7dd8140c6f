"""`check` and `live` from a shell: what they tell, their status, and what they cannot use."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from loomfolio.cli import main
from loomfolio.project import Project, ProjectFolder, edits
from support.make_circuits import Circuit


def lamp() -> Circuit:
    """A lamp that the job fits behind a 10 A fuse, with a lead that is too thin; one state."""
    made = Circuit().part("G1", "battery").part("GND1", "ground point", on="chassis")
    made.part("F1", "fuse", "1-2 closed").part("E1", "lamp", "1-2 loads")
    made.leads("G1:+ - F1:1, G1:- - GND1:1").supply("G1:+", 12, back="G1:-").fuse("F1", 10)
    made.new("F1:2 - E1:1", area_mm2=0.5).new("E1:2 - GND1:2").ohm("E1:1", "E1:2", 6)
    made.state("lit", "G1:+")
    made.job()
    return made


def kept(project: Project, path: Path) -> str:
    with ProjectFolder.create(path, Project()) as folder:
        folder.commit("Make it", project)
    return str(path)


@pytest.fixture
def folder(tmp_path: Path) -> str:
    return kept(lamp().project, tmp_path / "lamp")


def test_a_broken_rule_stands_open_and_says_why_where_it_is_asked(folder, capsys):
    assert main(["check", folder]) == 1
    out = capsys.readouterr().out
    assert "stop  fuse: area: The new lead F1:2 to E1:1" in out
    assert "burns before the fuse opens" not in out
    main(["check", folder, "--why"])
    assert "burns before the fuse opens" in capsys.readouterr().out


def test_the_findings_as_json_carry_rule_reason_source_and_bound(folder, capsys):
    assert main(["check", folder, "--json", "-"]) == 1
    report = json.loads(capsys.readouterr().out)
    assert report["schema"] == "loomfolio.check/1"
    (found,) = (one for one in report["rules"] if one["rule"] == "fuse: area")
    assert found["reason"]
    assert found["source"]
    assert found["bound"] == "fuse before the lead: 10 A, at most 7.5 A"
    assert found["pins"] == ["F1:2", "E1:1"]


def test_a_rule_that_was_let_stand_leaves_nothing_open(tmp_path, capsys):
    project, _ = edits.accept_rule(lamp().project, "fuse: area", "0.3 m in a tube")
    assert main(["check", kept(project, tmp_path / "accepted")]) == 0
    assert "0 open, 1 accepted" in capsys.readouterr().out


def test_a_job_that_names_no_vehicle_is_held_to_the_rules_of_documents(tmp_path, capsys):
    project = lamp().project
    bare = edits.set_job(project, project.job.model_copy(update={"vehicle_fit": ""}))
    assert main(["check", kept(bare, tmp_path / "bare")]) == 0
    assert "0 open" in capsys.readouterr().out


def test_the_vehicle_s_own_project_says_what_is_new(folder, tmp_path, capsys):
    """The lamp's lead is in the vehicle already: the rule about new leads is silent."""
    own = lamp().project
    own = edits.set_job(own, own.job.model_copy(update={"vehicle_fit": "equipped"}))
    assert main(["check", folder, "--vehicle", kept(own, tmp_path / "own")]) == 0
    capsys.readouterr()


def test_a_state_is_told_pin_by_pin_with_its_path(folder, capsys):
    assert main(["live", folder, "Lit"]) == 0
    out = capsys.readouterr().out
    assert "E1:1           live         12 V  fed by G1:+  G1:+ ╌ F1 ╌ F1:2" in out
    assert "E1:2           dead          0 V  at chassis by GND1:1" in out


def test_the_volts_of_one_pin_say_what_they_rest_on(folder, capsys):
    assert main(["live", folder, "--pin", "E1:1"]) == 0
    out = capsys.readouterr().out
    assert "nodal analysis of the network" in out
    assert "voltage of G1:+ 12 V, given" in out
    assert "GND1" not in out


def test_the_table_as_json(folder, capsys):
    assert main(["live", folder, "lit", "--json", "-"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert record["schema"] == "loomfolio.live/1"
    (state,) = record["states"]
    by_pin = {one["pin"]: one for one in state["pins"]}
    assert by_pin["E1:1"]["answer"] == "live"
    assert by_pin["E1:1"]["path"] == ["G1:+", "F1", "F1:2"]
    assert [one["amperes"] for one in state["currents"]] == [2.0, 2.0]


def test_a_short_is_told_by_the_status(tmp_path, capsys):
    made = lamp().leads("F1:2 - GND1:3")
    assert main(["live", kept(made.project, tmp_path / "short"), "lit"]) == 1
    assert "G1:+ is shorted to GND1" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        pytest.param(["live", "{folder}", "lid"], "lit", id="no such state"),
        pytest.param(["live", "{folder}", "lit", "--pin", "E9:1"], "E9:1", id="no such pin"),
        pytest.param(["live", "{folder}", "lit", "--fit", "full"], "full", id="no such fit"),
        pytest.param(["live", "{bare}"], "names no state", id="no state at all"),
    ],
)
def test_what_cannot_be_used_is_one_sentence(words, said, folder, tmp_path, capsys):
    bare = kept(Project(), tmp_path / "bare")
    assert main([word.format(folder=folder, bare=bare) for word in words]) == 2
    told = capsys.readouterr().err.strip()
    assert said in told
    assert "\n" not in told
