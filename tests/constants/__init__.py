"""Every number in `rxlint/physiology`, changed by 5 %, makes a test fail whose expected number others have published.

`python -m tests.constants` changes the numbers one at a time, in memory, runs the tests marked `published` until one
fails, and writes tests/CONSTANTS.md: what caught each number, and which numbers nothing published can catch. `source`
finds the numbers, `change` alters one while the package is imported, `child` is the test run under a change, `trial`
starts them all, `kept` reads the reasons that are kept by hand in reasons.yaml, `page` writes and reads the table.
"""
