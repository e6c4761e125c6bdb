"""The study of seeded slips: what a tired hand makes of the sound examples, one slip at a time, and what the rules say.

`sheet` reads a document and edits it, `kinds` collects the kinds of slips, `harness` screens every one, `table` writes
what came of it. `python -m tests.slips` runs all and renews the table in README.md and the two lists beside this file.
"""
