"""What a pupil reads of a solved frame: amounts, forces, worked solutions, as pages."""
