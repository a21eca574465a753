"""What the pages ask for: the folder, one girder, and changes of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from girderply.desk.addresses import (
    LANGUAGE_COOKIE,
    BadRequestError,
    Desk,
    Plain,
    answer,
    body_of,
    fault_answer,
    voice_of,
)
from girderply.desk.amend import Edit
from girderply.desk.drawn import KINDS, begun
from girderply.desk.firm_page import name_of_firm, pictures
from girderply.desk.folder import NotOnDeskError
from girderply.desk.forms import forms
from girderply.desk.on_desk import OnDesk
from girderply.desk.overview import sketches, started, summary
from girderply.desk.pages import page
from girderply.desk.state import state_of
from girderply.errors import GirderplyError
from girderply.tracing.from_shape import as_nodes
from girderply.wording import LANGUAGES, Voice

if TYPE_CHECKING:
    from starlette.requests import Request
    from starlette.responses import Response

MOST_EDITS = 500
MOST_NAME = 200


def girder_routes(desk: Desk) -> list[Any]:
    """Addresses of the pages, of the state of a girder and of its changes."""
    from starlette.routing import Route

    pages = Pages(desk)
    return [
        Route("/", pages.overview),
        Route("/shapes", pages.shapes),
        Route("/new", pages.new, methods=["POST"]),
        Route("/trace", pages.trace, methods=["POST"]),
        Route("/language", language, methods=["POST"]),
        Route("/girder/{name}", pages.girder),
        Route("/girder/{name}/card", pages.card),
        Route("/girder/{name}/state", pages.state),
        Route("/girder/{name}/whole", pages.whole),
        Route("/girder/{name}/change", pages.change, methods=["POST"]),
    ]


@dataclass(frozen=True, slots=True)
class Pages:
    """What is answered at each address; a method for each."""

    desk: Desk

    def _girder(self, request: Request) -> OnDesk:
        return self.desk.girder(request.path_params["name"])

    def overview(self, request: Request) -> Response:
        """The page of the folder."""
        voice = voice_of(request)
        folder = self.desk.folder
        data = {"folder": folder.root.name, "names": list(folder.names()),
                "firm": name_of_firm(folder)}  # fmt: skip
        return as_page(page(voice, "overview.html", folder=folder.root.name, data=data))

    def girder(self, request: Request) -> Response:
        """The page of one girder."""
        voice = voice_of(request)
        try:
            data = {"state": state_of(voice, self._girder(request)), "forms": self._forms(voice)}
        except NotOnDeskError as fault:
            return as_page(page(voice, "refused.html", why="refused_missing", more=str(fault)), 404)
        return as_page(page(voice, "girder.html", name=request.path_params["name"], data=data))

    def _forms(self, voice: Voice) -> Plain:
        """The forms, with the pictures of this folder among the names that are offered."""
        found = forms(voice)
        return found | {"known": found["known"] | {"pictures": pictures(self.desk.folder)}}

    def card(self, request: Request) -> Response:
        """A girder in few words."""
        voice = voice_of(request)
        return answer(voice, summary(voice, self._girder(request)))

    def shapes(self, request: Request) -> Response:
        """Drawings of the shapes."""
        voice = voice_of(request)
        return answer(voice, sketches(voice))

    def state(self, request: Request) -> Response:
        """The state of a girder, or only its turn where the page has that one."""
        voice = voice_of(request)
        girder = self._girder(request)
        if request.query_params.get("turn") == str(girder.turn):
            return answer(voice, {"turn": girder.turn})
        return state_answer(request, girder)

    def whole(self, request: Request) -> Response:
        """The state with the shares of the plies, or only its turn while they are worked out."""
        voice = voice_of(request)
        girder = self._girder(request)
        if not girder.worked_out(voice, self.desk.springs):
            return answer(voice, {"turn": girder.turn})
        return answer(voice, state_of(voice, girder))

    async def change(self, request: Request) -> Response:
        """Change a girder and tell its new state."""
        voice = voice_of(request)
        return await in_thread(voice, self._change, request, await body_of(request))

    def _change(self, request: Request, body: Plain) -> Response:
        girder = self._girder(request)
        _make(girder, body)
        return state_answer(request, girder)

    async def new(self, request: Request) -> Response:
        """Begin a girder."""
        voice = voice_of(request)
        return await in_thread(voice, self._new, request, await body_of(request))

    def _new(self, request: Request, body: Plain) -> Response:
        voice = voice_of(request)
        return answer(voice, started(voice, self.desk.folder, body))

    async def trace(self, request: Request) -> Response:
        """Begin a girder from a drawing; the body is the drawing, the query what is said of it."""
        voice = voice_of(request)
        return await in_thread(voice, self._trace, request, await request.body())

    def _trace(self, request: Request, data: bytes) -> Response:
        voice = voice_of(request)
        said = dict(request.query_params)
        name = said.pop("file", "")[:MOST_NAME]
        if not name.lower().endswith(KINDS):
            raise BadRequestError(voice.phrase("desk.drawn_kind", kinds=", ".join(KINDS)))
        return answer(voice, begun(voice, self.desk.folder, self.desk.workers, name, data, said))


async def language(request: Request) -> Response:
    """Choose the language of all pages."""
    voice = voice_of(request)
    wanted = (await body_of(request)).get("language")
    if wanted not in LANGUAGES:
        raise BadRequestError("no such language")
    response = answer(voice, {})
    response.set_cookie(LANGUAGE_COOKIE, str(wanted), max_age=31_536_000, samesite="strict")
    return response


def as_page(text: str, status: int = 200) -> Response:
    """HTML as an answer."""
    from starlette.responses import HTMLResponse

    return HTMLResponse(text, status)


def state_answer(request: Request, girder: OnDesk) -> Response:
    """The whole state of a girder in the language of the page."""
    voice = voice_of(request)
    return answer(voice, state_of(voice, girder))


async def in_thread(voice: Voice, work: Any, *args: Any) -> Response:
    """Run what takes time beside the loop; a refusal is an answer."""
    from starlette.concurrency import run_in_threadpool

    try:
        return await run_in_threadpool(work, *args)
    except GirderplyError as fault:
        return fault_answer(voice, fault)


def _make(girder: OnDesk, body: Plain) -> None:
    """Make the change that a page asks for."""
    do = body.get("do")
    if do == "back":
        girder.back()
    elif do == "forth":
        girder.forth()
    elif do == "members":
        girder.write(as_nodes(girder.text, str(girder.folder.root))[0], "girder.members")
    elif do == "text" and isinstance(body.get("text"), str):
        girder.write(body["text"], "text", str(body.get("base", "")))
    elif do == "edits":
        edits, was = edits_of(body.get("edits"))
        girder.amend(edits, was)
    else:
        raise BadRequestError("no such change")


def edits_of(given: Any) -> tuple[list[Edit], list[Any]]:
    """Changes as they were sent, and what the page believed to be there.

    Raises:
        BadRequestError: they are none.
    """
    if not isinstance(given, list) or not 0 < len(given) <= MOST_EDITS:
        raise BadRequestError("no changes")
    edits, was = [], []
    for each in given:
        path = each.get("path") if isinstance(each, dict) else None
        if not isinstance(path, list) or not all(_is_part(p) for p in path):
            raise BadRequestError("no place")
        edits.append(Edit(tuple(path), str(each.get("do", "set")), each.get("value")))
        was.append(each.get("was", ...))
    return edits, was


def _is_part(part: Any) -> bool:
    if isinstance(part, bool):
        return False
    return (isinstance(part, int) and part >= 0) or (isinstance(part, str) and 0 < len(part) <= 60)
