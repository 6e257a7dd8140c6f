"""The plan from a shell: the ways to close each gap, the best for all, two plans side by side, the contract."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import jsonschema
import openpyxl
import pytest

from loomfolio.bench import OFFER_COLUMNS, PLAN_SCHEMA_PATH, plan_schema_text
from loomfolio.cli import main
from loomfolio.project import ProjectFolder
from support.make_work import Shop, make_lamp_shop


@pytest.fixture
def shop() -> Shop:
    made = make_lamp_shop()
    made.lead("A1 C1:1", "X9:1", new=True, area=1.5)
    made.circuit("A1 C1:5", "high voltage")
    return made


@pytest.fixture
def folder(tmp_path: Path, shop: Shop) -> Path:
    path = tmp_path / "van"
    ProjectFolder.create(path, shop.project).close()
    return path


def test_the_text_tells_what_stands_open_and_counts(folder, capsys):
    assert main(["plan", str(folder)]) == 0
    told = capsys.readouterr().out
    assert "nothing chosen: The socket X9 is missing, with its connectors" in told
    assert "4 gaps with nothing chosen" in told


def test_taking_the_best_is_kept_in_the_project_and_may_be_undone(folder, shop, capsys):
    assert main(["plan", str(folder), "--take-best", "least cutting"]) == 0
    told = capsys.readouterr().out
    assert "Fit the socket X9" in told
    assert "0 gaps with nothing chosen" in told
    with ProjectFolder.open(folder, read_only=True) as opened:
        chosen = {one.gap: one.kind for one in opened.project.operations}
    assert chosen[shop.gap("A1 C1:1").key] == "adaptor loom"
    assert chosen[shop.gap("A1 C1:5").key] == "fit cable"


def test_the_json_keeps_its_contract_and_says_why_a_way_is_refused(folder, shop, capsys):
    assert main(["plan", str(folder), "--json", "-"]) == 0
    record = json.loads(capsys.readouterr().out)
    schema = json.loads(PLAN_SCHEMA_PATH.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(record)
    assert record["schema"] == "loomfolio.plan/1"
    assert len(record["open_gaps"]) == 4
    refused = [line for line in record["offers"] if line["must_not_be"]]
    assert any("high voltage" in line["must_not_be"] for line in refused)
    for gap in record["open_gaps"]:
        ranks = [line["rank"] for line in record["offers"] if line["gap_key"] == gap]
        assert ranks == list(range(1, len(ranks) + 1))


def test_the_schema_is_published_as_the_code_makes_it():
    assert PLAN_SCHEMA_PATH.read_text(encoding="utf-8") == plan_schema_text()


def test_csv_and_workbook_hold_the_same_offers(folder, tmp_path, capsys):
    main(["plan", str(folder), "--take-best", "least time"])
    capsys.readouterr()
    sheet, book = tmp_path / "plan.csv", tmp_path / "plan.xlsx"
    assert main(["plan", str(folder), "--csv", str(sheet), "--xlsx", str(book)]) == 0
    with sheet.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.reader(stream))
    assert tuple(rows[0]) == OFFER_COLUMNS
    pages = openpyxl.load_workbook(book)
    assert pages.sheetnames == ["offers", "findings", "leads", "joints", "parts", "steps"]
    keys = [row[-1] for row in pages["offers"].iter_rows(min_row=2, values_only=True)]
    assert keys == [row[-1] for row in rows[1:]]
    assert sum(row[OFFER_COLUMNS.index("chosen")] not in {"", "0", "no"} for row in rows[1:]) == 4


def test_two_plans_stand_side_by_side_and_nothing_is_kept(folder, capsys):
    assert main(["plan", str(folder), "--compare"]) == 0
    told = capsys.readouterr().out
    assert told.splitlines()[0].split() == ["least", "cutting", "least", "time"]
    assert "least cutting: An adaptor loom at" in told
    with ProjectFolder.open(folder, read_only=True) as opened:
        assert opened.project.operations == ()


def test_a_job_without_a_target_is_told_in_one_sentence(tmp_path, capsys):
    path = tmp_path / "empty"
    shop = Shop()
    job = shop.project.job.model_copy(update={"target_fit": ""})
    ProjectFolder.create(path, shop.project.model_copy(update={"job": job})).close()
    assert main(["plan", str(path)]) == 2
    assert capsys.readouterr().err.strip() == (
        "The job does not say which fit is the target; name it in the job."
    )
