"""What really happened in a class, beside its plan."""
