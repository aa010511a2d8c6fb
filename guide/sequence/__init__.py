"""The class as written: how it is read, what it may say, and how it expands into steps."""
