"""The benches: `python3 run.py test bench [NAME]`; without a name, all of them one after another."""

from __future__ import annotations

import importlib
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
BENCHES = ("speed", "sweep", "kept", "lumber", "fuzz", "kills", "asking", "drag")


def main(words: list[str]) -> int:
    """Run the benches asked for; 0 if every one came out well."""
    sys.path[:0] = [str(HERE), str(HERE.parent / "tests")]
    if words and words[0] in BENCHES:
        return int(importlib.import_module(words[0]).main(words[1:]))
    if words:
        print(f"there is no bench '{words[0]}'; one of: {', '.join(BENCHES)}", file=sys.stderr)
        return 2
    return max(int(importlib.import_module(name).main([])) for name in BENCHES)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
