"""Where a flat plane lies in space."""

from dataclasses import dataclass, replace

from plategen.ground.space import Vector, cross, dot, minus


@dataclass(frozen=True, slots=True)
class Placement:
    """Where a flat plane lies in space: the point that its (0, 0) takes, and the directions of its u and v.

    ``u`` and ``v`` are unit vectors at right angles; the third direction is ``normal = u x v``. A plate's
    outline is its face at the origin; the plate's body lies from there along the normal by its thickness.
    """

    origin: Vector
    u: Vector
    v: Vector

    @property
    def normal(self) -> Vector:
        """Unit vector square to the plane, u x v."""
        return cross(self.u, self.v)

    def point(self, p: complex, depth_mm: float = 0.0) -> Vector:
        """The point of space for a point of the plane, ``depth_mm`` along the normal."""
        o, u, v = self.origin, self.u, self.v
        x, y = p.real, p.imag
        a, b, c = o[0] + x * u[0] + y * v[0], o[1] + x * u[1] + y * v[1], o[2] + x * u[2] + y * v[2]
        if depth_mm == 0.0:
            return a, b, c
        n = self.normal
        return a + depth_mm * n[0], b + depth_mm * n[1], c + depth_mm * n[2]

    def shifted(self, by: Vector) -> "Placement":
        """The same plane elsewhere."""
        (a, b, c), (d, e, f) = self.origin, by
        return replace(self, origin=(a + d, b + e, c + f))

    def flat(self, q: Vector) -> complex:
        """The foot of a point of space on the plane, in the plane's own (u, v)."""
        d = minus(q, self.origin)
        return complex(dot(d, self.u), dot(d, self.v))

    def drop(self, p: complex, other: "Placement") -> complex:
        """The foot on this plane of a point of another plane, exact where the planes differ only along the normal."""
        (a, b, c), (d, e, f) = self.origin, other.origin
        u, v, x, y = other.u, other.v, p.real, p.imag
        q = (d - a + x * u[0] + y * v[0], e - b + x * u[1] + y * v[1], f - c + x * u[2] + y * v[2])
        return complex(dot(q, self.u), dot(q, self.v))


def across_pin(w_mm: float) -> Placement:
    """The placement of an ear whose outline face lies at ``w_mm``: its (u, v) are the plate frame's."""
    return Placement((0.0, 0.0, w_mm), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
