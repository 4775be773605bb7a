"""Vector pictures: marks, camera, typesetting, labels, canvas."""
