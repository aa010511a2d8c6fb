"""Where the sound of a class goes: one file for each way to a loudspeaker, behind one protocol."""
