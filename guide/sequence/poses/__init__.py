"""The pose library: what a teacher knows of each pose, as data, and how it is found by any of its names."""
