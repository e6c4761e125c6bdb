"""What rxlint brings with it: each distribution that it and its extras need, its licence, what is known against it.

``python -m tests.supply`` looks at the environment that it runs in; ``--write`` makes PAGE.md, ``--bill FILE`` holds a
bill of materials (CycloneDX, JSON) against what is installed where it was made.
"""
