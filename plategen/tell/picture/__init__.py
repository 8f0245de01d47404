"""Drawings of plates, traces, welds and the whole bracket, as SVG."""
