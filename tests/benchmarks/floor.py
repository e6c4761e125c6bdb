"""The least that anything does which notices changed files: `python floor.py FOLDER` reads and hashes each document."""

import hashlib
import os
import sys


def main() -> None:
    count = 0
    whole = hashlib.blake2b(digest_size=16)
    for place, folders, names in os.walk(sys.argv[1]):
        folders.sort()
        for name in sorted(names):
            if name.endswith(".vrx"):
                with open(f"{place}/{name}", "rb") as file:
                    whole.update(hashlib.blake2b(file.read(), digest_size=16).digest())
                count += 1
    print(count, whole.hexdigest())


main()
