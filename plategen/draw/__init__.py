"""Outlines drawn: the one walk along them, and the pens that need nothing else."""
