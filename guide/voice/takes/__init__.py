"""The teacher's own voice: recordings of lines, kept beside her classes by what is said, and cleaned on their way."""
