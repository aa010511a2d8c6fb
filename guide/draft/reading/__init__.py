"""What was done in a whole class, read from its words: of all readings the likeliest."""
