"""Captions of a class, of any kind, read into words with times."""
