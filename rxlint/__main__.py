"""``python -m rxlint`` and the script ``rxlint``: where a run begins."""

import contextlib
import os
import sys

# Python puts the current folder first on its path here. It may be the folder that is screened: no module comes from it.
if __name__ == "__main__" and not sys.flags.safe_path and sys.path:
    _HOME = os.path.dirname(os.path.dirname(os.path.realpath(__file__)))
    if os.path.realpath(sys.path[0]) == os.path.realpath(os.curdir) != _HOME:
        del sys.path[0]


def main() -> None:
    """Load the command line and run it. An interrupt is no traceback, also while it is being loaded, and at the end."""
    try:
        try:
            from rxlint.cli import main as run

            run()
        finally:
            import signal

            if signal.getsignal(signal.SIGINT) is signal.default_int_handler:  # from here on, without a word
                signal.signal(signal.SIGINT, signal.SIG_DFL)
    except KeyboardInterrupt:
        if sys.stderr is not None:
            with contextlib.suppress(OSError):
                sys.stderr.write("The run was stopped.\n")
        sys.exit(3)  # EXIT_UNREAD, whose module may be what was being loaded


if __name__ == "__main__":
    main()
