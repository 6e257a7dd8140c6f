"""How the bench speaks of the sheets of the documents: by short numbers, and of many places at once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from loomfolio.project import Project

_OWN_NUMBER = re.compile(r"0*(\d+)[ .:)–-]+(?=\S)")
_PLACE = re.compile(r"\b(\d+, \d+) mm\b")


@dataclass(frozen=True, slots=True)
class SheetKey:
    """The number under which a sheet of the documents is named, and its title."""

    number: str
    title: str


def sheet_keys(project: Project) -> tuple[SheetKey, ...]:
    """Return the sheets of the documents with the numbers by which the bench calls them.

    Where each title begins with a number of its own, that number holds and is not said twice;
    otherwise the sheets are counted from 1.
    """
    numbered = [_OWN_NUMBER.match(sheet.title) for sheet in project.sheets]
    own = [match.group(1) for match in numbered if match]
    if len(own) == len(set(own)) == len(numbered):
        return tuple(
            SheetKey(match.group(1), match.string[match.end() :]) for match in numbered if match
        )
    return tuple(
        SheetKey(str(number), sheet.title) for number, sheet in enumerate(project.sheets, 1)
    )


def sheet_numbers(project: Project, sheets: Sequence[str]) -> str:
    """Return sheets by the numbers of the key, in their order, a run of them drawn together."""
    order = {sheet.id: place for place, sheet in enumerate(project.sheets)}
    keys = sheet_keys(project)
    return number_runs(sorted(int(keys[order[sheet]].number) for sheet in sheets))


def by_number(project: Project, sentences: Iterable[str]) -> tuple[str, ...]:
    """Return sentences with sheets named by the numbers of the key instead of by their titles."""
    titles = {
        sheet.title: key.number
        for sheet, key in zip(project.sheets, sheet_keys(project), strict=True)
        if sheet.title
    }
    if not titles:
        return tuple(sentences)
    longest_first = sorted(titles, key=len, reverse=True)
    named = re.compile(rf"(?<=\bsheet )({'|'.join(map(re.escape, longest_first))})(?!\w)")
    return tuple(named.sub(lambda match: titles[match[0]], sentence) for sentence in sentences)


def number_runs(numbers: Sequence[int]) -> str:
    """Return sorted numbers with runs of three or more drawn together: `3, 5–8, 11`."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs
    )


def counted(count: int, one: str, many: str = "") -> str:
    """Return a count with its word: `1 lead`, `3 leads`."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def gathered(sentences: Sequence[str]) -> tuple[str, ...]:
    """Return sentences that differ in nothing but one place on a sheet as one, with all the places.

    Examples
    --------
    >>> gathered(["Lines cross at 10, 20 mm", "Lines cross at 10, 30 mm"])
    ('Lines cross at 10, 20; 10, 30 mm',)
    """
    places: dict[tuple[str, ...], list[str]] = {}
    for sentence in sentences:
        before, *rest = _PLACE.split(sentence, maxsplit=1)
        where = places.setdefault((before, rest[1]) if rest else (sentence,), [])
        where.extend(rest[:1])
    return tuple(f"{'; '.join(where)} mm".join(key) for key, where in places.items())
