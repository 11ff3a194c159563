"""Nothing outside the project folder is read."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from batchwright.base.fault import Place
from batchwright.storage.folder import LARGEST_FILE, Folder

HERE = Place("a.job.yaml", 3, 8)


def test_reads_a_file_beside_the_job(tmp_path: Path) -> None:
    (tmp_path / "böards.csv").write_bytes(b"name\n")
    content, fault = Folder(tmp_path).read("böards.csv", HERE)
    assert fault is None
    assert content == b"name\n"


@pytest.mark.parametrize("name", ["../secret.txt", "/etc/hostname", "sub/../../secret.txt"])
def test_refuses_names_that_lead_outside(tmp_path: Path, name: str) -> None:
    root = tmp_path / "project"
    root.mkdir()
    (tmp_path / "secret.txt").write_text("secret")
    content, fault = Folder(root).read(name, HERE)
    assert content is None
    assert fault is not None
    assert fault.code == "file-outside-project"
    assert fault.place == HERE


@pytest.mark.skipif(os.name == "nt", reason="links need rights there")
def test_refuses_a_link_that_leads_outside(tmp_path: Path) -> None:
    root = tmp_path / "project"
    root.mkdir()
    (tmp_path / "secret.txt").write_text("secret")
    (root / "boards.csv").symlink_to(tmp_path / "secret.txt")
    _, fault = Folder(root).read("boards.csv", HERE)
    assert fault is not None
    assert fault.code == "file-outside-project"


def test_missing_file_names_what_the_folder_holds(tmp_path: Path) -> None:
    (tmp_path / "chair.piece.yaml").write_text("")
    _, fault = Folder(tmp_path).read("chiar.piece.yaml", HERE)
    assert fault is not None
    assert fault.code == "file-missing"
    assert "chair.piece.yaml" in fault.mend


def test_refuses_folders_and_huge_files(tmp_path: Path) -> None:
    (tmp_path / "sub").mkdir()
    _, fault = Folder(tmp_path).read("sub", HERE)
    assert fault is not None and fault.code == "file-unreadable"
    with (tmp_path / "big.csv").open("wb") as stream:
        stream.truncate(LARGEST_FILE + 1)
    _, fault = Folder(tmp_path).read("big.csv", HERE)
    assert fault is not None and fault.code == "file-too-large"


def test_a_name_with_a_null_is_a_fault_not_a_crash(tmp_path: Path) -> None:
    _, fault = Folder(tmp_path).read("a\0b", HERE)
    assert fault is not None
