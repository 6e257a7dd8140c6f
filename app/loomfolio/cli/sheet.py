"""Write the sheets for the bench."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path

from loomfolio.cli.command import DONE, Command
from loomfolio.cli.inputs import add_fit, add_project, named_fit, opened_project


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    add_project(parser)
    add_fit(parser)
    parser.add_argument(
        "-o", "--out", type=Path, required=True, metavar="DIR", help="where to write"
    )
    parser.add_argument("--paper", choices=("a4", "letter"), default="a4")


def run(arguments: argparse.Namespace) -> int:
    """Write the sheets for the bench."""
    from loomfolio.bench import write_bench_pack
    from loomfolio.nets import connector_map, derive
    from loomfolio.reading import readings_of
    from loomfolio.retrofit import job_gaps

    with opened_project(arguments) as folder:
        readings = readings_of(folder, folder.project)
        netlist = derive(folder.project, readings, fit=named_fit(folder.project, arguments.fit))
        names_target = bool(folder.project.job.target_fit)
        written = write_bench_pack(
            netlist.project,
            netlist,
            connector_map(netlist),
            arguments.out,
            gaps=job_gaps(folder.project, readings).gaps if names_target else None,
            paper=arguments.paper,
            today=date.today(),  # noqa: DTZ011 - the date on the bench's own calendar
        )
    for path in written:
        print(path)
    return DONE


COMMAND = Command(
    "sheet", "the connector map and the splice sheet for the bench", add_arguments, run
)
