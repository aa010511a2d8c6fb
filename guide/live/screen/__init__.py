"""The screen of a class that is led: big enough to be read from the mat, in a process of its own."""
