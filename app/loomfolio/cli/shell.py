"""Run one command of the shell.

Exit status: 0 done; 1 done, and findings stand open (`check`); 2 the input cannot be used, with one plain
sentence on standard error. Without a command the desk opens, on the first demo project.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from typing import NoReturn

from loomfolio import __version__
from loomfolio.basics import LoomfolioError, UsageError
from loomfolio.cli.command import DONE, UNUSABLE, Command
from loomfolio.cli.commands import COMMANDS


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one sentence instead of printing the usage."""

    def error(self, message: str) -> NoReturn:
        raise UsageError(f"{message[:1].upper()}{message[1:]}; see {self.prog} --help.")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status; never a traceback for bad input."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    try:
        parsed = shell_parser().parse_args(words or ["desk"])
        command: Command = parsed.command
        return command.run(parsed)
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


def shell_parser() -> argparse.ArgumentParser:
    """Return the parser of all commands; what it parsed holds the `Command` as `command`."""
    parser = _Parser(
        prog="loomfolio", description="The same jobs from a shell: `loomfolio COMMAND …`."
    )
    parser.add_argument("--version", action="version", version=f"loomfolio {__version__}")
    commands = parser.add_subparsers(metavar="COMMAND", required=True, parser_class=_Parser)
    for command in COMMANDS:
        one = commands.add_parser(command.name, help=command.help)
        command.add_arguments(one)
        one.set_defaults(command=command)
    return parser
