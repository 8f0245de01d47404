"""Plates laid out on a sheet or an off-cut."""
