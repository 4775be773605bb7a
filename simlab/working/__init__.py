"""Worked solutions: the chain of equations with least effort, its algebra line by line, proved exactly."""
