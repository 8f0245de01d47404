"""How long things take and how much memory, told as ratios in one run: ``python -m tests.bench``."""
