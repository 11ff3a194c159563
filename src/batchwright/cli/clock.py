"""The clock: the time that is printed on a packet."""

from __future__ import annotations

import os
from datetime import UTC, datetime

from batchwright.base.fault import Fault, Place
from batchwright.cli.answer import refuse

FIXED = "SOURCE_DATE_EPOCH"
"""Seconds since 1970-01-01 UTC, as the reproducible-builds specification has it: same input, same bytes."""
LATEST = 253_402_300_799
"""The end of the year 9999."""


def now(as_json: bool) -> datetime:
    """The present moment in whole seconds, or the one that SOURCE_DATE_EPOCH names."""
    fixed = os.environ.get(FIXED)
    if fixed is None:
        return datetime.now().astimezone().replace(microsecond=0)
    if fixed.isascii() and fixed.isdigit() and int(fixed) <= LATEST:
        return datetime.fromtimestamp(int(fixed), UTC)
    fault = Fault(
        code="not-a-moment",
        place=Place(FIXED),
        what=f"'{fixed}' is not a count of seconds since 1970-01-01.",
        why="the date on the packet is taken from this setting of the system where it is given.",
        mend=f"unset {FIXED}, or give it whole seconds.",
    )
    refuse((fault,), as_json=as_json)
