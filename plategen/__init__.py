"""plategen: bracket plates that fit a rail that is not square, from cardboard and a rule to cut files."""

__version__ = "0.2.0"
