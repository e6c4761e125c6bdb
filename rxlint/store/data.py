"""A YAML text of the project's own as plain data, kept between runs as JSON."""

from __future__ import annotations

import json
from typing import Any

from rxlint.store.kept import keep, key_of, read_kept


def read_yaml(name: str, text: str) -> Any:
    """The data of a text that the project itself holds; as it was kept under ``name``, or read anew.

    Raises ruamel's own errors for a text that is no YAML.
    """
    key = key_of("yaml 1", text)
    kept = read_kept(name, key)
    if kept is not None:
        try:
            return json.loads(kept)
        except (ValueError, RecursionError):
            pass
    from ruamel.yaml import YAML

    data = YAML(typ="safe").load(text)
    try:
        shown = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    except (TypeError, ValueError):  # dates and the like: read anew each time
        return data
    if json.loads(shown) == data:  # a key that is a number would come back as text
        keep(name, key, shown)
    return data
