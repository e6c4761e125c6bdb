"""The nearest rxlint.yaml: how it is found, what it may name, and every fault at its place."""

import os
from pathlib import Path

import pytest

from rxlint.library.settings import NAME, Settings, find_settings, read_settings


def write(folder: Path, text: str) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / NAME
    path.write_text(text, "utf-8")
    return path


def read(path: Path) -> Settings:
    settings, problems = read_settings(path, "site/rxlint.yaml")
    assert settings is not None and problems == ()
    return settings


def faults(path: Path) -> list[str]:
    settings, problems = read_settings(path, "site/rxlint.yaml")
    assert settings is None
    return [str(each).removeprefix("site/rxlint.yaml:") for each in problems]


# ---- which one is found


def test_the_nearest_one_going_up(tmp_path: Path) -> None:
    wide = write(tmp_path, "")
    near = write(tmp_path / "ward", "")
    (tmp_path / "ward" / "night").mkdir()
    (tmp_path / "other").mkdir()
    assert find_settings(tmp_path / "ward" / "night") == near
    assert find_settings(tmp_path / "other") == wide


def test_a_checkout_s_top_ends_the_search(tmp_path: Path) -> None:
    write(tmp_path, "")
    orders = tmp_path / "checkout" / "orders"
    orders.mkdir(parents=True)
    (tmp_path / "checkout" / ".git").mkdir()
    assert find_settings(orders) is None
    own = write(tmp_path / "checkout", "")
    assert find_settings(orders) == own


def test_a_linked_folder_belongs_to_where_it_is(tmp_path: Path) -> None:
    own = write(tmp_path / "real", "")
    write(tmp_path / "here", "")
    (tmp_path / "here" / "link").symlink_to(tmp_path / "real", target_is_directory=True)
    assert find_settings(tmp_path / "here" / "link") == own


def test_no_settings_and_no_folder(tmp_path: Path) -> None:
    (tmp_path / ".git").mkdir()
    assert find_settings(tmp_path) is None
    assert find_settings(tmp_path / "nowhere") is None


# ---- what it says


def test_every_key_is_read(tmp_path: Path) -> None:
    for name in ("network.yaml", "ward.yaml", "own.yaml"):
        (tmp_path / name).touch()
    path = write(tmp_path, "policies: [network.yaml, ./ward.yaml]\npacks:\n  - own.yaml\nknown findings: known.json\n")
    settings = read(path)
    assert [each.path for each in settings.policies] == [tmp_path / "network.yaml", tmp_path / "ward.yaml"]
    assert [(each.shown, each.line, each.column) for each in settings.packs] == [("site/own.yaml", 3, 5)]
    known = settings.known_findings
    assert known is not None and known.path == tmp_path / "known.json"  # it need not be there yet
    assert read(write(tmp_path / "bare", "packs: []\n")).policies == ()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("polices: [ward.yaml]\n", "1:1: polices is no key of rxlint.yaml; did you mean policies?"),
        ("- ward.yaml\n", "1:1: rxlint.yaml is a mapping with the keys policies, packs, profiles, known findings"),
        ("above: maybe\n", "1:8: above is one of no, yes, not maybe"),
        ("", "1:1: the file is empty"),
        ("policies: ward.yaml\n", "1:11: a list is expected"),
        ("policies: [[x]]\n", "1:12: policies: the name of a file is needed"),
        ("policies: ['']\n", "1:12: policies: the name of a file is needed"),
        ("known findings: []\n", "1:17: known findings: the name of a file is needed"),
        ("policies: [wrad.yaml]\n", "1:12: policies: there is no file wrad.yaml; did you mean ward.yaml?"),
        ("policies: [ward.yaml, ./ward.yaml]\n", "1:23: policies: site/ward.yaml stands twice"),
        ("policies: [../out.yaml]\n", "1:12: policies: ../out.yaml leads out of the folder of rxlint.yaml, or nowhere"),
        ("packs: [/etc/hosts]\n", "1:9: packs: /etc/hosts leads out of the folder of rxlint.yaml, or nowhere"),
        ("known findings: ../k\n", "1:17: known findings: ../k leads out of the folder of rxlint.yaml, or nowhere"),
        ("policies: [link.yaml]\n", "1:12: policies: link.yaml leads out of the folder of rxlint.yaml, or nowhere"),
        ("policies: [linked/out.yaml]\n", "1:12: policies: linked/out.yaml leads out of the folder of rxlint.yaml"),
        ("policies: [loop.yaml]\n", "1:12: policies: loop.yaml leads out of the folder of rxlint.yaml, or nowhere"),
        ('policies: ["a\\0b"]\n', "1:12: policies: a\0b leads out of the folder of rxlint.yaml, or nowhere"),
        ("policies: &a [ward.yaml]\n", "1:11: anchors and aliases are not read in packs"),
        ("policies: !!python/name:os.system x\n", "1:11: tags are not read in packs"),
        ("policies: [ward.yaml\n", "not YAML that can be read"),
    ],
)
def test_a_fault_has_its_place(text: str, told: str, tmp_path: Path) -> None:
    site = tmp_path / "site"
    path = write(site, text)
    (site / "ward.yaml").touch()
    (tmp_path / "out.yaml").touch()
    (site / "link.yaml").symlink_to(tmp_path / "out.yaml")
    (site / "linked").symlink_to(tmp_path, target_is_directory=True)
    (site / "loop.yaml").symlink_to("loop.yaml")
    found = faults(path)
    assert len(found) == 1 and told in found[0], found


def test_a_link_inside_the_folder_is_followed(tmp_path: Path) -> None:
    path = write(tmp_path, "policies: [now.yaml]\n")
    (tmp_path / "policies").mkdir()
    (tmp_path / "policies" / "ward.yaml").touch()
    (tmp_path / "now.yaml").symlink_to("policies/ward.yaml")
    assert [each.path for each in read(path).policies] == [tmp_path / "policies" / "ward.yaml"]


def test_files_that_are_no_settings(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("secret: x\n", "utf-8")
    site = tmp_path / "site"
    site.mkdir()
    path = site / NAME
    path.symlink_to(tmp_path / "out")
    assert faults(path) == ["1:1: is a link that leads out of its folder"]
    assert find_settings(site) == path  # it is not passed over for one further up
    path.unlink()
    path.write_bytes(b"\xff")
    assert faults(path) == ["1:1: is not UTF-8 text"]
    path.unlink()
    path.mkdir()
    assert faults(path) == ["1:1: can't be opened: Is a directory"]
    path.rmdir()
    os.mkfifo(path)
    assert faults(path) == ["1:1: is not a regular file"]


# ---- building on the settings further up


def checkout(folder: Path) -> Path:
    (folder / ".git").mkdir(parents=True)
    return folder


def test_settings_build_on_the_next_ones_up_where_they_say_so(tmp_path: Path) -> None:
    top = checkout(tmp_path / "library")
    (top / "national.yaml").touch()
    wide = write(top, "policies: [national.yaml]\n")
    near = write(top / "region" / "ward", "above: yes\n")
    settings = read(near)
    assert [each.path for each in settings.layers] == [wide, near]
    assert [each.shown for layer in settings.layers for each in layer.policies] == ["../national.yaml"]
    assert settings.library == top  # templates of the whole library can be followed
    assert read(write(top / "region" / "ward", "above: no\n")).layers == (read(near),)
    assert read(write(top / "region" / "ward", "packs: []\n")).above is None  # only where they say so


def test_the_chain_goes_on_only_as_far_as_each_says(tmp_path: Path) -> None:
    top = checkout(tmp_path)
    write(top, "packs: []\n")
    middle = write(top / "a", "packs: []\n")
    near = write(top / "a" / "b", "above: yes\n")
    assert [each.path for each in read(near).layers] == [middle, near]
    write(top / "a", "above: yes\n")
    assert len(read(near).layers) == 3


def test_a_library_of_its_own_stays_one(tmp_path: Path) -> None:
    top = checkout(tmp_path)
    write(top, "packs: []\n")
    assert read(write(top / "ward", "above: yes\nlibrary: .\n")).library == top / "ward"


@pytest.mark.parametrize(
    ("is_checkout", "has_wider", "told"),
    [
        (False, True, "2:8: above: this folder lies in no repository, and nothing else says how far up may be looked"),
        (True, False, "2:8: above: there is no rxlint.yaml further up in this repository"),
    ],
)
def test_nothing_is_built_on_outside_the_repository(
    is_checkout: bool, has_wider: bool, told: str, tmp_path: Path
) -> None:
    write(tmp_path, "packs: []\n")
    folder = tmp_path / "library"
    if is_checkout:
        checkout(folder)
    if has_wider:
        write(folder, "packs: []\n")
    assert faults(write(folder / "ward", "packs: []\nabove: yes\n")) == [told]


def test_the_top_of_a_repository_builds_on_nothing(tmp_path: Path) -> None:
    write(tmp_path, "packs: []\n")
    assert faults(write(checkout(tmp_path / "library"), "above: yes\n")) == [
        "1:8: above: there is no rxlint.yaml further up in this repository"
    ]


def test_a_fault_further_up_keeps_what_builds_on_it_from_being_used(tmp_path: Path) -> None:
    write(checkout(tmp_path), "polices: []\n")
    settings, problems = read_settings(write(tmp_path / "ward", "above: yes\n"), "ward/rxlint.yaml")
    assert settings is None
    assert [str(each) for each in problems] == [
        "rxlint.yaml:1:1: polices is no key of rxlint.yaml; did you mean policies?"
    ]


def test_settings_further_up_name_files_of_their_own_folder_alone(tmp_path: Path) -> None:
    (tmp_path / "out.yaml").touch()
    top = checkout(tmp_path / "library")
    write(top, "policies: [../out.yaml]\n")
    settings, problems = read_settings(write(top / "ward", "above: yes\n"), "ward/rxlint.yaml")
    assert settings is None and "rxlint.yaml:1:12: policies: ../out.yaml leads out of" in str(problems[0])
