"""Whose diagrams the sheets of the tractor are, and of which tractors they speak."""

from drawing.plan import Publication

from loomfolio.project import ValidFor

RAD_40E = Publication(maker="ORRFELT", model="RAD 40e", document="EW-40E-11", sheet_count=6)
VALID_FOR = ValidFor(make="Orrfelt", model="Rad 40e", year_from=2021, year_to=2025, market="EU")
VALIDITY_TEXT = "MODEL YEARS, 2021 - 2025 EU"
OPTION = "dc-charging"
"""The option as conditions write it; the sheets print it as WITH DC CHARGING."""
