"""Playing and handling a frame: the only place that knows pygame."""
