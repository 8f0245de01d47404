"""A request's body as the value that is asked for."""

from typing import TypeVar

import msgspec
from starlette.exceptions import HTTPException
from starlette.requests import Request

Shape = TypeVar("Shape", bound=msgspec.Struct)
"""What a body is read as."""


def read_body(body: bytes, request: Request, shape: type[Shape]) -> Shape:
    """The value that a body of JSON is.

    Raises:
        HTTPException: It is no JSON (400), not said to be (415), or not of that shape (422).
    """
    if request.headers.get("content-type", "").partition(";")[0].strip().lower() != "application/json":
        raise HTTPException(415, "JSON is right here")
    try:
        return msgspec.json.decode(body, type=shape)
    except msgspec.ValidationError as error:
        raise HTTPException(422, str(error)) from None
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError):
        raise HTTPException(400, "that is no JSON") from None
