"""How long things take and how much memory, told as ratios in one run: ``python -m tests.bench``."""

from plategen.ground.memory import collect_seldom

collect_seldom()  # as the command line has it, or what is timed is not what runs
