"""Changes an input by chance, by its words as well as by its bytes; without any library, and the same for one seed."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Sequence
from typing import Final

from tests.fuzz import corpora

_TOKEN: Final = re.compile(rb"[A-Za-z_-]+|[0-9.]+|\s+|.", re.DOTALL)
_NUMBER: Final = re.compile(rb"[0-9]+(?:\.[0-9]+)?")
_NUMBERS: Final = (
    *(b"0", b"-1", b"00", b"0.1", b"1.", b".5", b"1,5", b"1e9", b"NaN", b"\xd9\xa3"),
    *(b"9" * 15, b"9" * 400, b"9" * 5_000, b"0" * 40),
)
_CHARACTERS: Final = tuple(
    text.encode("utf-8", "surrogatepass")
    for text in (
        *"\x00\t\r\n\x0b\x0c\x1b\"\\#,:;()[]{}&*!|>-'%@`~^/<=",
        *"\u00a0\u200b\u202e\ufeff\u2028\u0415\u00b5\u2264\u00bd\u0660\ud800\U0001f600",
        "\u0301",
    )
)  # fmt: skip
_MOST_TIMES: Final = (2, 3, 40, 1_000)

Change = Callable[[list[bytes], random.Random, Sequence[bytes]], None]


def _drop(tokens: list[bytes], chance: random.Random, _seeds: Sequence[bytes]) -> None:
    del tokens[chance.randrange(len(tokens))]


def _double(tokens: list[bytes], chance: random.Random, _seeds: Sequence[bytes]) -> None:
    at = chance.randrange(len(tokens))
    tokens[at:at] = tokens[at : at + chance.choice((1, 1, 2, 8))] * (chance.choice(_MOST_TIMES) - 1)


def _swap(tokens: list[bytes], chance: random.Random, _seeds: Sequence[bytes]) -> None:
    one, other = chance.randrange(len(tokens)), chance.randrange(len(tokens))
    tokens[one], tokens[other] = tokens[other], tokens[one]


def _word(tokens: list[bytes], chance: random.Random, _seeds: Sequence[bytes]) -> None:
    tokens[chance.randrange(len(tokens))] = chance.choice(corpora.words())


def _insert(tokens: list[bytes], chance: random.Random, _seeds: Sequence[bytes]) -> None:
    tokens.insert(chance.randrange(len(tokens) + 1), chance.choice(_CHARACTERS))


def _number(tokens: list[bytes], chance: random.Random, _seeds: Sequence[bytes]) -> None:
    places = [at for at, token in enumerate(tokens) if _NUMBER.fullmatch(token)]
    if places:
        tokens[chance.choice(places)] = chance.choice((*_NUMBERS, b"%d" % chance.randrange(1_000)))


def _byte(tokens: list[bytes], chance: random.Random, _seeds: Sequence[bytes]) -> None:
    at = chance.randrange(len(tokens))
    if tokens[at]:
        place = chance.randrange(len(tokens[at]))
        tokens[at] = tokens[at][:place] + bytes([chance.randrange(256)]) + tokens[at][place + 1 :]


def _part(tokens: list[bytes], chance: random.Random, seeds: Sequence[bytes]) -> None:
    """A part of another seed in the place of the rest."""
    other = _TOKEN.findall(chance.choice(seeds))
    del tokens[chance.randrange(len(tokens)) + 1 :]
    tokens += other[chance.randrange(len(other)) :] if other else []


CHANGES: Final[tuple[Change, ...]] = (_drop, _double, _swap, _word, _insert, _number, _byte, _part)


def mutated(seeds: Sequence[bytes], chance: random.Random, longest: int = 1_000_000) -> bytes:
    """One of the seeds, changed in one place or a few; never longer than ``longest``."""
    tokens: list[bytes] = _TOKEN.findall(chance.choice(seeds))
    for _ in range(chance.choice((1, 1, 1, 2, 4, 8))):
        if not tokens:
            return chance.randbytes(chance.randrange(9))
        chance.choice(CHANGES)(tokens, chance, seeds)
    return b"".join(tokens)[:longest]
