"""A question on paper: for pupils to work on, and for their teacher with the solution; HTML and PDF."""
