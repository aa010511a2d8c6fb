"""Bodies: a skeleton, what a pose is as contacts and angles, the body that does it, and its picture as vector paths."""
