"""``python -m rxlint`` is the same as ``rxlint``."""

import os
import sys

# Python puts the current folder first on its path here. It may be the folder that is screened: no module comes from it.
_HOME = os.path.dirname(os.path.dirname(os.path.realpath(__file__)))
if not sys.flags.safe_path and sys.path and os.path.realpath(sys.path[0]) == os.path.realpath(os.curdir) != _HOME:
    del sys.path[0]

from rxlint.cli import main  # noqa: E402 - only from here on

main()
