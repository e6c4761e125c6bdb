"""Near readings: what a phrase that can't be read may have been meant to be. Offered, never applied."""

from __future__ import annotations

from collections.abc import Iterable


def near(text: str, candidates: Iterable[str], limit: int = 3) -> tuple[str, ...]:
    """The candidates closest to ``text`` in spelling, the closest first; none where nothing is close."""
    from difflib import get_close_matches  # only a line at fault pays for it

    by_key: dict[str, str] = {}
    for candidate in candidates:
        by_key.setdefault(candidate.casefold(), candidate)
    wanted = text.casefold()
    matches = get_close_matches(wanted, list(by_key), n=limit, cutoff=0.72)
    matches += [key for key in by_key if key.startswith(wanted + " ") and key not in matches]
    return tuple(by_key[match] for match in matches[:limit])
