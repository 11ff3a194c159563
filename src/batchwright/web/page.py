"""The page itself: one document, with what it starts from."""

from __future__ import annotations

from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from jinja2.utils import htmlsafe_json_dumps
from starlette.requests import Request
from starlette.responses import HTMLResponse

HERE = Path(__file__).parent
STATIC = HERE / "static"
_SET = Environment(loader=FileSystemLoader(HERE / "templates"), autoescape=True, undefined=StrictUndefined)


def page(request: Request, opened: str) -> HTMLResponse:
    """The document, with its nonce and the file to open: the one asked for, or what is open."""
    nonce = str(request.state.nonce)
    boot = htmlsafe_json_dumps({"nonce": nonce, "file": request.query_params.get("job", "") or opened})
    return HTMLResponse(_SET.get_template("page.html").render(nonce=nonce, boot=boot))
