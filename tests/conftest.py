"""Random tests draw the same cases in every unattended run, and fresh ones at a developer's desk."""

import os

from hypothesis import settings

settings.register_profile("unattended", derandomize=True, deadline=None, print_blob=True)
if os.environ.get("CI"):
    settings.load_profile("unattended")
