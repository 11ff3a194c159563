"""The page's own files: from one folder, with the right types, and read anew only when they have changed."""

from __future__ import annotations

import hashlib
from pathlib import Path

from starlette.requests import Request
from starlette.responses import Response

from batchwright.web.shapes import plain_fault, refusal

TYPES = {
    ".js": "text/javascript; charset=utf-8",
    ".mjs": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".svg": "image/svg+xml",
    ".json": "application/json",
    ".map": "application/json",
    ".webmanifest": "application/manifest+json",
    ".png": "image/png",
    ".ico": "image/x-icon",
    ".ttf": "font/ttf",
    ".woff": "font/woff",
    ".woff2": "font/woff2",
    ".txt": "text/plain; charset=utf-8",
    ".md": "text/plain; charset=utf-8",
    "": "text/plain; charset=utf-8",
}
"""By the name's end; what is not listed is not served."""


def served(home: Path, name: str, request: Request) -> Response:
    """A file of the folder `home`; nothing outside it, whatever the name says."""
    found = _find(home, name)
    if found is None:
        return refusal(404, [plain_fault("no-such-file", "there is no such file.", "open the page anew.")])
    content = found.read_bytes()
    tag = f'"{hashlib.sha256(content).hexdigest()[:24]}"'
    headers = {"etag": tag, "cache-control": "no-cache"}
    if tag in request.headers.get("if-none-match", ""):
        return Response(status_code=304, headers=headers)
    return Response(content, media_type=TYPES[found.suffix.lower()], headers=headers)


def _find(home: Path, name: str) -> Path | None:
    if "\0" in name or "\\" in name or ":" in name or any(part.startswith(".") for part in name.split("/")):
        return None
    try:
        real = (home / name).resolve()
        fits = real.is_relative_to(home.resolve()) and real.is_file() and real.suffix.lower() in TYPES
    except (OSError, ValueError, RuntimeError):
        return None
    return real if fits else None
