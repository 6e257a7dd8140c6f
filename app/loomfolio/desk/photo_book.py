"""Photos with what is pointed out in them; each change can be taken back and made again; no Qt in here."""

from __future__ import annotations

from collections.abc import Iterable

from loomfolio.project import Photo, PhotoMark


class PhotoBook:
    """The photos of one specimen or baseline while they are looked at, with every state since they were opened."""

    def __init__(self, photos: Iterable[Photo]) -> None:
        self._states: list[tuple[Photo, ...]] = [tuple(photos)]
        self._at = 0

    @property
    def photos(self) -> tuple[Photo, ...]:
        """The photos as they stand."""
        return self._states[self._at]

    @property
    def can_undo(self) -> bool:
        """Is there a state before this one?"""
        return self._at > 0

    @property
    def can_redo(self) -> bool:
        """Is there a state after this one?"""
        return self._at < len(self._states) - 1

    def undo(self) -> None:
        """Go one change back; stay where there is none."""
        self._at = max(self._at - 1, 0)

    def redo(self) -> None:
        """Go one change forward again; stay where there is none."""
        self._at = min(self._at + 1, len(self._states) - 1)

    def _put(self, photos: tuple[Photo, ...]) -> None:
        if photos != self.photos:
            self._states[self._at + 1 :] = [photos]
            self._at += 1

    # ------------------------------------------------------------------------------------- photos

    def add(self, files: Iterable[str]) -> None:
        """Put photos that lie in the project's folder behind the others."""
        self._put((*self.photos, *(Photo(file=file) for file in files)))

    def take_away(self, number: int) -> None:
        """Take a photo out; its file stays in the folder, so that undo finds it."""
        self._put(self.photos[:number] + self.photos[number + 1 :])

    def caption(self, number: int, caption: str) -> None:
        """Write what a photo shows."""
        self._change(number, self.photos[number].model_copy(update={"caption": caption.strip()}))

    def _change(self, number: int, photo: Photo) -> None:
        self._put((*self.photos[:number], photo, *self.photos[number + 1 :]))

    # -------------------------------------------------------------------------------------- marks

    def mark(self, number: int, mark: PhotoMark) -> None:
        """Point something out in a photo."""
        self._marks(number, (*self.photos[number].marks, mark))

    def change_mark(self, number: int, which: int, mark: PhotoMark) -> None:
        """Give a mark another name or place."""
        marks = self.photos[number].marks
        self._marks(number, (*marks[:which], mark, *marks[which + 1 :]))

    def remove_mark(self, number: int, which: int) -> None:
        """Take a mark off."""
        marks = self.photos[number].marks
        self._marks(number, marks[:which] + marks[which + 1 :])

    def _marks(self, number: int, marks: tuple[PhotoMark, ...]) -> None:
        self._change(number, self.photos[number].model_copy(update={"marks": marks}))
