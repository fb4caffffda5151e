"""Template tags: the parts of the look, one tag each."""
