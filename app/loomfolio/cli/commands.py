"""The one table of commands, in the order in which the help shows them.

A new command is a module beside this one with a `COMMAND`, and a row here.
"""

from __future__ import annotations

from loomfolio.cli.check import COMMAND as CHECK
from loomfolio.cli.command import Command
from loomfolio.cli.conductors import COMMAND as CONDUCTORS
from loomfolio.cli.desk import COMMAND as DESK
from loomfolio.cli.estimate import COMMAND as ESTIMATE
from loomfolio.cli.follow import COMMAND as FOLLOW
from loomfolio.cli.gaps import COMMAND as GAPS
from loomfolio.cli.handover import COMMAND as HANDOVER
from loomfolio.cli.live import COMMAND as LIVE
from loomfolio.cli.map import COMMAND as MAP
from loomfolio.cli.new import COMMAND as NEW
from loomfolio.cli.next import COMMAND as NEXT
from loomfolio.cli.pack import COMMAND as PACK
from loomfolio.cli.plan import COMMAND as PLAN
from loomfolio.cli.proof import COMMAND as PROOF
from loomfolio.cli.screenshot import COMMAND as SCREENSHOT
from loomfolio.cli.sheet import COMMAND as SHEET
from loomfolio.cli.unpack import COMMAND as UNPACK

COMMANDS: tuple[Command, ...] = (
    DESK,
    SCREENSHOT,
    CONDUCTORS,
    NEW,
    MAP,
    FOLLOW,
    CHECK,
    LIVE,
    SHEET,
    GAPS,
    ESTIMATE,
    PLAN,
    PROOF,
    HANDOVER,
    NEXT,
    PACK,
    UNPACK,
)
