"""The two shapes of an answer, `{"ok": true, ...}` and `{"ok": false, "faults": [...]}`; refusals, their statuses."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping

from starlette.responses import Response

from batchwright.app.live.refusal import RefusedError, Why
from batchwright.base.fault import Fault, Place

STATUS = {Why.WRONG: 422, Why.MISSING: 404, Why.CONFLICT: 409}
JSON = "application/json"


def success(shape: Mapping[str, object]) -> Response:
    """What was asked for."""
    return Response(_json({"ok": True, **shape}), media_type=JSON)


def refusal(status: int, faults: Iterable[Fault], beside: Mapping[str, object] | None = None) -> Response:
    """Why it was not done."""
    told = [fault.as_json() for fault in faults]
    return Response(_json({"ok": False, "faults": told, **(beside or {})}), status, media_type=JSON)


def refused(error: RefusedError) -> Response:
    """A refusal of the desk's, as the page is told of it."""
    return refusal(STATUS[error.why], error.faults, error.state)


def plain_fault(code: str, what: str, mend: str) -> Fault:
    """A fault of the question itself."""
    return Fault(code=code, place=Place(""), what=what, mend=mend)


def _json(shape: object) -> bytes:
    return json.dumps(shape, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode("utf-8", "replace")
