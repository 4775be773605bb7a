"""One file per command: wiring and words."""
