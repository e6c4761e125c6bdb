"""Requests in FHIR R5: valid by an independent reader, every statement told, no code that says another thing."""

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from rxlint.exchange.exporting import to_fhir
from rxlint.exchange.fhir import FhirExport, Options, export_fhir
from rxlint.exchange.fhir_parameters import SECTIONS
from rxlint.library.screen import parse_bytes, screen_bytes
from rxlint.notation import Document
from rxlint.notation import nodes as n
from rxlint.screening.ruleset import builtin_rules
from rxlint.text import Problem, printable
from rxlint.vocabulary import vocabulary
from tests.conftest import ROOT
from tests.documents import DAY, document

# The data types of FHIR R5 (hl7.org/fhir/R5/datatypes.html): a time without its zone is no dateTime.
DATE_TIME = re.compile(r"[0-9]{4}(-[0-9]{2}(-[0-9]{2}(T[0-9:.]+(Z|[+-][0-9:]{5}))?)?)?")
TIME = re.compile(r"([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9](\.[0-9]+)?")
STATUS = {"draft", "active", "on-hold", "revoked", "completed", "entered-in-error", "unknown"}
VALUES = {"valueQuantity", "valueRange", "valueBoolean", "valueCodeableConcept"}


def prescriptions() -> Iterator[tuple[str, Document]]:
    for path in sorted((ROOT / "examples").rglob("*.vrx")):
        found = parse_bytes(path.read_bytes())
        if not isinstance(found, Problem) and found.kind == "prescription":
            yield path.name, found


@cache
def all_of_them() -> dict[str, Document]:
    return dict(prescriptions())


@cache
def exports() -> dict[str, FhirExport]:
    return {name: export_fhir(each, Options()) for name, each in all_of_them().items()}


def bundle(found: FhirExport) -> Any:
    return json.loads(found.text)


def requests(found: FhirExport) -> list[Any]:
    return [entry["resource"] for entry in bundle(found)["entry"]]


def of(text: str, options: Options | None = None) -> list[Any]:
    return requests(export_fhir(document(text), options or Options()))


def parameters(request: Any) -> dict[str, Any]:
    return {each["code"]["text"]: each for each in request["parameter"]}


def walk(value: Any) -> Iterator[dict[str, Any]]:
    if isinstance(value, dict):
        yield value
    for each in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from walk(each)


def test_there_are_examples() -> None:
    assert len(all_of_them()) > 250


def test_an_independent_reader_takes_every_bundle() -> None:
    from fhir.resources.bundle import Bundle  # takes seconds, and is needed here alone

    for name, found in exports().items():
        read = Bundle.model_validate_json(found.text)
        assert read.type == "collection" and len(read.entry or ()) == found.requests, name
        if not name.startswith("TM-"):
            continue
        again = json.loads(read.model_dump_json())
        assert [each["resource"]["parameter"] for each in again["entry"]] == [
            each["parameter"] for each in requests(found)
        ], name


def test_every_part_is_what_fhir_says_it_is() -> None:
    codes: set[str] = set()
    for found in exports().values():
        whole = bundle(found)
        urls = [entry["fullUrl"] for entry in whole["entry"]]
        assert len(set(urls)) == len(urls) and all(url.startswith("urn:uuid:") for url in urls)
        for part in walk(whole):
            assert all(value not in ("", [], {}, None) for value in part.values()), part
            assert "extension" not in part and "modifierExtension" not in part
            if "value" in part and "code" in part:
                assert part["system"] == "http://unitsofmeasure.org"
                codes.add(part["code"])
        for request in requests(found):
            assert request["resourceType"] == "DeviceRequest" and request["status"] in STATUS
            assert {"intent", "code", "subject"} <= request.keys()
            if "authoredOn" in request:
                assert DATE_TIME.fullmatch(request["authoredOn"])
            repeat = request.get("occurrenceTiming", {}).get("repeat", {})
            assert all(TIME.fullmatch(each) for each in repeat.get("timeOfDay", ()))
            assert ("duration" in repeat) == ("durationUnit" in repeat) == ("timeOfDay" in repeat)
            assert all(len(VALUES & each.keys()) == 1 for each in request["parameter"])
            for each in request.get("instantiatesCanonical", ()):
                assert re.fullmatch(r"\S+\|[0-9]+", each)
    assert len(codes) > 8
    from ucumvert import PintUcumRegistry

    registry = PintUcumRegistry()
    for code in codes:
        registry.from_ucum(code)


def said(document: Document) -> dict[int, tuple[str, str]]:
    """Every line that states something, by its number: its section and what it says."""
    found: dict[int, tuple[str, str]] = {}
    section = ""
    for entry in document.entries:
        if entry.kind in ("document", "heading"):
            section = entry.heading.section if entry.heading is not None else ""
        if entry.kind in ("detail", "row", "unread"):
            found[entry.lines[0].number] = section, " ".join(entry.text.split())
    return found


@pytest.mark.parametrize("folder", ["sound", "slips", "story"])
def test_every_statement_is_told_somewhere(folder: str) -> None:
    """By the text of the export itself: a note has the line, a parameter its numbers under the name of its term."""
    names = {path.name for path in (ROOT / "examples" / folder).rglob("*.vrx")} & all_of_them().keys()
    assert names
    for name in names:
        found = exports()[name]
        lines = said(all_of_them()[name])
        assert lines.keys() <= found.parameters | found.elements | found.noted, name
        notes = " ".join(" ".join(each["text"].split()) for request in requests(found) for each in request["note"])
        told = [each for request in requests(found) for each in request.get("parameter", ())]
        rest = json.dumps([{**request, "note": [], "parameter": []} for request in requests(found)], ensure_ascii=False)
        for number, (section, line) in lines.items():
            if number in found.noted:
                assert printable(line) in notes, (name, line)
            elif number in found.parameters:
                assert section in SECTIONS
                assert numbers(line) <= numbers(json.dumps(told, ensure_ascii=False)), (name, line)
            else:
                words = value_of(line).replace("withdrawn", "revoked").replace("revision ", "").split()
                assert all(word.strip('",') in rest for word in words), (name, line)


def value_of(line: str) -> str:
    """What a line of the head or of the patient says of its term, without the role."""
    phrases = [phrase for section in ("head", "patient") for phrase in vocabulary().sections[section].terms]
    phrase = max((each for each in phrases if line.startswith(f"{each} ")), key=len)
    return line.removeprefix(phrase).split(' by "')[0]


def numbers(text: str) -> set[float]:
    return {float(each) for each in re.findall(r"(?<![A-Za-z0-9-])[0-9]+(?:\.[0-9]+)?(?![A-Za-z])", text)}


@pytest.mark.parametrize("name", sorted(path.name for path in (ROOT / "examples" / "sound").glob("*.vrx")))
def test_the_parameters_of_a_sound_order_are_its_settings(name: str) -> None:
    """Each setting and alarm of the order has its parameter in some request, with its own number and unit."""
    for block in all_of_them()[name].blocks:
        if block.section not in ("settings", "alarms"):
            continue
        for entry in block.details:
            statement = entry.statement
            assert statement is not None and statement.term is not None
            if not isinstance(statement.body, n.Measure) or statement.body.value.kind != "exact":
                continue
            part = statement.body.value.amounts[0].parts[0]
            if statement.body.value.amounts[0].ratio:
                continue
            values = [
                each["valueQuantity"]
                for request in requests(exports()[name])
                for each in request["parameter"]
                if each["code"]["text"].startswith(statement.term.key) and "valueQuantity" in each
            ]
            assert any(each["value"] == float(part.text) and each.get("unit") == part.unit for each in values), part


# ---- codes


def test_codes_are_those_of_the_vocabulary_and_no_others() -> None:
    known = {(each.uri, each.code) for term in vocabulary().terms.values() for each in term.codes}
    used = set()
    for found in exports().values():
        for request in requests(found):
            for each in request["parameter"]:
                used |= {(coding["system"], coding["code"]) for coding in each["code"].get("coding", ())}
    assert used <= known and len(used) >= 8


def test_a_code_of_the_vocabulary_is_well_formed_and_stands_once() -> None:
    codes = [each for key, term in vocabulary().terms.items() for each in term.codes if not key.startswith("fallback")]
    assert len({(each.uri, each.code) for each in codes}) == len(codes)
    for each in codes:
        if each.system == "LOINC":
            assert loinc_check_digit(each.code.split("-")[0]) == each.code.split("-")[1]
        else:
            assert each.display is not None and each.display.startswith("MDC_")


def loinc_check_digit(number: str) -> str:
    """The digit after a LOINC code's hyphen: Luhn, as LOINC's users' guide tells it."""
    doubled = "".join(str(int(digit) * (2 if at % 2 == 0 else 1)) for at, digit in enumerate(reversed(number)))
    return str(-sum(map(int, doubled)) % 10)


def test_settings_have_codes_of_settings_alone() -> None:
    """151976 is the PEEP that is applied, 151804 another, 152720 a measured pressure above PEEP: none is a setting."""
    codes = {each.code for term in vocabulary().terms.values() if term.kind == "value" for each in term.codes}
    assert not codes & {"151976", "151804", "151808", "152788", "152720", "76154-4", "151980", "151586"}
    numbers = {int(each) for each in codes if each.isdigit()}
    assert numbers and all(each > 2**24 for each in numbers)


ORDER = 'prescription "x"\n  id  TM-1\n  revision  2\n{head}\nsettings\n  {line}\n'


def one(line: str, head: str = "") -> dict[str, Any]:
    return parameters(of(ORDER.format(line=line, head=head))[0])


def coded(parameter: Any) -> set[str]:
    return {each["code"] for each in parameter["code"].get("coding", ())}


def test_a_pressure_says_above_what_it_is() -> None:
    above, absolute = "inspiratory pressure above PEEP", "inspiratory pressure above ambient"
    assert list(one("inspiratory pressure  12 cmH2O above PEEP")) == [above]
    assert list(one("inspiratory pressure  17 cmH2O above ambient")) == [absolute]
    support = one("pressure support  12 cmH2O")["pressure support above PEEP"]
    assert coded(support) == {"20079-0"}
    peep = one("PEEP  5 cmH2O")["PEEP above ambient"]
    assert coded(peep) == {"20077-4"}
    assert peep["valueQuantity"] == {"value": 5, "unit": "cmH2O", "system": UCUM_URI, "code": "cm[H2O]"}


UCUM_URI = "http://unitsofmeasure.org"


def test_decimals_stay_as_they_were_written() -> None:
    text = export_fhir(document(ORDER.format(line="inspiratory time  0.90 s", head="")), Options()).text
    assert '"value": 0.90' in text


@pytest.mark.parametrize(
    ("line", "name", "value"),
    [
        ("PEEP  5 to 8 cmH2O", "PEEP above ambient", {"low": 5, "high": 8}),
        ("PEEP  up to 8 cmH2O", "PEEP above ambient", {"high": 8}),
        ("PEEP  at least 5 cmH2O", "PEEP above ambient", {"low": 5}),
        ("rate  12 /min allow 10 to 16 /min", "rate: may be set without a new order", {"low": 10, "high": 16}),
    ],
)
def test_ranges(line: str, name: str, value: dict[str, int]) -> None:
    found = one(line)[name]["valueRange"]
    assert {end: each["value"] for end, each in found.items()} == value
    assert all("code" in each for each in found.values())


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("tidal volume  6 mL/kg of predicted weight", "tidal volume per kg of predicted weight"),
        (
            "maximum inspiratory pressure  automatic between 12 and 24 cmH2O above ambient",
            "maximum inspiratory pressure above ambient, moved by the ventilator itself",
        ),
        ("PEEP by FiO2\n    30 % to 40 %  5 cmH2O", "PEEP above ambient where FiO2 is 30 % to 40 %"),
        ("PEEP  5 cmH2O allow 4 to 6 cmH2O", "PEEP above ambient: may be set without a new order"),
        ("PEEP  5 cmH2O in steps of 1 cmH2O", "PEEP above ambient: in steps of"),
    ],
)
def test_what_a_code_does_not_say_has_none(line: str, name: str) -> None:
    assert coded(one(line)[name]) == set()


def test_what_is_no_quantity_is_told_in_words() -> None:
    words = {
        "I:E  1:2": "1:2",
        "PEEP  5 or 8 cmH2O": "5 cmH2O or 8 cmH2O",
        "trigger  flow, leak-compensated": "flow leak-compensated",
        "keep  PEEP <= 8 cmH2O": "PEEP <= 8 cmH2O",
    }
    for line, told in words.items():
        (found,) = one(line).values()
        assert found["valueCodeableConcept"]["text"] == told
    mode = one("mode  A/C-PC")["mode"]
    assert coded(mode) == {"20124-4", "184352"} and mode["valueCodeableConcept"] == {"text": "A/C-PC"}


def test_settings_of_a_back_up_are_not_taken_for_those_that_are_set() -> None:
    text = 'prescription "x"\nsettings\n  PEEP  5 cmH2O\nback-up after apnoea 20 s\n  PEEP  7 cmH2O\n'
    found = parameters(of(text)[0])
    assert found["back-up after apnoea"]["valueQuantity"]["value"] == 20
    assert coded(found["back-up after apnoea: PEEP above ambient"]) == set()
    assert found["PEEP above ambient"]["valueQuantity"]["value"] == 5


# ---- identity, status, time


@pytest.mark.parametrize(
    ("status", "expected"),
    [
        ("  status  active\n", ("active", "order")),
        ("  status  draft\n", ("draft", "proposal")),
        ("  status  withdrawn\n", ("revoked", "order")),
        ("", ("draft", "proposal")),
        ("  status  activ\n", ("draft", "proposal")),
    ],
)
def test_only_an_active_order_is_active(status: str, expected: tuple[str, str]) -> None:
    (found,) = of(ORDER.format(line="PEEP  5 cmH2O", head=status))
    assert (found["status"], found["intent"]) == expected
    assert of(ORDER.format(line="PEEP  5 cmH2O", head=status), Options(rejected=True))[0]["status"] == "draft"


def test_nothing_of_the_head_is_invented() -> None:
    head = """  follows   night support/2 revision 4
  replaces  TM-1 revision 1
  written   2026-11-02 09:30 by "consultant"
"""
    (found,) = of(ORDER.format(line="PEEP  5 cmH2O", head=head.replace("night support/2", "night/2|")))
    assert found["groupIdentifier"] == {"value": "TM-1 revision 2"}
    assert found["subject"] == {"display": "not told: the patient of order TM-1 revision 2"}
    assert found["instantiatesCanonical"] == ["night%2F2%7C|4"]
    assert found["replaces"] == [{"type": "DeviceRequest", "identifier": {"value": "TM-1 revision 1"}}]
    assert (found["authoredOn"], found["requester"]) == ("2026-11-02", {"display": "consultant"})
    assert any("written   2026-11-02 09:30" in each["text"] for each in found["note"]), "its time has no zone"
    (given,) = of(ORDER.format(line="PEEP  5 cmH2O", head=""), Options("pseudonym-7", "https://t.example/"))
    assert given["subject"] == {"type": "Patient", "identifier": {"value": "pseudonym-7"}}
    assert not {"authoredOn", "requester", "replaces", "instantiatesCanonical", "reason"} & given.keys()


PERIODS = """prescription "x"
  id  TM-1
  valid until  2027-01-31
settings
  PEEP  5 cmH2O
  rate  12 /min
settings night from 22:00 to 07:30
  PEEP  6 cmH2O
alarms night from 23:00 to 07:30
  apnoea  after 20 s
settings as needed up to 3 h/day
  rate  16 /min
settings naps from 12:00 to 13:00 and 16:00 to 18:00
  rate  10 /min
"""


def test_each_period_is_a_request_of_its_own_with_all_that_holds_in_it() -> None:
    always, night, needed, naps = of(PERIODS)
    assert always["occurrenceTiming"] == {"repeat": {"boundsPeriod": {"end": "2027-01-31"}}}
    assert "apnoea" not in str(always["parameter"])
    found = parameters(night)
    assert found["PEEP above ambient"]["valueQuantity"]["value"] == 6 and found["rate"]["valueQuantity"]["value"] == 12
    repeat = night["occurrenceTiming"]["repeat"]
    assert (repeat["timeOfDay"], repeat["duration"], repeat["durationUnit"]) == (["22:00:00"], 570, "min")
    assert any("alarms night from 23:00 to 07:30" in each["text"] for each in night["note"]), "other hours are told"
    assert needed["asNeeded"] is True
    assert needed["occurrenceTiming"]["code"]["text"] == "as needed up to 3 h/day"
    assert naps["occurrenceTiming"]["code"]["text"] == "naps from 12:00 to 13:00 and 16:00 to 18:00"
    assert "timeOfDay" not in naps["occurrenceTiming"]["repeat"], "windows of several lengths are told in words"
    assert [each["identifier"][0]["value"] for each in (always, night)] == ["TM-1", "TM-1, night"]


def test_what_is_stated_twice_is_no_parameter() -> None:
    text = 'prescription "x"\nsettings\n  PEEP  5 cmH2O\n  PEEP  8 cmH2O\n  rate  12 /min\n'
    (found,) = of(text)
    assert list(parameters(found)) == ["rate"]
    assert any("PEEP  5 cmH2O" in each["text"] and "PEEP  8 cmH2O" in each["text"] for each in found["note"])


HOSTILE = '**bold** <script>alert(1)</script> [x](javascript:0) \\" # end'


def test_hostile_text_stays_text() -> None:
    text = f'prescription "{HOSTILE}"\ncircuit\n  ventilator  "{HOSTILE}"\nsettings\n  rate 12 /min\nodd\n  \x1b[31m\n'
    (found,) = of(text)
    assert "\x1b" not in json.dumps(found, ensure_ascii=False)
    notes = [each["text"] for each in found["note"] if "<script" in each["text"]]
    assert notes and all(line.startswith("    ") for note in notes for line in note.split("\n"))


# ---- findings


def exported(text: str, **more: bool) -> Any:
    return to_fhir(screen_bytes("order.vrx", text.encode(), builtin_rules(), DAY), DAY, Options(), **more)


def test_what_is_to_be_rejected_is_exported_on_request_alone_and_then_as_a_draft() -> None:
    text = Path(ROOT / "examples" / "slips" / "decimal-comma-in-flow.vrx").read_text("utf-8")
    refused = exported(text)
    assert (refused.outcome, refused.text) == ("refused", "")
    assert any("[notation.decimal-comma]" in line for line in refused.told)
    given = exported(text, despite_findings=True)
    assert given.outcome == "incomplete"
    for entry in json.loads(given.text)["entry"]:
        request = entry["resource"]
        assert (request["status"], request["intent"]) == ("draft", "proposal")
        assert request["note"][0]["text"].startswith("NOT TO BE USED AS WRITTEN")
        assert any("[notation.decimal-comma]" in each["text"] for each in request["note"])
        assert any("flow          1,5 L/min" in each["text"] or "1,5 L/min" in each["text"] for each in request["note"])


def test_queries_that_stand_are_told() -> None:
    text = Path(ROOT / "examples" / "slips" / "peep-raised-alone.vrx").read_text("utf-8")
    given = exported(text)
    assert given.outcome == "exported"
    note = json.loads(given.text)["entry"][0]["resource"]["note"][1]["text"]
    assert "0 reject, 1 query" in note and "[pressure.supported-breaths-differ]" in note


@pytest.mark.parametrize(("slip", "outcome"), [("decimal-comma-in-flow", "refused"), ("peep-raised-alone", "exported")])
def test_a_finding_that_was_known_before_stands_all_the_same(slip: str, outcome: str) -> None:
    text = Path(ROOT / "examples" / "slips" / f"{slip}.vrx").read_text("utf-8")
    screened = screen_bytes("order.vrx", text.encode(), builtin_rules(), DAY)
    assert screened.screening is not None
    known = tuple(replace(each, known=True) for each in screened.screening.findings)
    screened = replace(screened, screening=replace(screened.screening, findings=known))
    given = to_fhir(screened, DAY, Options())
    assert given.outcome == outcome
    given = to_fhir(screened, DAY, Options(), despite_findings=True)
    request = json.loads(given.text)["entry"][0]["resource"]
    assert request["status"] == ("draft" if outcome == "refused" else "active")
    told = [each["text"] for each in request["note"] if "Screened by" in each["text"]]
    for each in (each for each in known if each.level != "note"):
        assert f"known {each.level}: " in told[0] and f"[{each.rule}]" in told[0]


def test_comments_are_counted_wherever_they_stand() -> None:
    lines = [
        "# above",
        'prescription "x"  # of a heading',
        "settings",
        "  PEEP 5 cmH2O  # of a line",
        "  rate 12  # unread",
    ]
    assert export_fhir(document("\n".join([*lines, "  # between", ""])), Options()).comments == 5


@pytest.mark.parametrize("text", ['template "x"\nsettings\n  PEEP 5 cmH2O\n', "readings\n  SpO2 94 %\n"])
def test_what_asks_for_no_device_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="one patient's device"):
        export_fhir(document(text), Options())
