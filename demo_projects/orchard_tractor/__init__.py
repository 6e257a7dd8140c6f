"""The orchard tractor, invented by us: its sheets, its parts, and a DC charging inlet that it is to be given.

`sheets` gathers the six sheet plans (one module each), `parts` says what the things in the tractor are,
`job` what is to be done, `half_way` what a person has put on the sheets so far, `survey` what was seen.
"""
