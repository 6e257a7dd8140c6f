"""The ledgers: tables of sheets, nets, pins, leads and doubts that stand beside the light table.

Records of the workbench -> `lines.py` (what a line says) -> `records_model.py` (a Qt model with
exact row signals) -> `filter_model.py` (sort, filter, scope) -> `ledger.py` (the panel).
"""
