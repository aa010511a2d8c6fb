"""Everything that is written to a file: sound, captions, chapters, the plan as data and as a table."""
