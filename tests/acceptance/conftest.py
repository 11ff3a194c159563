"""The three examples, started with `new` and planned once for all tests that look at a packet."""

from __future__ import annotations

from pathlib import Path

import pytest

from typed import EXAMPLES, Planned, typed

FRAME = """\
piece: Trial frame
units: in
wood: white oak
use: [indoors]
hands: from the front
sizes:
  width: {is: 20, from: 12, to: 30}
parts:
  post:
    count: pair
    box: {x: [width/2 - 2, width/2], y: [0, 2], z: [0, 24]}
  rail:
    box: {x: [left post, right post], y: [1/2, 1 1/2], z: [10, 14]}
joints:
  - {tenon: rail, into: post, expect: 2}
"""
JOB = "job: Trial\npiece: frame.piece.yaml\ncopies: 2\n"
BOARDS = (
    "name,species,length,width,thickness,price,price per\n"
    "A1,white oak,8',8,2 1/4,9.50,bf\nA2,white oak,8',6,1 1/4,8.00,bf\n"
)


@pytest.fixture(scope="session")
def packets(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Planned]:
    """Every example, planned."""
    found = {}
    for name in EXAMPLES:
        folder = tmp_path_factory.mktemp("projects") / name
        assert typed("new", name, folder).code == 0
        job = next(folder.glob("*.job.yaml"))
        found[name] = Planned(name, job, folder / "out", typed("plan", job, "--out", folder / "out", "--json"))
    return found


@pytest.fixture(params=EXAMPLES)
def packet(request: pytest.FixtureRequest, packets: dict[str, Planned]) -> Planned:
    """One example after another."""
    planned: Planned = packets[request.param]
    return planned


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """The folder of a small sound project; the job does not name the boards."""
    folder = tmp_path / "project"
    folder.mkdir()
    (folder / "frame.piece.yaml").write_text(FRAME, encoding="utf-8")
    (folder / "frame.job.yaml").write_text(JOB, encoding="utf-8")
    (folder / "boards.csv").write_text(BOARDS, encoding="utf-8")
    return folder
