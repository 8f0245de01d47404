"""The fewest flats and bends that explain a trace within the error of its readings."""

from plategen.rail.fit.together import alike, fit_together
from plategen.rail.fit.trace import fit_trace

__all__ = ["alike", "fit_together", "fit_trace"]
