"""Every number of a finished job as typed structs, for other programs; the sheet and the screen show the same numbers.

Lengths mm, forces N, stresses MPa, angles degrees where the key says so. Nothing is computed or judged again here.
"""
