"""Names from outside: what may be opened, and what a new folder may be called."""

from __future__ import annotations

from pathlib import Path

import pytest

from batchwright.app.live.paths import new_folder, project_file
from batchwright.app.live.refusal import RefusedError

PIECE = "piece: Stool\n"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A folder with pieces in it and beside it, and links of every sort."""
    home = tmp_path / "home"
    (home / "kept here").mkdir(parents=True)
    for path in (home / "a.piece.yaml", home / "kept here" / "b.job.yaml", tmp_path / "outside.piece.yaml"):
        path.write_text(PIECE)
    (home / ".hidden.piece.yaml").write_text(PIECE)
    (home / "letter.txt").write_text("dear")
    (home / "link.piece.yaml").symlink_to(tmp_path / "outside.piece.yaml")
    (home / "away").symlink_to(tmp_path)
    (home / "round.piece.yaml").symlink_to("round.piece.yaml")
    (home / "folder.piece.yaml").mkdir()
    return home


@pytest.mark.parametrize("name", ["a.piece.yaml", "kept here/b.job.yaml"])
def test_files_of_the_folder_are_opened(root: Path, name: str) -> None:
    assert project_file(root, name).read_text() == PIECE


@pytest.mark.parametrize(
    "name",
    [
        "", ".", "..", "../outside.piece.yaml", "kept here/../../outside.piece.yaml", "kept here/../a.piece.yaml",
        "/etc/passwd", "//a.piece.yaml", "./a.piece.yaml", "a.piece.yaml/", "link.piece.yaml",
        "away/outside.piece.yaml", "round.piece.yaml", "folder.piece.yaml", ".hidden.piece.yaml", "letter.txt",
        "missing.piece.yaml", "a.piece.yaml\0", "a.piece.yaml\0.txt", "\n.piece.yaml", "C:\\a.piece.yaml",
        "C:a.piece.yaml", "kept here\\b.job.yaml", "nul.piece.yaml", "CON.job.yaml", "com1.piece.yaml",
        "aux/b.piece.yaml", "a.piece.yaml:stream", "a.piece.yaml.", "a.piece.yaml ", "~/a.piece.yaml",
        "\\\\server\\a.piece.yaml", "x" * 5000 + ".piece.yaml", "a" * 290 + ".piece.yaml", "\ud800.piece.yaml",
    ],
)  # fmt: skip
def test_nothing_else_is(root: Path, name: str) -> None:
    with pytest.raises(RefusedError) as refused:
        project_file(root, name)
    assert all(fault.mend for fault in refused.value.faults)
    assert not any(str(root) in fault.what for fault in refused.value.faults)


@pytest.mark.parametrize("name", ["my stool", "stool-2", "Hocker_für_Tante", "a", "x" * 60])
def test_plain_words_name_a_new_folder(tmp_path: Path, name: str) -> None:
    assert new_folder(tmp_path, name) == tmp_path / name


@pytest.mark.parametrize(
    "name",
    ["", ".", "..", ".x", "-x", "_x", " x", "x ", "x.", "a/b", "a\\b", "c:", "con", "NUL", "lpt9", "x" * 61, "a\0b",
     "a\nb", "a?b", "a*b", "~x", "a.b"],
)  # fmt: skip
def test_other_names_are_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(RefusedError, match="folder-name"):
        new_folder(tmp_path, name)
