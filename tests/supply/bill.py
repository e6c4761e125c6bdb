"""A bill of materials (CycloneDX, as JSON) held against what rxlint brings."""

import json
from pathlib import Path

from packaging.utils import canonicalize_name


def missing_from(bill: Path, names: frozenset[str]) -> frozenset[str]:
    """The names that the bill has no component for, with a version. Raises ValueError where it is no such bill."""
    read = json.loads(bill.read_text("utf-8"))
    if read.get("bomFormat") != "CycloneDX":
        raise ValueError(f"{bill} is no bill of materials in the form of CycloneDX")
    return names - {canonicalize_name(each["name"]) for each in read["components"] if each.get("version")}
