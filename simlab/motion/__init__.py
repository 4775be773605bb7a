"""The other road for moving frames: constrained equations of motion. It knows no engine."""
