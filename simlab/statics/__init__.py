"""Exact equilibrium of frames. No Python float, no tolerance, no word about time."""
