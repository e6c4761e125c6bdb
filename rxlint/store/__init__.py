"""What is kept between runs, so that it is not worked out again: how values become text, and where it is kept.

Nothing here decides what a value means, and nothing that is kept is needed: what can't be read is worked out again.
"""
