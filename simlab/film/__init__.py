"""Storyboard, recorder and captions."""
