"""A class that was taught in words of the teacher's own rather than those of its plan: when each step began."""
