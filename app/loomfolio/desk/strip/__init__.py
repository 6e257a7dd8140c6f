"""The path strip: the followed pin as a straight line of what lies on it.

A `Way` of the nets room -> `pieces.py` (what each piece says) -> `piece_button.py` (one piece
drawn) -> `strip.py` (the line of them, the choice among several ways, the key that confirms).
"""
