"""The addresses of the desk: each calls what the commands call and shows the answer."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from girderply.desk.amend import AmendError
from girderply.desk.folder import Folder, NotOnDeskError, OpenedElsewhereError
from girderply.desk.guard import Guard, Secrets
from girderply.desk.on_desk import OnDesk, OtherValueError
from girderply.desk.pages import TYPES, page, static
from girderply.desk.papers import Deliver
from girderply.desk.workers import Workers
from girderply.errors import GirderplyError, words_of
from girderply.wording import DEFAULT, LANGUAGES, Voice

if TYPE_CHECKING:
    from starlette.requests import Request
    from starlette.responses import Response

Plain = dict[str, Any]
LANGUAGE_COOKIE = "girderply-desk-language"


@dataclass
class Desk:
    """All that is open on one desk."""

    folder: Folder
    known: Secrets
    deliver: Deliver | None = None  # issues girders, as the command does
    girders: dict[str, OnDesk] = field(default_factory=dict)
    workers: Workers = field(default_factory=Workers)  # papers, drawings, other fasteners
    springs: Workers = field(
        default_factory=Workers
    )  # shares of the plies: papers are not waited for

    def close(self) -> None:
        """End what works beside the pages."""
        self.springs.close()
        self.workers.close()

    def girder(self, name: str) -> OnDesk:
        """The girder of a file, as the file is now.

        Raises:
            NotOnDeskError: no such file.
        """
        found = self.girders.get(name)
        if found is None:
            found = OnDesk(self.folder, name, self.folder.read(name))
            found = self.girders.setdefault(name, found)
        found.look()
        return found


class BadRequestError(GirderplyError, ValueError):
    """A request that no page of ours sends."""


def language_of(request: Request) -> str:
    """The language of the pages: as chosen, else the browser's, else English."""
    chosen = request.cookies.get(LANGUAGE_COOKIE, "")
    if chosen in LANGUAGES:
        return chosen
    wanted = request.headers.get("accept-language", "").split(",")
    codes = [w.split(";")[0].strip().lower() for w in wanted]
    known = {language.lower(): language for language in LANGUAGES}
    found = (known.get(code) or known.get(code[:2]) for code in codes)
    return next((language for language in found if language), DEFAULT)


def voice_of(request: Request) -> Voice:
    """The voice of the pages, in their language."""
    return Voice(language_of(request))


def answer(voice: Voice, data: Any, status: int = 200) -> Response:
    """Plain data as JSON."""
    from starlette.responses import Response

    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), default=voice.plain)
    return Response(text, status, media_type="application/json")


async def body_of(request: Request) -> Plain:
    """The table that was sent.

    Raises:
        BadRequestError: it is none.
    """
    try:
        data = json.loads(await request.body())
    except (ValueError, RecursionError):
        raise BadRequestError("no JSON") from None
    if not isinstance(data, dict):
        raise BadRequestError("a table is needed")
    return data


def fault_answer(voice: Voice, fault: GirderplyError) -> Response:
    """A refusal in words, with what there is instead where a file was changed elsewhere."""
    data: Plain = {"fault": words_of(fault)}
    data["tip"] = getattr(fault, "tip", "")
    if isinstance(fault, OpenedElsewhereError):
        return answer(voice, data | {"now": fault.now}, 409)
    if isinstance(fault, NotOnDeskError):
        return answer(voice, data, 404)
    bad = isinstance(fault, BadRequestError | AmendError)
    return answer(voice, data, 400 if bad else 422)


def make_app(desk: Desk, routes: Callable[[Desk], list[Any]]) -> Guard:
    """The whole application, guarded.

    Args:
        desk: what is on it.
        routes: makes the addresses besides the pages.
    """
    from starlette.applications import Starlette
    from starlette.routing import Route

    async def enter(request: Request) -> Response:
        from starlette.responses import RedirectResponse

        if not guard.is_token(request.query_params.get("token", "")):
            return refusal(request, 403, "refused_token")
        response = RedirectResponse("/", 303)
        response.set_cookie(
            desk.known.cookie_name, desk.known.cookie, httponly=True, samesite="strict", path="/"
        )
        return response

    def plain_file(request: Request) -> Response:
        from starlette.responses import Response

        name = request.path_params["name"]
        data = static(name)
        if data is None:
            return refusal(request, 404, "refused_missing")
        return Response(data, media_type=TYPES[name.rpartition(".")[2]])

    own = [Route("/enter", enter), Route("/static/{name}", plain_file), *routes(desk)]
    app = Starlette(routes=own, exception_handlers={404: _missing, GirderplyError: _fault,
                                                    OtherValueError: _other})  # fmt: skip
    guard = Guard(app, desk.known, _refuse)
    return guard


def _missing(request: Request, _: Exception) -> Response:
    return refusal(request, 404, "refused_missing")


def _fault(request: Request, fault: Exception) -> Response:
    voice = voice_of(request)
    if not isinstance(fault, GirderplyError):
        raise fault
    return fault_answer(voice, fault)


def _other(request: Request, fault: Exception) -> Response:
    voice = voice_of(request)
    if not isinstance(fault, OtherValueError):
        raise fault
    return answer(voice, {"path": fault.path, "now": fault.value, "other": True}, 409)


def refusal(request: Request, status: int, why: str) -> Response:
    """A page that says why nothing is shown."""
    voice = voice_of(request)
    from starlette.responses import HTMLResponse

    return HTMLResponse(page(voice, "refused.html", why=why), status)


def _refuse(scope: Any, status: int, why: str) -> Any:
    from starlette.requests import Request

    return refusal(Request(scope), status, why)
