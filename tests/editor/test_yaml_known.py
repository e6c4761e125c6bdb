"""Which packs a file of rules may refer to, as a workspace has it."""

from pathlib import Path

from rxlint.editor.workspace import Workspace
from rxlint.editor.yaml_files import yaml_marks
from rxlint.packs.builtin import builtin_packs
from tests.editor.test_workspace import write
from tests.editor.yaml_texts import NETWORK, WARD

BUILTIN = [pack.name for pack in builtin_packs()]


def names(workspace: Workspace, path: Path, text: str) -> list[str]:
    """The packs that a text may refer to, besides the built-in ones."""
    found = [pack.name for pack in workspace.yaml_file(path, text).packs]
    assert found[: len(BUILTIN)] == BUILTIN
    return found[len(BUILTIN) :]


def test_a_policy_refers_to_those_that_settings_name_before_it(tmp_path: Path) -> None:
    folder = tmp_path.resolve()
    write(folder / "network.yaml", NETWORK)
    write(folder / "ward.yaml", WARD)
    write(folder / "rxlint.yaml", "policies: [network.yaml, ward.yaml]\n")
    workspace = Workspace()
    assert names(workspace, folder / "ward.yaml", WARD) == ["tarnmoor-network"]
    assert names(workspace, folder / "network.yaml", NETWORK) == []
    assert yaml_marks(workspace.yaml_file(folder / "ward.yaml", WARD)) == ()
    write(folder / "rxlint.yaml", "policies: [ward.yaml, network.yaml]\n")
    assert names(workspace, folder / "ward.yaml", WARD) == []
    assert "there is no pack tarnmoor-network" in yaml_marks(workspace.yaml_file(folder / "ward.yaml", WARD))[0].message


def test_a_policy_that_no_settings_name_refers_to_those_beside_it_that_it_uses(tmp_path: Path) -> None:
    folder = tmp_path.resolve()
    write(folder / "network.yaml", NETWORK)
    write(folder / "other.yaml", NETWORK.replace("tarnmoor-network", "tarnmoor-other"))
    write(folder / "ring.yaml", "pack: ring\nrevision: 1\nsummary: x\nuses: [tarnmoor-ward-7]\nlimits: []\n")
    workspace = Workspace()
    ward = folder / "ward.yaml"
    assert names(workspace, ward, WARD) == ["tarnmoor-network"]
    assert names(workspace, ward, WARD.replace("uses: [", "uses: [ring, ")) == ["tarnmoor-network"]
    listed = WARD.replace("uses: [tarnmoor-network, alarms, pressure]", "uses:\n  - tarnmoor-network\n  - alarms")
    assert names(workspace, ward, listed) == ["tarnmoor-network"]
    write(folder / "network.yaml", NETWORK.replace("revision: 2", "revision: two"))
    assert names(workspace, ward, WARD) == []  # it does not load any more


def test_a_file_stays_the_same_while_nothing_has_changed(tmp_path: Path) -> None:
    folder = tmp_path.resolve()
    write(folder / "network.yaml", NETWORK)
    write(folder / "ward.yaml", WARD)
    workspace = Workspace()
    first = workspace.yaml_file(folder / "ward.yaml", WARD)
    assert workspace.yaml_file(folder / "ward.yaml", WARD) is first
    write(folder / "network.yaml", NETWORK.replace("revision: 2", "revision: 3"))
    assert workspace.yaml_file(folder / "ward.yaml", WARD) is not first
    assert workspace.yaml_file(folder / "ward.yaml", f"{WARD}#") is not first
    loose = workspace.yaml_file(Path("untitled/x.yaml"), "pack: x\n")
    assert (loose.kind, loose.known, loose.beside) == ("pack", None, ())


def test_settings_say_what_a_file_is_before_it_says_so_itself(tmp_path: Path) -> None:
    folder = tmp_path.resolve()
    write(folder / "rxlint.yaml", "policies: [site.yaml]\nprofiles: [vents]\n")
    write(folder / "site.yaml", "")
    (folder / "vents").mkdir()
    write(folder / "vents/holm.yaml", "")
    workspace = Workspace()
    assert workspace.yaml_file(folder / "site.yaml", "lim").kind == "policy"
    assert workspace.yaml_file(folder / "vents/holm.yaml", "na").kind == "profile"
    assert workspace.yaml_file(folder / "other.yaml", "lim").kind is None
    assert workspace.yaml_file(folder / "rxlint.yaml", "").beside == ("site.yaml", "vents", "vents/holm.yaml")
