"""A job file that is right, for tests to spoil."""

RIGHT = """\
title = "Sprayer steering cylinder, left rail"
units = "in"

[rail]
wall = "1/4"
steel = "A36"
[[rail.trace]]
file = "front.csv"
plane = 0
[[rail.trace]]
file = "rear.csv"
plane = "2 1/2"

[cylinder]
bore = 2
rod = "1 1/4"
stroke = 8
closed_length = "15 1/4"
body_diameter = "2 3/8"
pressure = "1500 psi"
[cylinder.base]
pin = "3/4"
eye_width = "1 1/4"
eye_radius = "1"

[mount]
inline_offset = "3 3/4"
pin_station = "6 1/2"
foot = [2, 11]

[bracket]
style = "ears"
plane = 0
thickness = "3/8"
steel = "A36"
side_play = "1/32"
root_gap = 0
nose_radius = "1 1/4"
toe = "3/4"
corner_radius = "1/4"

[weld]
leg = "1/4"
electrode = "E70"

[cutting]
process = "plasma"
kerf = "0.06"
compensate = false
smallest_hole = 1.0
"""

TRACE = "station,offset\n0,1 3/8\n1,1 7/16\n2,1 1/2\n"
