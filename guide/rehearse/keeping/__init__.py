"""What was done in a class, written back into its file: the lengths of holds, and nothing else.

`choosing.what_to_keep` says how long each hold really was, `writing.written` puts that into the bytes of the file and
proves that nothing else has changed, and `showing.diff` shows it.
"""
