"""Whether somebody else has changed a file that is open: by its time and length, and then by its bytes."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from batchwright.app.live.desk import Desk

Sight = tuple[int, int, int]


@dataclass(slots=True)
class Watch:
    """Looks at the disk when told to. It only reads, and may be asked from another thread."""

    desk: Desk
    changed: tuple[str, ...] = ()
    seen: dict[str, tuple[Sight, str, bool]] = field(default_factory=dict)

    def look(self) -> tuple[str, ...]:
        """Files that are not on the disk as they were read or saved."""
        self.changed = tuple(file for file in tuple(self.desk.texts) if self._differs(file))
        return self.changed

    def _differs(self, file: str) -> bool:
        sight, sha = _sight(self.desk.root / file), self.desk.disk[file].sha
        last = self.seen.get(file)
        if last is not None and last[:2] == (sight, sha):
            return last[2]
        differs = self.desk.differs(file)
        self.seen[file] = (sight, sha, differs)
        return differs


def _sight(path: Path) -> Sight:
    try:
        found = path.stat()
    except (OSError, ValueError):
        return (0, 0, -1)
    return (found.st_mtime_ns, found.st_ctime_ns, found.st_size)
