"""Nothing comes in under a licence that nobody has looked at, or with a weakness that is known and mended."""

import json
from pathlib import Path

import pytest

from tests.supply.accepted import Advisory, advisories, is_accepted, known_against, read_for
from tests.supply.bill import missing_from
from tests.supply.installed import Distribution, brought_by, distributions
from tests.supply.npm import ACCEPTED, Package, packages

ALL = distributions()


def test_rxlint_alone_brings_what_pyproject_names_and_little_more() -> None:
    assert {"lark", "ruamel-yaml", "pint", "click", "platformdirs"} <= brought_by("") <= {each.name for each in ALL}
    assert len(brought_by("")) < 12
    assert "weasyprint" in brought_by("pdf") - brought_by("sheet")


@pytest.mark.parametrize("distribution", ALL, ids=lambda each: each.name)
def test_licence_is_one_that_may_come_in(distribution: Distribution) -> None:
    assert is_accepted(distribution), distribution


@pytest.mark.parametrize("distribution", ALL, ids=lambda each: each.name)
def test_nothing_is_known_against_what_is_installed(distribution: Distribution) -> None:
    assert known_against(distribution) == ()


def test_advisories_were_read_of_all_that_rxlint_itself_needs() -> None:
    """What extras bring may grow with their next release; that is told on the page."""
    assert brought_by("") <= read_for()


def test_what_may_not_come_in_is_seen() -> None:
    assert not is_accepted(Distribution("one", "1", ("AGPL-3.0-only",), ("pdf",)))
    assert not is_accepted(Distribution("one", "1", (), ()))
    assert not is_accepted(Distribution("one", "1", ("MPL-2.0",), ()))
    assert is_accepted(Distribution("one", "1", ("GPL-2.0-or-later", "MPL-1.1"), ("pdf",)))


def test_an_advisory_holds_from_the_first_version_that_has_it_until_it_is_mended() -> None:
    advisory = Advisory("one", "X-1", "2.0", "2.10")
    assert [version for version in ("1.9", "2.0", "2.9", "2.10", "3") if advisory.holds(version)] == ["2.0", "2.9"]
    assert Advisory("one", "X-2", "2.0", None).holds("99")


def test_known_advisories_are_held_against_versions_that_have_them() -> None:
    """The table is live: every row speaks of some version."""
    for each in advisories():
        assert known_against(Distribution(each.name, each.since, (), ())), each


def test_a_bill_of_materials_that_lacks_something_is_seen(tmp_path: Path) -> None:
    bill = tmp_path / "bill.json"
    components = [{"name": name, "version": "1"} for name in ("lark", "Pint")]
    bill.write_text(json.dumps({"bomFormat": "CycloneDX", "components": components}), encoding="utf-8")
    assert missing_from(bill, frozenset({"lark", "pint", "click"})) == {"click"}


@pytest.mark.parametrize("package", packages(), ids=lambda each: each.name)
def test_what_npm_fetches_may_come_in_and_is_held_against_a_digest(package: Package) -> None:
    assert package.licence in ACCEPTED, package
    assert package.digest.startswith("sha512-"), package


def test_the_runtime_and_the_editor_of_the_page_are_seen() -> None:
    assert {"pyodide", "@codemirror/view", "micromark"} <= {each.name for each in packages()}
