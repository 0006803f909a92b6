"""Settings shared by all tests."""

import os

from hypothesis import settings

# No example has a time limit: a slow machine is not a wrong result. Where a change is judged the examples are always
# the same ones; at a desk they are new ones in every run, and a failing one prints the line that repeats it.
settings.register_profile("desk", deadline=None, print_blob=True)
settings.register_profile("ci", parent=settings.get_profile("desk"), derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "desk")
