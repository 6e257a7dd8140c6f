"""The second typist: hold a finished reading against the ink by another route.

It changes no join. Where its own view of the ink parts from the first reading it leaves a doubt,
so that a person is asked instead of being told wrong in silence. Three independent checks:
`finger` follows lines straight on, `meetings` looks at what comes together around each place, and
`breaks` at what is claimed over bare paper or left apart over it.
"""

from loomfolio.reading.second_look.findings import Finding
from loomfolio.reading.second_look.look import find_partings, second_look

__all__ = ["Finding", "find_partings", "second_look"]
