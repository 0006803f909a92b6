"""Use cases: the only place that joins reading, reference data and the engines. Command line and pages call these."""

DEFAULT_DRAWS, DEFAULT_SEED = 4000, 1
