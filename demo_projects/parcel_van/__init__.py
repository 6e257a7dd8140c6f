"""The electric parcel van, invented by us: its sheets, its parts, and a job on it left half way.

`sheets` gathers the seven sheet plans (one module each), `parts` says what the things in the van are,
`half_way` what a person has put on the sheets so far.
"""
