"""Music under a class: made beds and sound files, as tapes that go on without an end or a seam."""
