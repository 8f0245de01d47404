"""Entities of a STEP file put in order: nothing lost, and the order does not depend on the one before."""

import random
import re

from plategen.solid.step import in_order

HEAD, TAIL = b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n", b"ENDSEC;\nEND-ISO-10303-21;\n"
BODIES = [
    "CARTESIAN_POINT('a #3 in a name',(0.,0.,0.))",
    "DIRECTION('',(0.,0.,1.))",
    "AXIS2_PLACEMENT_3D('',#1,#2,#2)",
    "SOLID('one',#3)",
    "COLOUR_RGB('',0.5,0.1,0.1)",
    "COLOUR_RGB('',0.2,0.9,0.1)",
    "STYLED_ITEM('color',(#5),#4)",
    "STYLED_ITEM('color',(#6),#3)",
    "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(#7,#8),#10)",
    "(GEOMETRIC_REPRESENTATION_CONTEXT(3))",
]


def shuffled(order: list[int], bodies: list[str] = BODIES) -> bytes:
    """The file with its entities numbered and listed in another order, and its list of colours turned round."""
    new = {old: at + 1 for at, old in enumerate(order)}
    lines = []
    for old in order:
        body = bodies[old - 1]
        if bodies is BODIES and old == 9 and order[0] % 2:
            body = body.replace("(#7,#8)", "(#8,#7)")
        parts = re.split(r"('[^']*')", body)
        told = "".join(p if p[:1] == "'" else re.sub(r"#(\d+)", lambda m: f"#{new[int(m[1])]}", p) for p in parts)
        lines.append(f"#{new[old]} = {told};\n")
    return HEAD + "".join(lines).encode() + TAIL


def test_any_order_of_colours_becomes_one() -> None:
    chance = random.Random(1)
    first = in_order(shuffled(list(range(1, 11))))
    assert first.count(b" = ") == len(BODIES)
    assert b"'a #3 in a name'" in first
    for _ in range(50):
        colours = [5, 6, 7, 8]
        chance.shuffle(colours)
        assert in_order(shuffled([1, 2, 3, 4, *colours, 9, 10])) == first


def test_where_the_kernel_breaks_its_lines_does_not_matter() -> None:
    """Before, a blank stayed where a line had been broken, which moves with the numbers that a process counts on."""
    plain = shuffled(list(range(1, 11)))
    broken = plain.replace(b",(#7", b",\n  (#7").replace(b"1)", b"1 )").replace(b"(0.,0.,1.)", b"(0.,0.,\n1.)")
    assert broken != plain
    assert in_order(broken) == in_order(plain)


TWINS = [
    "POINT('',(0.,0.,0.))",
    "SOLID('',#1)",
    "POINT('',(0.,0.,0.))",
    "SOLID('',#3)",
    "ASSEMBLY('first',#2,'second',#4)",
    "STYLED_ITEM('color',#2)",
    "STYLED_ITEM('color',#4)",
    "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(#6),#1)",
    "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(#7),#3)",
]


def test_colours_of_two_alike_parts_have_one_order() -> None:
    # two straps of one shape and colour: their colours' content is alike, and only the part they are of differs
    whole = in_order(shuffled(list(range(1, 10)), TWINS))
    assert in_order(shuffled([1, 2, 3, 4, 5, 7, 6, 9, 8], TWINS)) == whole
    listed = [*TWINS[:7], "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(#6,#7),#1)"]
    turned = [*TWINS[:7], "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(#7,#6),#1)"]
    assert in_order(shuffled(list(range(1, 9)), listed)) == in_order(shuffled(list(range(1, 9)), turned))


def test_done_twice_is_done_once() -> None:
    once = in_order(shuffled(list(range(1, 11))))
    assert in_order(once) == once
