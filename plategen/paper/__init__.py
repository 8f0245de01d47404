"""The true-scale paper, as PDF and as SVG."""
