"""Answers looked at again without the solver, and against what has changed since."""
