"""Templates with ranges and tables, and orders that follow one of them: a library of protocols.

Each template has a number, an identity and a few ranges of its own; the protocols themselves are in protocol_parts.py.
An order takes values inside the template that it follows.
"""

import datetime as dt
import random

from protocol_parts import Own, child_night, injured_lung, mask_night
from writing import Order, Row, Section, words

WRITTEN = dt.date(2026, 10, 6)
PROTOCOLS = (
    ("mask-night", "Night support by nasal mask", mask_night),
    ("injured-lung", "Support of an injured lung", injured_lung),
    ("child-night", "Night support of a child by tracheostomy", child_night),
)


def protocol(number: int, seed: int) -> Order:
    """Template `number`, from 0."""
    name, title, parts = PROTOCOLS[number % len(PROTOCOLS)]
    mine = _own(number, seed, None)
    rows = (
        words("notation", "1"),
        words("id", f"{name}-{number:05}"),
        words("revision", str(mine.revision)),
        words("status", "active"),
        _signed("written", WRITTEN, "consultant nurse, home ventilation"),
        _signed("approved", WRITTEN + dt.timedelta(days=14), "guideline group"),
        words("review by", "2027-10-01", '"2027-10-01"'),
    )
    return Order(f"{title}, protocol {number}", (Section("", "", rows), *parts(mine)), "template")


def follower(rng: random.Random, number: int, seed: int) -> tuple[Order, str]:
    """An order without its head that follows template `number`; the text of its `follows` line."""
    name, title, parts = PROTOCOLS[number % len(PROTOCOLS)]
    mine = _own(number, seed, rng)
    return Order(title, parts(mine)), f"{name}-{number:05} revision {mine.revision}"


def _own(number: int, seed: int, rng: random.Random | None) -> Own:
    own = random.Random(f"{seed} protocol {number}")
    return Own(
        revision=own.randint(1, 9),
        rise=10 * own.randint(10, 15),
        leak=own.randint(24, 26),
        low_volume=own.randint(30, 34) / 10,
        patient=rng,
    )


def _signed(term: str, day: dt.date, role: str) -> Row:
    return words(term, f'{day} 10:15 by "{role}"', f'"{day} 10:15 {role}"')
