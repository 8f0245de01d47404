"""The bodies of a job as an assembly of the modelling library, for those who go on modelling from it."""

from collections.abc import Sequence
from typing import Any

from plategen.solid.kernel import Body, location


def assembly_of(title: str, bodies: Sequence[Body]) -> Any:
    """A ``cadquery.Assembly``: each body under its name, in its colour, where it stands.

    All are constrained to their places, so that ``solve()`` after parts and constraints of one's own leaves them there.

    Raises:
        SolidUnavailable: The solid kernel cannot load.
    """
    import cadquery

    whole = cadquery.Assembly(name=title)
    for body in bodies:
        shape = cadquery.Shape.cast(body.shape)
        whole.add(
            shape, name=body.name, loc=cadquery.Location(location(body.placement)), color=cadquery.Color(*body.colour)
        )
        whole.constrain(body.name, "Fixed")
    return whole
