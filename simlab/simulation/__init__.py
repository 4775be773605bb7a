"""The rigid-body road: the only place that knows pymunk."""
