"""The advice of a colleague on a class: one rule a file, each with its reason and a name to silence it by."""
