"""Following a pin from the desk: which way, which piece, and confirming along it with one key."""

from __future__ import annotations

from collections.abc import Callable

from loomfolio.desk.following import Following
from loomfolio.desk.gestures import confirm_piece
from loomfolio.desk.steps import Steps
from loomfolio.desk.workbench import Workbench
from loomfolio.project import Anchor, Known, PinKey

Show = Callable[[Following | None], None]


class Ways:
    """What the strip's keys and buttons do."""

    def __init__(
        self,
        workbench: Workbench,
        steps: Steps,
        show: Show,
        lead_to: Callable[[Anchor], None],
        tell: Callable[[str], None],
    ) -> None:
        self._workbench, self._steps = workbench, steps
        self._show, self._lead_to, self._tell = show, lead_to, tell

    @property
    def following(self) -> Following | None:
        """What is followed now."""
        return self._workbench.following

    def follow(self, pin: PinKey, to: PinKey | None = None) -> None:
        """Follow a pin, and look at its first piece to confirm."""
        following = self._workbench.follow(pin, to)
        if to is not None and not following.ways:
            state = self._workbench.state
            self._workbench.look(None)
            self._tell(f"No way leads from {state.pin_word(pin)} to {state.pin_word(to)}.")
            return
        self._look(following)

    def stop(self) -> None:
        """Follow nothing."""
        self._workbench.look(None)
        self._show(None)

    def choose_way(self, number: int) -> None:
        """Look at another of the ways."""
        if self.following is not None:
            self._look(self.following.at_way(number))

    def next_way(self) -> None:
        """Look at the next of the ways, after the last at the first."""
        if self.following is not None:
            self.choose_way(self.following.way_number + 1)

    def choose_step(self, number: int) -> None:
        """Look at a piece of the way, and go to its place."""
        if self.following is not None:
            self._look(self.following.at_step(number))

    def next_step(self) -> None:
        """Look at the next piece."""
        if self.following is not None:
            self.choose_step(self.following.step_number + 1)

    def previous_step(self) -> None:
        """Look at the piece before."""
        if self.following is not None:
            self.choose_step(self.following.step_number - 1)

    def confirm(self, known: Known | None = None) -> None:
        """Confirm what is looked at, and go on to what is still open."""
        following = self.following
        if following is None:
            return
        if following.open_piece is None:
            following = following.at_next_open()
        piece = following.open_piece
        if piece is None:
            self._tell("Everything on this way is confirmed.")
            return
        fact = known or Known()
        if self._steps.do(lambda project: confirm_piece(project, piece, fact)):
            self.go_on()

    def go_on(self) -> None:
        """Look at the next piece to confirm, if there is one."""
        if self.following is not None:
            self._look(self.following.at_next_open())

    def _look(self, following: Following) -> None:
        self._workbench.look(following)
        self._show(following)
        step = following.step
        if step is None:
            return
        piece = following.open_piece
        place = piece.place if piece is not None and piece.place is not None else step.place
        if place is not None:
            self._lead_to(place)
