"""The same jobs from a shell: `loomfolio COMMAND …`.

Exit status: 0 done; 1 done, and findings stand open (`check`); 2 the input cannot be used, with one plain
sentence on standard error. Without a command the desk opens, on the first demo project.
"""

from __future__ import annotations

import argparse
import json
import shutil
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn, TypeAlias

from loomfolio import __version__
from loomfolio.basics import LoomfolioError, NameNotFoundError, PxBox, UsageError
from loomfolio.project import Fit, Project, ProjectFolder, find_pin

if TYPE_CHECKING:
    from loomfolio.nets import Netlist
    from loomfolio.retrofit import JobGaps

Command = Callable[[argparse.Namespace], int]

DONE, FINDINGS_OPEN, UNUSABLE = 0, 1, 2
LOWEST_DPI, HIGHEST_DPI = 20.0, 2400.0


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one sentence instead of printing the usage."""

    def error(self, message: str) -> NoReturn:
        raise UsageError(f"{message[:1].upper()}{message[1:]}; see {self.prog} --help.")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status; never a traceback for bad input."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    try:
        parsed = _parser().parse_args(words or ["desk"])
        command: Command = parsed.command
        return command(parsed)
    except LoomfolioError as error:
        print(error, file=sys.stderr)
        return UNUSABLE
    except KeyboardInterrupt:
        print("The work was called off.", file=sys.stderr)
        return UNUSABLE
    except BrokenPipeError:
        # whoever read the output has gone; nothing is wrong with the input
        sys.stderr.close()
        return DONE


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="loomfolio", description=__doc__.split("\n")[0] if __doc__ else None)
    parser.add_argument("--version", action="version", version=f"loomfolio {__version__}")
    commands = parser.add_subparsers(metavar="COMMAND", required=True, parser_class=_Parser)
    _add_desk(commands)
    _add_conductors(commands)
    _add_project_commands(commands)
    _add_vehicle_commands(commands)
    _add_packing(commands)
    return parser


_Commands: TypeAlias = "argparse._SubParsersAction[_Parser]"  # noqa: SLF001 - no public name


def _add_desk(commands: _Commands) -> None:
    desk = commands.add_parser("desk", help="open the desk on a project, on sheets, or on the demo")
    desk.add_argument("paths", nargs="*", metavar="PROJECT or SHEET")
    desk.set_defaults(command=_desk)

    picture = commands.add_parser("screenshot", help="a picture of the desk on a project")
    picture.add_argument("out", type=Path, metavar="OUT.png")
    picture.add_argument("project", type=Path, nargs="?", metavar="PROJECT")
    picture.add_argument("--dark", action="store_true", help="in the dark theme")
    picture.add_argument("--ratio", type=float, default=1.0, help="device px per px, such as 2")
    picture.add_argument("--follow", metavar="PIN", help="the pin to follow")
    picture.set_defaults(command=_screenshot)


def _add_conductors(commands: _Commands) -> None:
    conductors = commands.add_parser("conductors", help="read the conductors of one page")
    conductors.add_argument("page_file", type=Path, metavar="PAGE")
    conductors.add_argument("--page", type=int, default=1, metavar="N", help="which page, from 1")
    conductors.add_argument("--dpi", type=float, metavar="D", help="of a PDF page: how fine (300)")
    conductors.add_argument(
        "--bodies", type=Path, metavar="BOXES.json", help="[[x0, y0, x1, y1], …] px"
    )
    conductors.add_argument("--texts", action="store_true", help="also recognise the printed words")
    conductors.add_argument("--password", help="of a protected PDF")
    conductors.add_argument(
        "--json", required=True, metavar="OUT", help="where to write; - for here"
    )
    conductors.set_defaults(command=_conductors)


def _add_project_commands(commands: _Commands) -> None:
    new = commands.add_parser("new", help="make a project of scanned or PDF sheets")
    new.add_argument("project", type=Path, metavar="PROJECT")
    new.add_argument("sheets", type=Path, nargs="+", metavar="SHEET")
    new.add_argument("--paper", help="the paper that each page fills, such as a4")
    new.add_argument("--password", help="of a protected PDF")
    new.set_defaults(command=_new)

    rows = commands.add_parser("map", help="the connector-to-connector map")
    _add_project(rows)
    _add_fit(rows)
    for form in ("csv", "xlsx", "json"):
        rows.add_argument(f"--{form}", type=Path, metavar="OUT", help=f"write the map as {form}")
    rows.set_defaults(command=_map)

    ways = commands.add_parser("follow", help="the ways from a pin")
    _add_project(ways)
    ways.add_argument("pin", metavar="PIN", help='such as "TCU C1:12"')
    ways.add_argument("--to", metavar="PIN", help="only the ways that reach this pin")
    _add_fit(ways)
    ways.add_argument("--json", metavar="OUT", help="write the ways as json; - for here")
    ways.set_defaults(command=_follow)

    check = commands.add_parser("check", help="what still needs a person")
    _add_project(check)
    _add_fit(check)
    check.add_argument("--json", metavar="OUT", help="write the findings as json; - for here")
    check.add_argument("--all", action="store_true", help="also what lies outside the job's scope")
    check.set_defaults(command=_check)

    sheet = commands.add_parser(
        "sheet", help="the connector map and the splice sheet for the bench"
    )
    _add_project(sheet)
    _add_fit(sheet)
    sheet.add_argument(
        "-o", "--out", type=Path, required=True, metavar="DIR", help="where to write"
    )
    sheet.add_argument("--paper", choices=("a4", "letter"), default="a4")
    sheet.set_defaults(command=_sheet)


def _add_vehicle_commands(commands: _Commands) -> None:
    gaps = commands.add_parser("gaps", help="what the target fit has and this vehicle lacks")
    _add_project(gaps)
    _add_sides(gaps)
    gaps.add_argument("--json", metavar="OUT", help="write the gaps as json; - for here")
    for form in ("csv", "xlsx"):
        gaps.add_argument(f"--{form}", type=Path, metavar="OUT", help=f"write the gaps as {form}")
    gaps.add_argument("--pdf", type=Path, metavar="OUT", help="write the gap sheet")
    gaps.add_argument("--paper", choices=("a4", "letter"), default="a4")
    gaps.add_argument("--all", action="store_true", help="also what lies outside the job's scope")
    gaps.set_defaults(command=_gaps)

    estimate = commands.add_parser("estimate", help="what the job takes, before any work")
    _add_project(estimate)
    _add_sides(estimate)
    estimate.add_argument("--pdf", type=Path, metavar="OUT", help="write the page for the customer")
    estimate.add_argument("--paper", choices=("a4", "letter"), default="a4")
    estimate.set_defaults(command=_estimate)


def _add_sides(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--target-fit", metavar="NAME", help="instead of the one that the job names"
    )
    parser.add_argument(
        "--vehicle-fit", metavar="NAME", help="instead of the one that the job names"
    )
    parser.add_argument(
        "--vehicle", type=Path, metavar="PROJECT", help="the project with this vehicle's own sheets"
    )


def _add_packing(commands: _Commands) -> None:
    packing = commands.add_parser("pack", help="put a project into one zip file")
    _add_project(packing)
    packing.add_argument("zip_file", type=Path, metavar="ZIP")
    packing.set_defaults(command=_pack)

    unpacking = commands.add_parser("unpack", help="take a project out of a zip file")
    unpacking.add_argument("zip_file", type=Path, metavar="ZIP")
    unpacking.add_argument("project", type=Path, metavar="PROJECT")
    unpacking.set_defaults(command=_unpack)


def _add_project(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("project", type=Path, metavar="PROJECT")


def _add_fit(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--fit", metavar="NAME", help="look at one set of options")


# ------------------------------------------------------------------------------------------ commands
# The rooms are imported where they are used, so that `--help` and a wrong word cost no start-up time.


def _desk(arguments: argparse.Namespace) -> int:
    from loomfolio.desk import run_desk

    return run_desk(arguments.paths)


def _screenshot(arguments: argparse.Namespace) -> int:
    from loomfolio.desk import screenshot

    screenshot(
        arguments.out,
        arguments.project,
        pin=arguments.follow,
        is_dark=arguments.dark,
        ratio=arguments.ratio,
    )
    return DONE


def _conductors(arguments: argparse.Namespace) -> int:
    from loomfolio.reading import read_page
    from loomfolio.sheets import PDF_DPI, assumed_resolution, load_page

    if arguments.texts:
        raise UsageError("Words are not recognised yet; leave --texts away to read the conductors.")
    dpi = arguments.dpi
    if dpi is not None and not LOWEST_DPI <= dpi <= HIGHEST_DPI:
        raise UsageError(f"{dpi:g} dpi cannot be right; give {LOWEST_DPI:g} to {HIGHEST_DPI:g}.")
    boxes = _boxes(arguments.bodies) if arguments.bodies is not None else ()
    image = load_page(
        arguments.page_file,
        page=arguments.page,
        dpi=dpi or PDF_DPI,
        password=arguments.password,
    )
    if dpi is None:
        height_px, width_px = image.pixels.shape[:2]
        dpi = (image.resolution or assumed_resolution(width_px, height_px)).x_dpi
    reading = read_page(image.pixels, dpi=dpi, bodies=boxes)
    _write_text(arguments.json, reading.to_json())
    return DONE


def _boxes(path: Path) -> tuple[PxBox, ...]:
    """The boxes of bodies in a file: a list of `[x0, y0, x1, y1]`, corners in any order."""
    wrong = UsageError(f"{path.name} does not hold a list of [x0, y0, x1, y1] in px; mend it.")
    try:
        rows = json.loads(path.read_text(encoding="utf-8"))
        boxes = [tuple(float(edge) for edge in row) for row in rows]
    except OSError as error:
        raise UsageError(f"{path} cannot be read ({error.strerror}); check the path.") from error
    except (ValueError, TypeError) as error:
        raise wrong from error
    if any(len(box) != len(PxBox._fields) for box in boxes):
        raise wrong
    return tuple(
        PxBox(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)) for x0, y0, x1, y1 in boxes
    )


def _new(arguments: argparse.Namespace) -> int:
    from loomfolio.sheets import bring_in, page_list

    for path in arguments.sheets:  # a file that cannot be used is told before a folder is made
        page_list(path, password=arguments.password)
    was_there = arguments.project.exists()
    with ProjectFolder.create(arguments.project, Project()) as folder:
        try:
            for path in arguments.sheets:
                project, ids = bring_in(
                    folder, folder.project, path, paper=arguments.paper, password=arguments.password
                )
                folder.commit(f"Bring in {path.name}", project)
                print(f"{path.name}: {len(ids)} {'sheet' if len(ids) == 1 else 'sheets'}")
            folder.checkpoint()
        except LoomfolioError:
            folder.close()
            shutil.rmtree(arguments.project)  # `create` takes no folder that holds anything
            if was_there:
                arguments.project.mkdir()
            raise
    return DONE


def _map(arguments: argparse.Namespace) -> int:
    from loomfolio.bench import map_text, write_map_csv, write_map_json, write_map_xlsx
    from loomfolio.nets import connector_map

    with _netlist(arguments) as netlist:
        rows = connector_map(netlist)
        written = False
        for path, write in (
            (arguments.csv, write_map_csv),
            (arguments.xlsx, write_map_xlsx),
            (arguments.json, write_map_json),
        ):
            if path is not None:
                write(netlist.project, rows, path)
                written = True
        if not written:
            print(map_text(netlist.project, rows))
    return DONE


def _follow(arguments: argparse.Namespace) -> int:
    from loomfolio.nets import follow, follow_record, way_text

    with _netlist(arguments) as netlist:
        pin = find_pin(netlist.project, arguments.pin)
        to = find_pin(netlist.project, arguments.to) if arguments.to else None
        ways = follow(netlist, pin, to=to)
        if arguments.json:
            _write_text(
                arguments.json, follow_record(netlist, pin, ways).model_dump_json(by_alias=True)
            )
        else:
            print("\n".join(way_text(netlist, way) for way in ways) or "No way leads there.")
    return DONE


def _check(arguments: argparse.Namespace) -> int:
    from loomfolio.nets import findings, findings_record

    with _netlist(arguments) as netlist:
        found = [f for f in findings(netlist) if arguments.all or f.in_scope]
        open_ones = [finding for finding in found if finding.accepted is None]
        if arguments.json:
            record = findings_record(netlist.project, found)
            _write_text(arguments.json, record.model_dump_json(by_alias=True))
        else:
            for finding in open_ones:
                print(f"{finding.severity:4}  {finding.sentence}")
            print(f"{len(open_ones)} open, {len(found) - len(open_ones)} accepted")
    return FINDINGS_OPEN if open_ones else DONE


def _sheet(arguments: argparse.Namespace) -> int:
    from loomfolio.bench import write_bench_pack
    from loomfolio.nets import connector_map, derive
    from loomfolio.reading import readings_of
    from loomfolio.retrofit import job_gaps

    with _opened(arguments) as folder:
        readings = readings_of(folder, folder.project)
        netlist = derive(folder.project, readings, fit=_fit(folder.project, arguments.fit))
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


def _gaps(arguments: argparse.Namespace) -> int:
    from loomfolio.bench import (
        gaps_json,
        gaps_text,
        write_gap_sheet,
        write_gaps_csv,
        write_gaps_xlsx,
    )

    project, job = _job(arguments)
    gaps = [gap for gap in job.gaps if arguments.all or gap.in_scope]
    if arguments.json:
        text = gaps_json(project, gaps, contradictions=job.contradictions).decode()
        _write_text(arguments.json, text.rstrip("\n"))
    if arguments.csv is not None:
        write_gaps_csv(project, gaps, arguments.csv)
    if arguments.xlsx is not None:
        write_gaps_xlsx(project, gaps, arguments.xlsx)
    if arguments.pdf is not None:
        write_gap_sheet(
            project,
            job.gaps,
            arguments.pdf,
            contradictions=job.contradictions,
            paper=arguments.paper,
            today=date.today(),  # noqa: DTZ011 - the date on the bench's own calendar
        )
    if not any((arguments.json, arguments.csv, arguments.xlsx, arguments.pdf)):
        print(gaps_text(project, job.gaps))
        outside = [gap for gap in gaps if not gap.in_scope and gap.is_open]
        print("".join(f"outside of the job: {gap.sentence}\n" for gap in outside), end="")
        asked = [question.sentence for question in job.matching.questions]
        print("".join(f"{line}\n" for line in (*job.contradictions, *asked)), end="")
    return DONE


def _estimate(arguments: argparse.Namespace) -> int:
    from loomfolio.bench import write_estimate_page
    from loomfolio.retrofit import donor_cover, estimate, estimate_text

    project, job = _job(arguments)
    donors = [one for one in project.specimens if one.kind == "donor loom" and one.harness]
    found = estimate(job, [donor_cover(job, project, one) for one in donors])
    if arguments.pdf is None:
        print(estimate_text(found))
    else:
        write_estimate_page(
            project,
            job.gaps,
            found,
            arguments.pdf,
            paper=arguments.paper,
            today=date.today(),  # noqa: DTZ011 - the date on the bench's own calendar
        )
    return DONE


def _pack(arguments: argparse.Namespace) -> int:
    from loomfolio.project import pack

    pack(arguments.project, arguments.zip_file)
    return DONE


def _unpack(arguments: argparse.Namespace) -> int:
    from loomfolio.project import unpack

    unpack(arguments.zip_file, arguments.project)
    return DONE


# ------------------------------------------------------------------------------------------- inside


@contextmanager
def _opened(arguments: argparse.Namespace) -> Iterator[ProjectFolder]:
    """Open the project to be read, and tell what the person should know of it."""
    with ProjectFolder.open(arguments.project, read_only=True) as folder:
        for note in folder.notes:
            print(note, file=sys.stderr)
        yield folder


@contextmanager
def _netlist(arguments: argparse.Namespace) -> Iterator[Netlist]:
    """Open the project to be read, and work out its nets in the fit that was asked for."""
    from loomfolio.nets import derive
    from loomfolio.reading import readings_of

    with _opened(arguments) as folder:
        fit = _fit(folder.project, arguments.fit)
        yield derive(folder.project, readings_of(folder, folder.project), fit=fit)


def _job(arguments: argparse.Namespace) -> tuple[Project, JobGaps]:
    """Open the project to be read, and this vehicle's own where it has one, and find the gaps."""
    from loomfolio.reading import readings_of
    from loomfolio.retrofit import job_gaps

    with _opened(arguments) as folder:
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


def _fit(project: Project, name: str | None) -> Fit | None:
    if name is None:
        return None
    fits = {fit.name: fit for fit in project.fits}
    if name not in fits:
        raise NameNotFoundError("fit", name, fits)
    return fits[name]


def _write_text(out: str, text: str) -> None:
    if out == "-":
        sys.stdout.write(text + "\n")
        return
    try:
        Path(out).write_text(text + "\n", encoding="utf-8")
    except OSError as error:
        raise UsageError(
            f"{out} cannot be written ({error.strerror}); choose another place."
        ) from error
