"""One file for each promise of a plan, each with a `check` that names every breach it sees."""
