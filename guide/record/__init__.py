"""Recording the teacher's own voice, line by line, for all that a class says."""
