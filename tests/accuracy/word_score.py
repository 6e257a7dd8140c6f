"""Score the printed words that were read against those that were drawn.

A drawn text is one word or several with spaces between. A word is right where a word that was read says
exactly the same and lies for the most part in the text's box; each word that was read counts once.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from accuracy.marks import WordKind
from accuracy.scans import TrueWord
from loomfolio.reading import Text

SURE = 0.95
"""A word this confident is accepted without a look, where the person sets nothing else."""
_SPARE_PX = 3.0


@dataclass(frozen=True, slots=True)
class WordMiss:
    """A drawn word that was not read, and what was read in its place."""

    word: str
    text: TrueWord
    read: tuple[Text, ...]


@dataclass(frozen=True, slots=True)
class WordScore:
    """How the words of pages were read: per kind drawn and right, sure ones that are wrong, words read of nothing."""

    drawn: Counter[WordKind]
    right: Counter[WordKind]
    sure: int
    sure_wrong: int
    of_nothing: int
    misses: tuple[WordMiss, ...]

    def share(self, *kinds: WordKind) -> float:
        """The share of words read exactly, of some kinds or of all."""
        chosen = kinds or tuple(self.drawn)
        return sum(self.right[k] for k in chosen) / max(1, sum(self.drawn[k] for k in chosen))


def score_words(truth: Sequence[TrueWord], read: Sequence[Text]) -> WordScore:
    """Return how the words of one page were read."""
    inside = defaultdict(list)
    for number, word in enumerate(read):
        for place, text in enumerate(truth):
            if _lies_in(word, text):
                inside[place].append(number)
    drawn: Counter[WordKind] = Counter()
    right: Counter[WordKind] = Counter()
    used: set[int] = set()
    touched: set[int] = set()
    misses: list[WordMiss] = []
    for place, text in enumerate(truth):
        free = [k for k in inside[place] if k not in used]
        touched.update(inside[place])
        if len(free) == 1 and read[free[0]].text == "".join(text.text.split()):
            # Area and colour written close together (`4 BK`) may come as one: spaces aside it is right.
            drawn[text.kind] += len(text.text.split())
            right[text.kind] += len(text.text.split())
            used.add(free[0])
            continue
        for word in text.text.split():
            drawn[text.kind] += 1
            match = next((k for k in free if read[k].text == word), None)
            if match is None:
                misses.append(WordMiss(word, text, tuple(read[k] for k in inside[place])))
                continue
            free.remove(match)
            used.add(match)
            right[text.kind] += 1
    sure = [k for k, word in enumerate(read) if word.confidence >= SURE and k in touched]
    return WordScore(
        drawn,
        right,
        len(sure),
        sum(k not in used for k in sure),
        len(read) - len(touched),
        tuple(misses),
    )


def sum_of_words(scores: Iterable[WordScore]) -> WordScore:
    """Return the scores of several pages as one."""
    drawn: Counter[WordKind] = Counter()
    right: Counter[WordKind] = Counter()
    rest = [0, 0, 0]
    misses: list[WordMiss] = []
    for score in scores:
        drawn += score.drawn
        right += score.right
        for place, count in enumerate((score.sure, score.sure_wrong, score.of_nothing)):
            rest[place] += count
        misses += score.misses
    return WordScore(drawn, right, *rest, tuple(misses))


def _lies_in(word: Text, text: TrueWord) -> bool:
    """Does most of a word lie in the box of a drawn text?"""
    x0, y0, x1, y1 = text.box
    wide = min(word.box.x1, x1 + _SPARE_PX) - max(word.box.x0, x0 - _SPARE_PX)
    high = min(word.box.y1, y1 + _SPARE_PX) - max(word.box.y0, y0 - _SPARE_PX)
    own_wide, own_high = word.box.x1 - word.box.x0, word.box.y1 - word.box.y0
    return wide > 0.6 * own_wide and high > 0.6 * own_high
