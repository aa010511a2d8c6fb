"""Everything that comes out: sound, captions, chapters, the plan, a comparison as a page. `registry` has them all."""
