"""Every example's delivery but for its solids, made once for all tests that read it."""

from plategen.delivery.deliver import Rendered, first_files
from tests.support.every_example import work_of
from tests.support.once import once_a_run


@once_a_run
def delivered(name: str) -> Rendered:
    """What a delivery of one example writes into a new folder without the solid kernel."""
    return first_files(work_of(name), solid=False)
