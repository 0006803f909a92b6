"""Results as JSON objects: unrounded, every number with its unit beside it or in its name."""
