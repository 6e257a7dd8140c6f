"""The one table of actions: it feeds menus, keys, the search field, the manual and the tests.

Each action that is not about the view names the library function that does the same, and the shell
command where there is one. `PROJECT`, `OUT` and `PIN` stand for what the person puts there.
"""

from loomfolio.desk.actions.action import MENUS, Action, Desk, MenuName, WindowActions
from loomfolio.desk.actions.documents import DOCUMENT_ACTIONS
from loomfolio.desk.actions.moves import MOVE_ACTIONS
from loomfolio.desk.actions.retrofit import GAP_ACTIONS, VEHICLE_ACTIONS
from loomfolio.desk.actions.work import WORK_ACTIONS

ACTIONS: tuple[Action, ...] = (
    *DOCUMENT_ACTIONS,
    *VEHICLE_ACTIONS,
    *GAP_ACTIONS,
    *WORK_ACTIONS,
    *MOVE_ACTIONS,
)

__all__ = ["ACTIONS", "MENUS", "Action", "Desk", "MenuName", "WindowActions", "action"]


def action(action_id: str) -> Action:
    """Return an action by its id."""
    return next(action for action in ACTIONS if action.id == action_id)
