"""Every small number of the plane geometry, in millimetres, each with its reason."""

SAME_POINT_MM = 1e-7
"""Two points closer than this are one: far above rounding on a metre-sized part, far below any tool."""

SHORTEST_EDGE_MM = 0.05
"""No edge of a cut outline may be shorter: cutting controls stutter on shorter ones, and no torch can draw them."""

RUN_ON_MM = 0.002
"""How far beyond the distance the point of two parallels may lie that run on where their arc is too short to cut."""
