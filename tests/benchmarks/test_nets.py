"""How long nets, map, findings and snapping take on a made-up vehicle of three sizes, beside a general chain.

The baseline is networkx (general-purpose graph library) merging the same number of joined pairs. Compare
the ratios of one run, never absolute times.
"""

from __future__ import annotations

import random
from collections.abc import Callable

import networkx as nx
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from loomfolio.basics import MmPoint
from loomfolio.nets import Memory, connector_map, derive, findings
from loomfolio.project import NameMark
from support.make_vehicle import Vehicle, make_vehicle

SIZES = [
    pytest.param(2, id="2-sheets"),
    pytest.param(25, id="25-sheets", marks=pytest.mark.larger),
    pytest.param(200, id="200-sheets", marks=pytest.mark.larger),
]


@pytest.fixture(params=SIZES)
def vehicle(request: pytest.FixtureRequest) -> Vehicle:
    """A generated vehicle with this many sheets of 40 leads."""
    return make_vehicle(sheets=request.param)


def test_nets_from_readings(benchmark: BenchmarkFixture, vehicle: Vehicle) -> None:
    netlist = benchmark(derive, vehicle.project, vehicle.readings)
    assert len([net for net in netlist.nets if len(net.pins) == 2]) == vehicle.leads


def test_an_edit_with_map_and_findings(benchmark: BenchmarkFixture, vehicle: Vehicle) -> None:
    memory = Memory()
    derive(vehicle.project, vehicle.readings, memory=memory)
    name = NameMark(id="mark-900000", sheet="sheet-1", at=MmPoint(60.0, 20.0), name="TAIL LH")
    edited = vehicle.project.model_copy(update={"marks": (*vehicle.project.marks, name)})
    documents = [edited, vehicle.project]

    def edit() -> int:
        documents.reverse()
        netlist = derive(documents[0], vehicle.readings, memory=memory)
        rows = connector_map(netlist)
        return len(findings(netlist, rows)) + len(rows)

    assert benchmark(edit) >= vehicle.leads


def test_snapping(benchmark: BenchmarkFixture, vehicle: Vehicle) -> None:
    netlist = derive(vehicle.project, vehicle.readings)
    rng = random.Random(7)
    places = [MmPoint(rng.uniform(0, 400), rng.uniform(0, 280)) for _ in range(1000)]
    snaps = benchmark(lambda: [netlist.snap("sheet-1", at) for at in places])
    assert any(snap.conductor is not None for snap in snaps)


def test_baseline_merging_with_a_graph_library(
    benchmark: BenchmarkFixture, vehicle: Vehicle
) -> None:
    pairs = [(f"{n}a", f"{n}b") for n in range(vehicle.leads * 3)]
    merge: Callable[[], int] = lambda: len(list(nx.connected_components(nx.Graph(pairs))))  # noqa: E731
    assert benchmark(merge) == len(pairs)
