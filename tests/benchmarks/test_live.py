"""How long a live table and all rules take on both demo jobs. Compare the ratios of one run, never absolute times."""

from __future__ import annotations

import sys

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from loomfolio.basics import demo_projects_path
from loomfolio.project import Project
from loomfolio.retrofit import JobGaps, check_job, job_gaps, live_table

sys.path.insert(0, str(demo_projects_path()))

import draw_orchard_tractor as tractor
import draw_parcel_van as van


@pytest.fixture(params=[van, tractor], ids=["van", "tractor"])
def demo(request: pytest.FixtureRequest) -> tuple[Project, JobGaps]:
    """A demo job with everything marked."""
    project = request.param.complete_project(request.param.PROJECT, reading_on=False)
    return project, job_gaps(project, {})


def test_a_live_table(benchmark: BenchmarkFixture, demo: tuple[Project, JobGaps]) -> None:
    project, job = demo
    found = benchmark(live_table, project, job.target.netlist, project.states[-1])
    assert len(found.pins) == len(job.target.netlist.net_by_pin)


def test_all_rules(benchmark: BenchmarkFixture, demo: tuple[Project, JobGaps]) -> None:
    project, job = demo
    assert all(not finding.is_open for finding in benchmark(check_job, project, job))
