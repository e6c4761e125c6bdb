"""A desk: files come and go, findings follow the text, and every question of the page gets its answer."""

import json
from pathlib import Path

import pytest

from tests.page.desks import RULES, SLIP, SOUND, Page, applied, text_of

RULE = "pressure.supported-breaths-differ"
ORDER = 'prescription "p"\n  id  {id}\n  revision  1\n  status  active\nsettings\n  PEEP  {peep} cmH2O\n'


@pytest.fixture(scope="module")
def examples(tmp_path_factory: pytest.TempPathFactory) -> Page:
    """A desk with some examples, of which no test changes a file."""
    page = Page(tmp_path_factory.mktemp("desk"))
    page.take(*RULES, SLIP, SOUND, "story/orders/TM-2001-revision-1.vrx", "story/orders/TM-2001-revision-2.vrx")
    return page


@pytest.fixture
def page(tmp_path: Path) -> Page:
    return Page(tmp_path)


def line_of(text: str, begins: str) -> int:
    return next(number for number, line in enumerate(text.split("\n"), 1) if line.strip().startswith(begins))


# ---- while a text is written


def test_a_finding_stands_at_its_line_with_all_that_is_known_of_it(examples: Page) -> None:
    look = examples.ask("look", path=SLIP)
    (card,) = look["findings"]
    assert (card["at"]["line"], card["rule"], card["level"], card["settled"]) == (
        line_of(text_of(SLIP), "pressure support"), RULE, "query", False,
    )  # fmt: skip
    assert card["title"] == "Supported and mandatory breaths reach different pressures"
    assert card["message"] == "supported breaths reach 19 cmH2O, mandatory breaths 17 cmH2O"
    assert card["calculation"][0].startswith("supported peak = PEEP + pressure support = 7 cmH2O + 12 cmH2O")
    assert [each["message"] for each in card["related"]] == [
        "inspiratory pressure is stated here", "PEEP is stated here",
    ]  # fmt: skip
    assert {each["path"] for each in card["related"]} == {SLIP}
    assert card["because"].startswith("When PEEP is changed alone")
    assert card["source"] == "common practice, no published source"
    assert look["kind"] == "document"
    assert look["counts"] == {"reject": 0, "query": 1, "note": 0, "settled": 0}
    assert look["checks"]["state"] == "screened"
    assert look["checks"]["made"] > 100
    assert "no finding is no approval" in look["checks"]["told"]
    assert look["policies"] == ["Policies: tarnmoor-policy revision 5."]
    assert look["seconds"] > 0


def test_each_correction_of_a_card_settles_its_finding(page: Page) -> None:
    page.take(*RULES, SLIP)
    (card,) = page.ask("look", path=SLIP)["findings"]
    assert card["correction_label"] == "Each of these alone would restore it"
    assert len(card["corrections"]) == 2
    for correction in card["corrections"]:
        changed = applied(text_of(SLIP), correction["edits"])
        assert changed != text_of(SLIP)
        assert page.ask("put", path=SLIP, text=changed) == {"paths": [SLIP]}
        assert page.rules(SLIP) == []


def test_a_card_keeps_its_key_while_its_line_is_written(page: Page) -> None:
    page.take(*RULES, SLIP)
    (before,) = page.ask("look", path=SLIP)["findings"]
    page.ask(
        "put", path=SLIP, text="# a line more\n" + text_of(SLIP).replace("12 cmH2O above PEEP", "13 cmH2O above PEEP")
    )
    after = [each for each in page.ask("look", path=SLIP)["findings"] if each["rule"] == RULE]
    assert [each["key"] for each in after] == [before["key"]]
    assert after[0]["at"]["line"] == before["at"]["line"] + 1


def test_findings_of_one_rule_at_one_term_have_keys_of_their_own(page: Page) -> None:
    page.bring([("a.vrx", b'prescription "p"\n  id A\nsettings\n  PEEEP 5 cmH2O\n  PEEEP 6 cmH2O\n  PEEEP 7 cmH2O\n')])
    found = page.ask("look", path="a.vrx")["findings"]
    assert len({each["key"] for each in found}) == len(found) >= 3


def test_a_text_that_is_no_document_is_told_as_such(page: Page) -> None:
    page.ask("put", path="a.vrx", text="")
    look = page.ask("look", path="a.vrx")
    (card,) = look["findings"]
    assert (card["title"], card["message"]) == ("can't be read", "the file is empty: it holds no document")
    assert "rule" not in card
    assert look["checks"]["state"] == "unread"
    assert look["checks"]["told"].startswith("not screened")


def test_colours_cover_what_is_written(examples: Page) -> None:
    lines = text_of(SLIP).split("\n")
    told = [
        (lines[each["line"] - 1][each["column"] - 1 : each["end_column"] - 1], each["kind"])
        for each in examples.ask("colours", path=SLIP)["tokens"]
    ]
    assert ("pressure support", "term") in told
    assert ("settings", "section") in told
    assert ("12", "number") in told
    assert ("cmH2O", "unit") in told
    assert examples.ask("colours", path="rxlint.yaml") == {"tokens": []}


def test_completion_and_hover_are_those_of_the_editor(examples: Page) -> None:
    line = line_of(text_of(SLIP), "pressure support")
    offers = examples.ask("offers", path=SLIP, line=line, column=4)["offers"]
    assert offers[0]["label"] == offers[0]["text"] == "pressure support"
    assert offers[0]["at"] == {"line": line, "column": 3, "end_line": line, "end_column": 19}
    told = examples.ask("hover", path=SLIP, line=line, column=4)
    assert told["markdown"].startswith("**pressure support** (settings): pressure of supported breaths above PEEP")
    assert told["at"]["column"] == 3
    assert examples.ask("hover", path=SLIP, line=1, column=500) is None


def test_completion_and_hover_know_files_of_rules(page: Page) -> None:
    page.ask("put", path="rxlint.yaml", text="policies: []\n\n")
    assert "profiles:" in [each["text"] for each in page.ask("offers", path="rxlint.yaml", line=2, column=1)["offers"]]
    assert page.ask("hover", path="rxlint.yaml", line=1, column=2)["markdown"]


def test_changes_leave_out_what_a_card_corrects(examples: Page) -> None:
    line = line_of(text_of(SLIP), "pressure support")
    (card,) = examples.ask("look", path=SLIP)["findings"]
    found = examples.ask("changes", path=SLIP, line=line, end_line=line)["changes"]
    assert [each["title"] for each in found if RULE in each["title"]] == [
        f"add a line that would accept {RULE}, its reason and role left blank"
    ]
    corrections = [each["edits"] for each in card["corrections"]]
    assert [each for each in found if each["edits"] in corrections] == []


def test_tidying_changes_white_space_alone(page: Page) -> None:
    untidy = ORDER.format(id="A", peep=5).replace("  PEEP  5", "    PEEP    5")
    page.ask("put", path="a.vrx", text=untidy)
    edits = page.ask("tidy", path="a.vrx")["edits"]
    tidied = applied(untidy, edits)
    assert tidied != untidy
    assert tidied.split() == untidy.split()
    page.ask("put", path="a.vrx", text=tidied)
    assert page.ask("tidy", path="a.vrx") == {"edits": []}


# ---- views


def test_coverage_tells_what_could_not_be_checked(examples: Page) -> None:
    table = examples.ask("coverage", path=SLIP)
    checks = examples.ask("look", path=SLIP)["checks"]
    assert table["counts"]["not checked"] == checks["wanting"] == len(table["unmade"]) > 0
    assert all(each["lacks"] or each["reasons"] for each in table["unmade"])
    assert all(each["title"] != each["rule"] for each in table["unmade"])


def test_the_sheet_is_a_page_of_its_own(examples: Page) -> None:
    html = examples.ask("sheet", path=SLIP)["html"]
    assert html.startswith("<!doctype html>")
    assert "supported breaths reach" in html
    with_list = examples.ask("sheet", path=SLIP, ventilator="Holm", before="")["html"]
    assert "Holm" in with_list
    assert "no profile" in examples.fault("sheet", path=SLIP, ventilator="Nobody's", before="")


def test_a_sheet_tells_what_changed_since_an_earlier_revision(examples: Page) -> None:
    one, two = (f"story/orders/TM-2001-revision-{each}.vrx" for each in (1, 2))
    alone = examples.ask("sheet", path=two)["html"]
    beside = examples.ask("sheet", path=two, before=one, ventilator="")["html"]
    assert one in beside
    assert one not in alone


def test_a_set_up_list_is_that_of_the_command_line(examples: Page) -> None:
    assert examples.ask("ventilators", path=SOUND) == {"names": ["Fell", "Holm"], "named": ""}
    found = examples.ask("setup", path=SOUND, ventilator="Holm", period="")
    made = json.loads(found["json"])
    assert (made["schema"], made["path"], made["ventilator"]["name"]) == ("rxlint-setup-list-1", SOUND, "Holm")
    assert found["text"].startswith("Set-up list: ")
    assert "not a medical device" in found["text"]
    assert examples.fault("setup", path=SOUND) == "the order names no ventilator: choose one"
    assert "there is no period noon" in examples.fault("setup", path=SOUND, ventilator="Holm", period="noon")


def test_the_ventilator_that_an_order_names_is_known(page: Page) -> None:
    page.take(*RULES, SOUND)
    text = text_of(SOUND).replace("\ncircuit\n", '\ncircuit\n  ventilator "holm"\n')
    assert text != text_of(SOUND)
    page.ask("put", path=SOUND, text=text)
    assert page.ask("ventilators", path=SOUND)["named"] == "Holm"
    assert json.loads(page.ask("setup", path=SOUND)["json"])["ventilator"]["name"] == "Holm"


def test_two_revisions_are_compared(examples: Page) -> None:
    one, two = (f"story/orders/TM-2001-revision-{each}.vrx" for each in (1, 2))
    found = examples.ask("compare", old=one, new=two)
    (entry,) = json.loads(found["json"])["documents"]
    assert (entry["old_path"], entry["path"], entry["status"]) == (one, two, "compared")
    assert entry["changes"]
    assert [each["rule"] for each in found["findings"]] == [each["rule"] for each in entry["findings"]]
    assert [each["at"]["line"] for each in found["findings"]] == [each["line"] for each in entry["findings"]]
    assert two in found["markdown"]


def test_the_finding_of_a_change_stands_in_the_new_text(page: Page) -> None:
    page.take(*RULES, SLIP)
    page.ask("put", path="old.vrx", text=text_of(SLIP).replace("PEEP                  7", "PEEP                  5"))
    found = page.ask("compare", old="old.vrx", new=SLIP)["findings"]
    lines = text_of(SLIP).split("\n")
    assert found
    for card in found:
        assert 0 < card["at"]["line"] <= len(lines)
        assert card["because"]
        assert all(each["path"] == SLIP for each in card["related"])


def test_values_are_told_as_the_command_tells_them(examples: Page) -> None:
    text = examples.ask("values", path=SLIP)["text"]
    assert text.startswith(f"{SLIP}\n")
    assert "supported peak: 19 cmH2O\n" in text


def test_a_rule_has_a_page(examples: Page) -> None:
    markdown = examples.ask("rule", rule=RULE)["markdown"]
    assert markdown.startswith(f"**{RULE}**: Supported and mandatory breaths reach different pressures")
    own = next(each["rule"] for each in rules_of_policy(examples))
    assert "set by" in examples.ask("rule", rule=own)["markdown"]
    assert examples.fault("rule", rule="no.such-rule") == "there is no rule no.such-rule"


def rules_of_policy(page: Page) -> list[dict[str, str]]:
    report = json.loads(page.ask("report", format="json")["text"])
    return [{"rule": each["id"]} for each in report["rules"] if any(o["sets"] == "rule" for o in each["policy"])]


def test_about_tells_what_runs(examples: Page) -> None:
    about = examples.ask("about")
    assert about["rules"] > 300
    assert about["packs"] > 20
    assert "not a medical device" in about["caution"]
    assert about["version"]


# ---- files


def test_what_is_typed_is_what_reports_read(page: Page) -> None:
    page.bring([("a.vrx", ORDER.format(id="A", peep=5).encode())])
    page.ask("put", path="a.vrx", text=ORDER.format(id="B", peep=5))
    (entry,) = json.loads(page.ask("report", format="json")["text"])["documents"]
    assert (entry["path"], entry["id"]) == ("a.vrx", "B")
    page.ask("put", path="a.vrx", text=ORDER.format(id="C", peep=5))
    assert "baseline: 5 cmH2O" in page.ask("values", path="a.vrx")["text"]
    assert b"id  C" in (page.folder / "a.vrx").read_bytes()


def test_a_put_that_changes_nothing_affects_nothing(page: Page) -> None:
    page.ask("put", path="a.vrx", text="x")
    assert page.ask("put", path="a.vrx", text="x") == {"paths": []}


def test_an_identifier_that_comes_twice_is_found_in_the_other_document_too(page: Page) -> None:
    page.bring([(f"{each}.vrx", ORDER.format(id=each, peep=5).encode()) for each in ("a", "b")])
    before = page.rules("b.vrx")
    assert page.ask("put", path="a.vrx", text=ORDER.format(id="b", peep=5)) == {"paths": ["a.vrx", "b.vrx"]}
    assert set(page.rules("b.vrx")) - set(before) == {"library.repeated-id"}
    assert page.ask("remove", paths=["a.vrx"]) == {"paths": ["b.vrx"]}
    assert page.rules("b.vrx") == before


def test_a_policy_that_is_taken_later_changes_findings(page: Page) -> None:
    page.take(SLIP)
    assert page.ask("look", path=SLIP)["policies"] == []
    taken = page.take("rxlint.yaml", *RULES[2:])
    assert taken["affected"] == [*sorted(RULES[2:]), "rxlint.yaml", SLIP]
    look = page.ask("look", path=SLIP)
    assert look["checks"]["state"] == "not screened"
    assert look["findings"][0]["title"] == "not screened"
    assert "tarnmoor-policy.yaml" in look["findings"][0]["message"]
    assert page.take("tarnmoor-policy.yaml")["affected"] == sorted([*RULES, SLIP])
    look = page.ask("look", path=SLIP)
    assert look["policies"] == ["Policies: tarnmoor-policy revision 5."]
    assert [each["rule"] for each in look["findings"]] == [RULE]
    assert page.ask("remove", paths=["rxlint.yaml"]) == {"paths": sorted([*RULES[1:], SLIP])}
    assert page.ask("look", path=SLIP)["policies"] == []


def test_a_policy_holds_as_it_is_written(page: Page) -> None:
    page.take(*RULES, SLIP)
    text = text_of("tarnmoor-policy.yaml")
    affected = page.ask("put", path="tarnmoor-policy.yaml", text=text + "\n  - not\n a: policy: at all\n")
    assert affected == {"paths": sorted([*RULES, SLIP])}
    assert page.ask("look", path=SLIP)["checks"]["state"] == "not screened"
    look = page.ask("look", path="tarnmoor-policy.yaml")
    assert (look["kind"], look["checks"]["state"]) == ("rules", "rules")
    assert look["counts"]["reject"] > 0
    assert "can't be used as it stands" in look["checks"]["told"]
    page.ask("put", path="tarnmoor-policy.yaml", text=text)
    assert page.ask("look", path="tarnmoor-policy.yaml")["findings"] == []
    assert page.rules(SLIP) == [RULE]


def test_settings_tell_what_a_file_lacks_that_they_name(page: Page) -> None:
    page.take("rxlint.yaml")
    look = page.ask("look", path="rxlint.yaml")
    assert look["findings"]
    assert look["findings"][0]["title"] == "can't be used"
    page.take(*RULES[1:])
    assert page.ask("look", path="rxlint.yaml")["findings"] == []


def test_rules_that_hold_for_nothing_are_told_and_settings_for_them_made(page: Page) -> None:
    page.take("tarnmoor-policy.yaml", "profiles/holm.yaml", SLIP)
    assert "No rxlint.yaml names it" in page.ask("look", path="tarnmoor-policy.yaml")["checks"]["told"]
    made = page.ask("settings")
    assert made["adds"] == ["profiles/holm.yaml", "tarnmoor-policy.yaml"]
    assert page.ask("put", path=made["path"], text=made["text"])["paths"] == [
        "profiles/holm.yaml", "rxlint.yaml", SLIP, "tarnmoor-policy.yaml",
    ]  # fmt: skip
    assert page.ask("look", path=made["path"])["findings"] == []
    assert page.ask("look", path=SLIP)["policies"] == ["Policies: tarnmoor-policy revision 5."]
    assert "No rxlint.yaml" not in page.ask("look", path="tarnmoor-policy.yaml")["checks"]["told"]
    assert page.ask("settings") == {"path": "rxlint.yaml", "text": "", "adds": []}
    page.take("policies/ward.yaml")
    assert page.ask("settings") == {"path": "rxlint.yaml", "text": "", "adds": ["policies/ward.yaml"]}


def test_a_file_is_renamed_with_what_was_typed(page: Page) -> None:
    page.bring([("a.vrx", ORDER.format(id="A", peep=5).encode()), ("b.vrx", ORDER.format(id="B", peep=5).encode())])
    page.ask("put", path="a.vrx", text=ORDER.format(id="C", peep=5))
    assert "already" in page.fault("rename", path="a.vrx", to="b.vrx")
    assert "c/d.vrx" in page.ask("rename", path="a.vrx", to="c/d.vrx")["paths"]
    assert (page.folder / "c/d.vrx").read_text("utf-8") == ORDER.format(id="C", peep=5)
    assert not (page.folder / "a.vrx").exists()
    assert page.fault("look", path="a.vrx") == "there is no file a.vrx"
    assert page.ask("look", path="c/d.vrx")["checks"]["state"] == "screened"
    page.ask("remove", paths=["c/d.vrx"])
    assert not (page.folder / "c").exists()


def test_nothing_is_removed_where_one_name_is_none(page: Page) -> None:
    page.ask("put", path="a.vrx", text="x")
    assert page.fault("remove", paths=["a.vrx", "b.vrx"]) == "there is no file b.vrx"
    assert page.ask("look", path="a.vrx")["kind"] == "document"


@pytest.mark.parametrize(
    ("path", "why"),
    [
        ("../a.vrx", "leads out of the folder"),
        ("a/../../b.vrx", "leads out of the folder"),
        ("/etc/a.vrx", "does not lie in the folder"),
        ("C:/a.vrx", "does not lie in the folder"),
        ("a\\b.vrx", "a character that none may have"),
        ("a\0.vrx", "a character that none may have"),
        ("a\nb.vrx", "a character that none may have"),
        ("a\ud800.vrx", "a character that none may have"),
        ("a/.git/config", "a repository's own records"),
        ("", "an empty name"),
        ("./", "an empty name"),
        ("x" * 300 + ".vrx", "can't be kept"),
        ("x/" * 600 + ".vrx", "longer than the name of a file may be"),
    ],
)
def test_a_name_that_no_file_may_have_is_refused(page: Page, path: str, why: str) -> None:
    taken = page.ask("take", files=[{"path": path, "base64": ""}, {"path": "b.vrx", "base64": ""}])
    assert why in taken["files"][0]["unreadable"]
    assert taken["files"][1] == {"path": "b.vrx", "kind": "document", "text": ""}
    assert why in page.fault("put", path=path, text="")
    assert why in page.fault("rename", path="b.vrx", to=path)
    assert [each.name for each in page.folder.rglob("*") if each.is_file()] == ["b.vrx"]
    assert page.ask("look", path="b.vrx")["kind"] == "document"


def test_a_name_is_known_by_its_parts(page: Page) -> None:
    (file,) = page.bring([("a//./b.vrx", b"x")])["files"]
    assert file["path"] == "a/b.vrx"
    assert (page.folder / "a/b.vrx").read_bytes() == b"x"


def test_a_file_that_stands_where_a_folder_would_is_told(page: Page) -> None:
    files = page.bring([("a", b"x"), ("a/b.vrx", b"y")])["files"]
    assert files[0] == {"path": "a", "kind": "other", "text": "x"}
    assert "can't be kept" in files[1]["unreadable"]


def test_a_file_that_is_no_utf8_is_told_at_its_place_and_keeps_its_bytes(page: Page) -> None:
    data = b'prescription "p"\n  id A\xff\n'
    (file,) = page.bring([("a.vrx", data)])["files"]
    assert file["unreadable"].startswith("line 2, column 7: the file is not UTF-8 text: byte 0xff can't be read")
    assert "text" not in file
    look = page.ask("look", path="a.vrx")
    assert look["checks"]["state"] == "unread"
    assert (look["findings"][0]["at"]["line"], look["findings"][0]["at"]["column"]) == (2, 7)
    assert look["counts"]["reject"] == 1
    for name in ("coverage", "ventilators", "setup"):
        assert "not UTF-8 text" in page.fault(name, path="a.vrx")
    assert "not UTF-8 text" in page.ask("sheet", path="a.vrx")["html"]
    assert "not UTF-8 text" in page.ask("values", path="a.vrx")["text"]
    assert page.ask("colours", path="a.vrx") == {"tokens": []}
    assert page.ask("hover", path="a.vrx", line=1, column=1) is None
    (entry,) = json.loads(page.ask("report", format="json")["text"])["documents"]
    assert (entry["problems"][0]["line"], entry["problems"][0]["column"]) == (2, 7)
    assert (page.folder / "a.vrx").read_bytes() == data


def test_a_file_that_was_unreadable_may_come_again(page: Page) -> None:
    page.bring([("a.vrx", b"\xff")])
    page.bring([("a.vrx", ORDER.format(id="A", peep=5).encode())])
    assert page.ask("look", path="a.vrx")["checks"]["state"] == "screened"
    page.bring([("a.vrx", b"\xff")])
    assert page.ask("look", path="a.vrx")["checks"]["state"] == "unread"
    page.ask("put", path="a.vrx", text=ORDER.format(id="A", peep=5))
    assert page.ask("look", path="a.vrx")["checks"]["state"] == "screened"


def test_bytes_stay_as_they_are(page: Page) -> None:
    files = {"a.vrx": b"\xef\xbb\xbfprescription\r\n", "b.bin": bytes(range(256)), "c.yaml": b"a: 1\r\n"}
    taken = page.bring(files.items())["files"]
    assert {each: (page.folder / each).read_bytes() for each in files} == files
    assert taken[0]["text"] == "\ufeffprescription\r\n"
    assert "unreadable" in taken[1]
    assert taken[2] == {"path": "c.yaml", "kind": "rules", "text": "a: 1\r\n"}


def test_content_that_did_not_arrive_whole_is_told(page: Page) -> None:
    taken = page.ask("take", files=[{"path": "a.vrx", "base64": "%%%"}])
    assert taken["files"] == [
        {"path": "a.vrx", "kind": "document", "unreadable": "did not arrive whole: its content is not in base 64"}
    ]


def test_half_a_character_is_kept_and_told(page: Page) -> None:
    page.ask("put", path="a.vrx", text='prescription "p"\n  id \ud800\n')
    assert page.ask("look", path="a.vrx")["checks"]["state"] == "unread"
    (entry,) = json.loads(page.ask("report", format="json")["text"])["documents"]
    assert entry["problems"][0]["line"] == 2


def test_what_is_no_document_has_no_views(page: Page) -> None:
    page.bring([("a.txt", b"x")])
    for name in ("coverage", "sheet", "ventilators", "setup", "values"):
        assert page.fault(name, path="a.txt") == "a.txt is no document: the names of documents end in .vrx"
    look = page.ask("look", path="a.txt")
    assert (look["kind"], look["checks"]["state"], look["findings"]) == ("other", "no document", [])


def test_dates_are_judged_on_the_day_that_is_set(page: Page) -> None:
    page.take(*RULES, SOUND)
    assert page.rules(SOUND) == []
    assert page.ask("day", day="2028-01-01") == {"paths": [SOUND]}
    assert page.rules(SOUND) != []
    assert '"on":"2028-01-01"' in page.ask("report", format="json")["text"].replace(" ", "")
    assert page.fault("day", day="20280101") == "20280101 is not a date such as 2026-11-24"


def test_many_documents_are_looked_at_again_and_again(page: Page) -> None:
    names = [f"{number}.vrx" for number in range(40)]
    page.bring((each, ORDER.format(id=each, peep=5).encode()) for each in names)
    first = {each: page.ask("look", path=each)["findings"] for each in names}
    assert {each: page.ask("look", path=each)["findings"] for each in names} == first
