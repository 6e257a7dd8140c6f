"""What differs between two documents, and how to make the second out of the first.

Every change in the program is told this way: canvas, tables and journal read the same `Changes`. The
comparison goes by identity first, since an edit shares what it left alone, so its cost is that of the
lists that an edit touched.

Laws (tests hold them): `compare(a, a)` is empty, `compare(a, b).mirrored()` equals `compare(b, a)`, and
`apply(a, compare(a, b))` equals `b`, the order of the records included.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple, TypeVar

from loomfolio.project.models import Job, Project
from loomfolio.project.record_lists import LIST_NAMES, AnyRecord, ListName, records_of

_R = TypeVar("_R")


class Placed(NamedTuple):
    """A record and its position in the list that holds it."""

    position: int
    record: AnyRecord


class Changed(NamedTuple):
    """The two states of a record whose id is in both documents."""

    before: AnyRecord
    after: AnyRecord


class Order(NamedTuple):
    """The ids that both lists hold, in the order of each; only where these orders differ."""

    before: tuple[str, ...]
    after: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ListChange:
    """What differs in one list. `added` and `removed` are sorted by position."""

    name: ListName
    added: tuple[Placed, ...] = ()
    removed: tuple[Placed, ...] = ()
    changed: tuple[Changed, ...] = ()
    order: Order | None = None

    @property
    def added_ids(self) -> frozenset[str]:
        """The ids that only the second document holds."""
        return frozenset(placed.record.id for placed in self.added)

    @property
    def removed_ids(self) -> frozenset[str]:
        """The ids that only the first document holds."""
        return frozenset(placed.record.id for placed in self.removed)

    @property
    def changed_ids(self) -> frozenset[str]:
        """The ids whose records differ."""
        return frozenset(pair.after.id for pair in self.changed)

    @property
    def is_empty(self) -> bool:
        """True where the two lists are the same."""
        return not (self.added or self.removed or self.changed or self.order)

    def mirrored(self) -> ListChange:
        """Return the change that leads back."""
        return ListChange(
            name=self.name,
            added=self.removed,
            removed=self.added,
            changed=tuple(Changed(pair.after, pair.before) for pair in self.changed),
            order=None if self.order is None else Order(self.order.after, self.order.before),
        )


@dataclass(frozen=True, slots=True)
class Changes:
    """What differs between two documents: per list, and the job and the serial where they differ."""

    lists: tuple[ListChange, ...] = ()
    job: tuple[Job, Job] | None = None
    serial: tuple[int, int] | None = None

    @property
    def is_empty(self) -> bool:
        """True where the two documents are the same."""
        return not (self.lists or self.job or self.serial)

    def of(self, name: ListName) -> ListChange:
        """Return what differs in one list; an empty change where nothing does."""
        for change in self.lists:
            if change.name == name:
                return change
        return ListChange(name)

    def mirrored(self) -> Changes:
        """Return the changes that lead back."""
        return Changes(
            lists=tuple(change.mirrored() for change in self.lists),
            job=None if self.job is None else (self.job[1], self.job[0]),
            serial=None if self.serial is None else (self.serial[1], self.serial[0]),
        )


def compare(before: Project, after: Project) -> Changes:
    """Return what differs from `before` to `after`."""
    lists = (
        _compare_lists(name, records_of(before, name), records_of(after, name))
        for name in LIST_NAMES
    )
    return Changes(
        lists=tuple(change for change in lists if not change.is_empty),
        job=None if before.job == after.job else (before.job, after.job),
        serial=None if before.serial == after.serial else (before.serial, after.serial),
    )


def _compare_lists(
    name: ListName, before: tuple[AnyRecord, ...], after: tuple[AnyRecord, ...]
) -> ListChange:
    """Compare what lies between the records that both lists begin and end with."""
    if before is after:
        return ListChange(name)
    head = _shared(before, after)
    tail = _shared(before[head:][::-1], after[head:][::-1])
    old = {record.id: record for record in before[head : len(before) - tail]}
    new = {record.id: record for record in after[head : len(after) - tail]}
    kept_before = tuple(record_id for record_id in old if record_id in new)
    kept_after = tuple(record_id for record_id in new if record_id in old)
    return ListChange(
        name=name,
        added=tuple(Placed(i, r) for i, r in enumerate(new.values(), head) if r.id not in old),
        removed=tuple(Placed(i, r) for i, r in enumerate(old.values(), head) if r.id not in new),
        changed=tuple(
            Changed(old[record_id], new[record_id])
            for record_id in sorted(kept_before)
            if old[record_id] is not new[record_id] and old[record_id] != new[record_id]
        ),
        order=None if kept_before == kept_after else _order(before, after),
    )


def _shared(before: tuple[AnyRecord, ...], after: tuple[AnyRecord, ...]) -> int:
    """Return with how many records, the very same objects, both lists begin."""
    count = 0
    for old, new in zip(before, after, strict=False):
        if old is not new:
            break
        count += 1
    return count


def _order(before: tuple[AnyRecord, ...], after: tuple[AnyRecord, ...]) -> Order:
    old, new = [record.id for record in before], [record.id for record in after]
    in_old, in_new = frozenset(old), frozenset(new)
    return Order(tuple(i for i in old if i in in_new), tuple(i for i in new if i in in_old))


def apply(project: Project, changes: Changes) -> Project:
    """Return `project` with the changes made.

    Raises
    ------
    KeyError
        Where the changes speak of a record that `project` does not hold: they were made from another one.
    """
    update: dict[str, object] = {
        change.name: rebuilt(
            records_of(project, change.name),
            removed=change.removed_ids,
            changed={pair.after.id: pair.after for pair in change.changed},
            added=change.added,
            order=None if change.order is None else change.order.after,
            id_of=lambda record: record.id,
        )
        for change in changes.lists
    }
    if changes.job is not None:
        update["job"] = changes.job[1]
    if changes.serial is not None:
        update["serial"] = changes.serial[1]
    return project.model_copy(update=update)


def rebuilt(
    records: Iterable[_R],
    *,
    removed: Iterable[str],
    changed: Mapping[str, _R],
    added: Iterable[tuple[int, _R]],
    order: Sequence[str] | None,
    id_of: Callable[[_R], str],
) -> tuple[_R, ...]:
    """Return a list with a change made; the journal does the same to records that are still JSON.

    `added` gives the index in the finished list and rises; `order` names the records kept.
    """
    kept = {id_of(record): record for record in records}
    for record_id in removed:
        del kept[record_id]
    for record_id, record in changed.items():
        if record_id not in kept:
            raise KeyError(record_id)
        kept[record_id] = record
    if order is not None:
        if len(order) != len(kept):
            raise KeyError("order")
        kept = {record_id: kept[record_id] for record_id in order}
    finished = list(kept.values())
    for index, record in added:
        if id_of(record) in kept:
            raise KeyError(id_of(record))
        finished.insert(index, record)
    return tuple(finished)
