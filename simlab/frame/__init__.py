"""The subject: frames, their parts, and the scene files they come from."""
