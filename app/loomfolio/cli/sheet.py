"""Write the sheets for the bench."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from loomfolio.basics import UsageError
from loomfolio.cli.command import DONE, Command
from loomfolio.cli.inputs import add_fit, add_project, named_fit, opened_project

if TYPE_CHECKING:
    from loomfolio.bench import BenchJob
    from loomfolio.project import ProjectFolder


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    add_project(parser)
    add_fit(parser)
    parser.add_argument(
        "-o", "--out", type=Path, required=True, metavar="DIR", help="where to write"
    )
    parser.add_argument("--zone", metavar="NAME", help="only what is done in this zone")
    parser.add_argument("--paper", choices=("a4", "letter"), default="a4")


def run(arguments: argparse.Namespace) -> int:
    """Write the sheets for the bench: of the planned work, or of the map alone where none is planned."""
    with opened_project(arguments) as folder:
        bench = None if arguments.fit is not None else planned_job(folder)
        written = _map_alone(folder, arguments) if bench is None else _planned(bench, arguments)
    for path in written:
        print(path)
    return DONE


def planned_job(folder: ProjectFolder, *, with_pages: bool = True) -> BenchJob | None:
    """Return the planned job of a project; None where no fit is to be reached, or no work is chosen yet."""
    from loomfolio.bench import BenchJob
    from loomfolio.reading import readings_of
    from loomfolio.retrofit import job_gaps, plan_work
    from loomfolio.sheets import sheet_pixels

    project = folder.project
    if not project.job.target_fit:
        return None
    readings = readings_of(folder, project)
    job = job_gaps(project, readings)
    plan = plan_work(project, job)
    if not plan.operations:
        return None
    pages = (
        {sheet.id: sheet_pixels(folder, sheet) for sheet in project.sheets} if with_pages else {}
    )
    return BenchJob(project, job, plan, readings, pages)


def _planned(bench: BenchJob, arguments: argparse.Namespace) -> tuple[Path, ...]:
    from loomfolio.bench import write_work_pack

    return write_work_pack(
        bench,
        arguments.out,
        zone=arguments.zone,
        paper=arguments.paper,
        today=date.today(),  # noqa: DTZ011 - the date on the bench's own calendar
    )


def _map_alone(folder: ProjectFolder, arguments: argparse.Namespace) -> tuple[Path, ...]:
    from loomfolio.bench import write_bench_pack
    from loomfolio.nets import connector_map, derive
    from loomfolio.reading import readings_of
    from loomfolio.retrofit import job_gaps

    if arguments.zone is not None:
        raise UsageError(
            "No work is planned yet, so there is none in a zone; choose what closes the gaps first."
        )
    project = folder.project
    readings = readings_of(folder, project)
    netlist = derive(project, readings, fit=named_fit(project, arguments.fit))
    names_target = bool(project.job.target_fit)
    return write_bench_pack(
        netlist.project,
        netlist,
        connector_map(netlist),
        arguments.out,
        gaps=job_gaps(project, readings).gaps if names_target else None,
        paper=arguments.paper,
        today=date.today(),  # noqa: DTZ011 - the date on the bench's own calendar
    )


COMMAND = Command("sheet", "the pack for the bench, whole or for a zone", add_arguments, run)
