"""`python -m tests.exchange --write` makes the kept exports anew; look at the difference before it is committed."""

import sys

from tests.exchange.kept import KEPT, kept

if "--write" in sys.argv:
    KEPT.mkdir(exist_ok=True)
    for path, text in kept():
        path.write_text(text, encoding="utf-8")
