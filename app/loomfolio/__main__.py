"""`python -m loomfolio` is the shell command `loomfolio`."""

from __future__ import annotations

import sys

from loomfolio.cli import main

if __name__ == "__main__":
    sys.exit(main())
