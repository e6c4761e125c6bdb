"""What a team might write instead: load each YAML file with the C loader and hold it against a JSON Schema.

`python peer.py FOLDER [KIND]` prints one JSON object for each document and a last one with the counts; it exits 1 where
there are errors. `python peer.py --schema [KIND]` prints the schema, for a tool that takes one. KIND is that of the
library; in one of templates, values may be ranges and tables.

Some forty constraints: required facts, words, and a range for each number. A schema can't do arithmetic, so it can't
see what contradicts itself. The ranges are plausibility only, made up for this benchmark.
"""

import json
import sys
from pathlib import Path
from typing import Any

import yaml
from jsonschema import Draft202012Validator

Limits = dict[str, tuple[float, float]]

PRESSURES: Limits = {
    "peep_cmh2o": (0, 40),
    "epap_cmh2o": (0, 40),
    "ipap_cmh2o": (1, 80),
    "inspiratory_pressure_cmh2o": (1, 80),
    "pressure_support_cmh2o": (0, 60),
}
TIMES: Limits = {
    "rate_per_min": (1, 150),
    "back_up_rate_per_min": (1, 100),
    "inspiratory_time_s": (0.1, 10),
    "maximum_inspiratory_time_s": (0.1, 10),
    "rise_time_ms": (0, 3000),
}
OTHER_SETTINGS: Limits = {"tidal_volume_ml": (1, 2500), "cycle_off_percent": (0, 95), "fio2_percent": (21, 100)}
SETTINGS = PRESSURES | TIMES | OTHER_SETTINGS

# Lowest and highest that is let through, by section and key.
RANGES: dict[str, Limits] = {
    "patient": {"height_cm": (20, 240), "weight_kg": (0.3, 350), "hours_ventilated_h_per_day": (0, 24)},
    "airway": {"tube_size_mm": (2, 12)},
    "circuit": {"leak_port_flow_l_per_min": (1, 100), "humidifier_temperature_degc": (15, 60)},
    "settings": SETTINGS,
    "settings_night": SETTINGS,
    "back_up": PRESSURES | TIMES,
    "oxygen": {"flow_l_per_min": (0, 60)},
    "alarms": {
        "disconnection_s": (0, 300),
        "apnoea_s": (1, 120),
        "low_inspiratory_pressure_cmh2o": (0, 80),
        "high_inspiratory_pressure_cmh2o": (1, 120),
        "low_minute_volume_l_per_min": (0.01, 60),
        "high_minute_volume_l_per_min": (0.05, 100),
        "high_rate_per_min": (1, 200),
        "low_spo2_percent": (50, 100),
        "high_spo2_percent": (50, 100),
    },
}
# These are written as {value: 17, note: above ambient}.
NOTED = {
    "weight_kg",
    "leak_port_flow_l_per_min",
    "inspiratory_pressure_cmh2o",
    "pressure_support_cmh2o",
    "flow_l_per_min",
}
MODES = {"mode": ["SIMV-PC with PS", "S/T-PS", "A/C-VC", "A/C-PC", "CSV-PS"]}
WORDS: dict[str, dict[str, list[str]]] = {
    "patient": {"sex": ["female", "male"]},
    "circuit": {
        "limb": ["single with leak port", "single with exhalation valve", "dual"],
        "humidification": ["HME", "heated humidifier", "none"],
    },
    "settings": MODES,
    "settings_night": MODES,
}
READINGS: Limits = {"heart_rate_per_min": (10, 300), "spo2_percent": (30, 100), "etco2_kpa": (0.5, 20)}
TEMPLATES = "templates"
REQUIRED = {
    "patient": ["age", "sex", "weight_kg"],
    "airway": ["interface"],
    "circuit": ["limb", "assembly"],
    "alarms": ["disconnection_s", "apnoea_s", "low_spo2_percent"],
}


Schema = dict[str, Any]


def value_schema(key: str, low: float, high: float, ranged: bool) -> Schema:
    number: Schema = {"type": "number", "minimum": low, "maximum": high}
    noted = {"type": "object", "required": ["value", "note"], "properties": {"value": number}}
    if not ranged:
        return noted if key in NOTED else number
    ends: Schema = {"type": "array", "items": number, "minItems": 1, "maxItems": 2}
    row = {"type": "object", "required": ["when", "value"], "properties": {"value": ends}}
    rows = {"type": "array", "items": row, "minItems": 1}
    table = {"type": "object", "required": ["by", "rows"], "properties": {"by": {"type": "string"}, "rows": rows}}
    return {"anyOf": [number, ends, table]}


def section_schema(name: str, ranged: bool) -> Schema:
    ranges = {key: value_schema(key, low, high, ranged) for key, (low, high) in RANGES[name].items()}
    words = {} if ranged else {key: {"enum": choice} for key, choice in WORDS.get(name, {}).items()}
    required = [] if ranged else REQUIRED.get(name, [])
    return {"type": "object", "required": required, "properties": ranges | words}


def readings_schema() -> Schema:
    ranges = {key: value_schema(key, low, high, ranged=False) for key, (low, high) in READINGS.items()}
    return {"type": "array", "items": {"type": "object", "required": ["moment"], "properties": ranges}}


def document_schema(ranged: bool) -> Schema:
    own = {"status": {"enum": ["draft", "active", "withdrawn"]}, "revision": {"type": "integer", "minimum": 1}}
    title = "template" if ranged else "title"
    sections = {name: section_schema(name, ranged) for name in RANGES}
    return {
        "type": "object",
        "required": [title, "id", "revision", "status", "written", "patient", "airway", "circuit", "alarms"],
        "properties": own | sections | {"readings": readings_schema()},
    }


def schema(kind: str) -> Schema:
    """What documents of a library of this kind are held against."""
    order = document_schema(ranged=False)
    if kind != TEMPLATES:
        return order
    return {"if": {"required": ["template"]}, "then": document_schema(ranged=True), "else": order}


def main() -> int:
    first, *rest = sys.argv[1:]
    kind = rest[0] if rest else ""
    if first == "--schema":
        print(json.dumps(schema(kind), indent=2))
        return 0
    validator = Draft202012Validator(schema(kind))
    documents = errors = 0
    for path in sorted(Path(first).rglob("*.yaml")):
        with path.open("rb") as file:
            document = yaml.load(file, Loader=yaml.CSafeLoader)
        found = [f"{'.'.join(map(str, error.path))}: {error.message}" for error in validator.iter_errors(document)]
        documents, errors = documents + 1, errors + len(found)
        print(json.dumps({"path": str(path), "errors": found}))
    print(json.dumps({"documents": documents, "errors": errors}))
    return 1 if errors else 0


if __name__ == "__main__":
    sys.exit(main())
