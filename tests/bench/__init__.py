"""How long things take and how much memory, told as ratios in one run: ``python -m tests.bench``.

Both settings are as the command line has them, or what is timed is not what runs.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy is loaded

from plategen.ground.memory import collect_seldom

collect_seldom()
