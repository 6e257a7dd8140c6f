"""What several commands take and open alike: a project, a fit, the two sides of a comparison."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from loomfolio.basics import NameNotFoundError, UsageError
from loomfolio.project import Fit, Project, ProjectFolder

if TYPE_CHECKING:
    from loomfolio.nets import Netlist
    from loomfolio.retrofit import JobGaps


def add_project(parser: argparse.ArgumentParser) -> None:
    """Take the path of a project."""
    parser.add_argument("project", type=Path, metavar="PROJECT")


def add_fit(parser: argparse.ArgumentParser) -> None:
    """Take the name of a fit to look at."""
    parser.add_argument("--fit", metavar="NAME", help="look at one set of options")


def add_sides(parser: argparse.ArgumentParser) -> None:
    """Take the two fits that are compared, and the project with the vehicle's own sheets."""
    parser.add_argument(
        "--target-fit", metavar="NAME", help="instead of the one that the job names"
    )
    parser.add_argument(
        "--vehicle-fit", metavar="NAME", help="instead of the one that the job names"
    )
    parser.add_argument(
        "--vehicle", type=Path, metavar="PROJECT", help="the project with this vehicle's own sheets"
    )


@contextmanager
def opened_project(arguments: argparse.Namespace) -> Iterator[ProjectFolder]:
    """Open the project to be read, and tell what the person should know of it."""
    with ProjectFolder.open(arguments.project, read_only=True) as folder:
        for note in folder.notes:
            print(note, file=sys.stderr)
        yield folder


@contextmanager
def opened_netlist(arguments: argparse.Namespace) -> Iterator[Netlist]:
    """Open the project to be read, and work out its nets in the fit that was asked for."""
    from loomfolio.nets import derive
    from loomfolio.reading import readings_of

    with opened_project(arguments) as folder:
        fit = named_fit(folder.project, arguments.fit)
        yield derive(folder.project, readings_of(folder, folder.project), fit=fit)


def opened_job(arguments: argparse.Namespace) -> tuple[Project, JobGaps]:
    """Open the project to be read, and this vehicle's own where it has one, and find the gaps."""
    with opened_project(arguments) as folder:
        return job_in(folder, arguments)


def job_in(folder: ProjectFolder, arguments: argparse.Namespace) -> tuple[Project, JobGaps]:
    """Find the gaps of an opened project, against this vehicle's own project where one is named."""
    from loomfolio.reading import readings_of
    from loomfolio.retrofit import job_gaps

    named = {
        word: name
        for word in ("target_fit", "vehicle_fit")
        if (name := getattr(arguments, word)) is not None
    }
    job = folder.project.job.model_copy(update=named)
    project = folder.project.model_copy(update={"job": job})
    readings = readings_of(folder, project)
    if arguments.vehicle is None:
        return project, job_gaps(project, readings)
    with ProjectFolder.open(arguments.vehicle, read_only=True) as own:
        found = job_gaps(
            project,
            readings,
            vehicle_project=own.project,
            vehicle_readings=readings_of(own, own.project),
        )
        return project, found


def named_fit(project: Project, name: str | None) -> Fit | None:
    """Return the project's fit of this name; `NameNotFoundError` where it has none."""
    if name is None:
        return None
    fits = {fit.name: fit for fit in project.fits}
    if name not in fits:
        raise NameNotFoundError("fit", name, fits)
    return fits[name]


def write_text(out: str, text: str) -> None:
    """Write a text to a file, or for `-` to standard output; `UsageError` where it cannot be."""
    if out == "-":
        sys.stdout.write(text + "\n")
        return
    try:
        Path(out).write_text(text + "\n", encoding="utf-8")
    except OSError as error:
        raise UsageError(
            f"{out} cannot be written ({error.strerror}); choose another place."
        ) from error
