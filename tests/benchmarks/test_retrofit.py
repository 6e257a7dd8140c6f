"""How long map and gaps of two fits take on a made-up vehicle of three sizes: from readings, and after an edit.

The whole vehicle has 200 sheets, 800 connectors and 9,600 pins. The baseline is networkx (general-purpose graph
library) comparing two graphs with as many edges. Compare the ratios of one run, never absolute times.
"""

from __future__ import annotations

from collections.abc import Callable

import networkx as nx
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from loomfolio.basics import MmPoint
from loomfolio.project import ApartMark, Mark, NameMark, Project
from loomfolio.retrofit import (
    GapMemory,
    JobGaps,
    compare_fits,
    job_gaps,
    match_halves,
    plan_work,
    take_best,
)
from support.make_vehicle import Vehicle, make_vehicle_in_two_fits

SIZES = [
    pytest.param(2, id="2-sheets"),
    pytest.param(25, id="25-sheets", marks=pytest.mark.larger),
    pytest.param(200, id="200-sheets", marks=pytest.mark.larger),
]
NAME = NameMark(id="mark-900000", sheet="sheet-1", at=MmPoint(60.0, 26.0), name="TAIL LH")
APART = ApartMark(id="mark-900001", sheet="sheet-1", at=MmPoint(60.0, 26.0))


@pytest.fixture(params=SIZES)
def vehicle(request: pytest.FixtureRequest) -> Vehicle:
    """A generated vehicle in two fits with this many sheets of 24 leads."""
    return make_vehicle_in_two_fits(sheets=request.param)


def test_gaps_from_readings(benchmark: BenchmarkFixture, vehicle: Vehicle) -> None:
    found = benchmark(job_gaps, vehicle.project, vehicle.readings)
    assert len(found.target.rows) == vehicle.leads
    assert any(gap.kind == "device missing" for gap in found.gaps)


@pytest.mark.parametrize("mark", [NAME, APART], ids=["a name", "kept apart"])
def test_map_and_gaps_after_an_edit(
    benchmark: BenchmarkFixture, vehicle: Vehicle, mark: Mark
) -> None:
    memory = GapMemory()
    job_gaps(vehicle.project, vehicle.readings, memory=memory)
    edited = vehicle.project.model_copy(update={"marks": (*vehicle.project.marks, mark)})
    documents: list[Project] = [edited, vehicle.project]

    def edit() -> JobGaps:
        documents.reverse()
        return job_gaps(documents[0], vehicle.readings, memory=memory)

    assert benchmark(edit).gaps


def test_two_fits_beside_each_other(benchmark: BenchmarkFixture, vehicle: Vehicle) -> None:
    job = job_gaps(vehicle.project, vehicle.readings)
    found = benchmark(compare_fits, job.target.rows, job.vehicle.rows)
    assert len(found.same) + len(found.only_a) + len(found.elsewhere) == vehicle.leads


def test_matching_the_connectors_of_two_documents(
    benchmark: BenchmarkFixture, vehicle: Vehicle
) -> None:
    job = job_gaps(vehicle.project, vehicle.readings)
    sides = job.target.equipment, job.vehicle.equipment
    found = benchmark(lambda: match_halves(*sides, is_one_document=False))
    assert len(found.pairs) == len(job.vehicle.equipment.halves)


def test_planning_what_was_chosen_for_every_gap(
    benchmark: BenchmarkFixture, vehicle: Vehicle
) -> None:
    job = job_gaps(vehicle.project, vehicle.readings)
    project = take_best(vehicle.project, job)
    assert benchmark(plan_work, project, job).open_gaps == ()


def test_baseline_comparing_with_a_graph_library(
    benchmark: BenchmarkFixture, vehicle: Vehicle
) -> None:
    a = nx.Graph((f"{n}a", f"{n}b") for n in range(vehicle.leads))
    b = nx.Graph((f"{n}a", f"{n}b") for n in range(0, vehicle.leads, 2))
    b.add_nodes_from(a)
    compare: Callable[[], int] = lambda: nx.difference(a, b).number_of_edges()  # noqa: E731
    assert benchmark(compare) == vehicle.leads // 2
