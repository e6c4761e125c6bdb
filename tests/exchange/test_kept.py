"""The exports that are kept are what is exported, and the schema that is published is what the shapes tell."""

import json

import jsonschema
import pytest

from rxlint.exchange.schema import FILE, schema_of_documents, text_of_schema
from tests.exchange.kept import JSON, KEPT, kept

VALIDATOR = jsonschema.Draft202012Validator(schema_of_documents())


def test_kept_exports_are_fresh() -> None:
    made = dict(kept())
    assert {path.name for path in KEPT.iterdir()} == {path.name for path in made}
    stale = [path.name for path, text in made.items() if path.read_text("utf-8") != text]
    assert stale == [], "run python -m tests.exchange --write and look at the difference"


def test_the_schema_is_fresh_and_a_schema() -> None:
    assert FILE.read_text("utf-8") == text_of_schema()
    jsonschema.Draft202012Validator.check_schema(schema_of_documents())


@pytest.mark.parametrize("name", [path.rpartition("/")[2].removesuffix(".vrx") for path in JSON])
def test_kept_json_is_valid(name: str) -> None:
    VALIDATOR.validate(json.loads((KEPT / f"{name}.json").read_text("utf-8")))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('"unit": "cmH2O"', '"unit": "cmh2o"'),
        ('{"number": "5", "unit": "cmH2O"}', '{"number": 5, "unit": "cmH2O"}'),
        ('"above": "ambient"', '"above": "atmosphere"'),
        ('"section": "alarms"', '"section": "alarm"'),
        ('"term": "rate",', '"term": "rate", "note": "x",'),
        ('"kind": "exact"', '"kind": "about"'),
    ],
)
def test_the_schema_sees_what_is_no_document(old: str, new: str) -> None:
    text = (KEPT / "TM-0417-tracheostomy-night.json").read_text("utf-8")
    assert old in text
    assert not VALIDATOR.is_valid(json.loads(text.replace(old, new, 1)))
