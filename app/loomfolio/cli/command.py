"""What a command of the shell is, and how it may end."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass

DONE, FINDINGS_OPEN, UNUSABLE = 0, 1, 2


@dataclass(frozen=True)
class Command:
    """One command: its word, one line of help, the arguments it takes, and what it does.

    `run` gets the parsed arguments and returns the exit status. It raises `LoomfolioError` for what
    cannot be used, and imports its rooms itself, so that `--help` costs no start-up time.
    """

    name: str
    help: str
    add_arguments: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]
