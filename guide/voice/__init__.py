"""Words become sound: one protocol, one file for each engine, pronunciation, and the cache of what was spoken."""
