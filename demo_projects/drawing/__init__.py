"""Draws sheets that look like pages of a printed service diagram, from a declaration of what is on them.

The data flows: `plan` (what is on a sheet, as data) -> `layout` and `symbols` (what ink that takes, mm)
-> `paper` (the scan: skew, blur, grain, pixels). Beside that, from the same plan: `wiring` (what is
connected, from the declared ends of the wires alone, never from their geometry) and `marks` (what a
person would put on the sheets).
"""
