"""The same jobs from a shell: `loomfolio COMMAND …`.

Each command is a module of its own and stands in the one table, `commands.py`; `shell.py` runs them.
"""

from loomfolio.cli.shell import main, shell_parser

__all__ = ["main", "shell_parser"]
