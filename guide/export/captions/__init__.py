"""Captions: the words of a class with their times, as text files; a file for each format."""
