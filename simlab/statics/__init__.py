"""Exact equilibrium of a frame."""
