"""The printed words of a page: where they stand and what they say."""

from loomfolio.reading.words.page_words import read_words

__all__ = ["read_words"]
