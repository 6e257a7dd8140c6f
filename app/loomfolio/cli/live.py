"""Tell which pins are live, dead or unknown in a state of the vehicle."""

from __future__ import annotations

import argparse

from loomfolio.basics import NameNotFoundError, UsageError
from loomfolio.cli.command import DONE, FINDINGS_OPEN, Command
from loomfolio.cli.inputs import add_fit, add_project, named_fit, opened_project, write_text
from loomfolio.project import ElectricState, Project, find_pin


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    add_project(parser)
    parser.add_argument("state", nargs="?", metavar="STATE", help="one state; else all of them")
    parser.add_argument("--pin", action="append", default=[], metavar="PIN", help="only this pin")
    add_fit(parser)
    parser.add_argument("--json", metavar="OUT", help="write the tables as json; - for here")


def run(arguments: argparse.Namespace) -> int:
    """Tell which pins are live; the status says whether something cannot be right."""
    from loomfolio.nets import derive
    from loomfolio.reading import readings_of
    from loomfolio.retrofit import live_record, live_table, live_text

    with opened_project(arguments) as folder:
        project = folder.project
        states = _states(project, arguments.state)
        fit = named_fit(project, arguments.fit or project.job.target_fit or None)
        netlist = derive(project, readings_of(folder, project), fit=fit)
    pins = [find_pin(netlist.project, text) for text in arguments.pin]
    tables = [live_table(project, netlist, state) for state in states]
    if arguments.json:
        record = live_record(project, tables)
        write_text(arguments.json, record.model_dump_json(by_alias=True))
    else:
        print("\n\n".join(live_text(project, table, only=pins) for table in tables))
    return FINDINGS_OPEN if any(table.faults for table in tables) else DONE


def _states(project: Project, name: str | None) -> tuple[ElectricState, ...]:
    states = {state.name.casefold(): state for state in project.states}
    if not states:
        raise UsageError("The project names no state of the vehicle; add one, such as parked.")
    if name is None:
        return tuple(states.values())
    if name.casefold() not in states:
        raise NameNotFoundError("state", name, [state.name for state in states.values()])
    return (states[name.casefold()],)


COMMAND = Command("live", "which pins are live in a state of the vehicle", add_arguments, run)
