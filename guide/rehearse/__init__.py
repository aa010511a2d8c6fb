"""A rehearsal under way: the teacher teaches aloud, a key tells each change, and the words go by as a script."""
