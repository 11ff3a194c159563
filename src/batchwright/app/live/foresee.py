"""What would be told of texts that are not written yet: the faults of reading them and of joining the piece."""

from __future__ import annotations

from collections.abc import Mapping

from batchwright.app.live.model import Bench, our_fault
from batchwright.app.live.texts import TextFolder
from batchwright.app.load import load_from
from batchwright.app.plan import check_loaded
from batchwright.base.fault import Fault


def faults_of(bench: Bench, texts: Mapping[str, str]) -> tuple[Fault, ...]:
    """The faults that these texts would have. What the bench has at hand stays as it is."""
    source = TextFolder(bench.folder, texts)
    try:
        return check_loaded(load_from(source, bench.file)).faults
    except Exception as problem:
        return (our_fault(bench.file, problem),)
