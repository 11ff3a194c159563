"""What the page sends, field by field; anything else is refused."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints

Name = Annotated[str, StringConstraints(max_length=120)]
Words = Annotated[str, StringConstraints(max_length=2000)]
Key = Annotated[str, StringConstraints(max_length=64)]
FilePath = Annotated[str, StringConstraints(min_length=1, max_length=300)]


def _whole(value: object) -> object:
    """A whole number may be written `3.0` in JSON; text and truth values are no numbers."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


Revision = Annotated[int, Field(strict=True, ge=0, le=2**53), BeforeValidator(_whole)]
Place = Annotated[int, Field(strict=True, ge=1, le=10**6), BeforeValidator(_whole)]
MOST = 2000


class Body(BaseModel):
    """A question; unknown fields are refused."""

    model_config = ConfigDict(extra="forbid")


class OpenBody(Body):
    """Open a job or a piece."""

    file: FilePath


class NewBody(Body):
    """Begin a project from an example, or `empty`."""

    example: Name
    folder: Annotated[str, StringConstraints(min_length=1, max_length=60)]


class Have(Body):
    """A question of a revision; `have` are the meshes that the page holds already."""

    revision: Revision
    have: list[Key] = Field(default=[], max_length=MOST)


class LiveBody(Have):
    """Sizes that are tried, as text."""

    sizes: dict[Name, Words] = Field(default={}, max_length=MOST)


class EditBody(Have):
    """Changes of the texts, with the words that undo will show."""

    label: Annotated[str, StringConstraints(max_length=120)] = "change"
    changes: list[dict[str, Any]] = Field(max_length=200)


class CutBody(Have):
    """Parts that are cut; `undo` takes them back."""

    parts: list[Name] = Field(max_length=MOST)
    undo: Annotated[bool, Field(strict=True)] = False


class PreviewBody(Body):
    """What the texts would become."""

    revision: Revision
    changes: list[dict[str, Any]] = Field(max_length=200)


class SaveBody(Body):
    """Write the texts; `over` writes over what somebody else wrote."""

    revision: Revision
    over: Annotated[bool, Field(strict=True)] = False


class CompleteBody(Body):
    """Words that fit at a place in a text; line and column count from 1."""

    file: FilePath
    text: Annotated[str, StringConstraints(max_length=400_000)]
    line: Place
    column: Place


class FaultShape(BaseModel):
    """One thing wrong: what, where, why, how to mend."""

    code: str
    level: str
    file: str
    line: int
    column: int
    what: str
    why: str
    mend: str


class Refusal(BaseModel):
    """Nothing was done."""

    ok: bool
    faults: list[FaultShape]


class Success(BaseModel):
    """It was done; more fields than these."""

    model_config = ConfigDict(extra="allow")
    ok: bool
