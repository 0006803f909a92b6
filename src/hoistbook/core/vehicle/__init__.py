"""The torn-down vehicle: part tree, joints, functions, approaches, facts and their taxonomy."""
