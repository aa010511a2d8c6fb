"""What was done in a class, written back into its file: the lengths of holds, and nothing else.

`done_lengths.what_to_keep` says how long each hold really was, `edited_file.write_lengths` puts that into the bytes of
the file and proves that nothing else has changed, and `diff.diff` shows it.
"""
