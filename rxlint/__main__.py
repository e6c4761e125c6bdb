"""``python -m rxlint`` is the same as ``rxlint``."""

from rxlint.cli import main

main()
