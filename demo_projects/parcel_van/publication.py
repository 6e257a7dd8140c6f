"""Whose diagrams the sheets of the van are."""

from drawing.plan import Publication

PAKKA_E3 = Publication(maker="BRENVIK", model="PAKKA e3", document="WD-E3-L07", sheet_count=7)
