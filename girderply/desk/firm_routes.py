"""What is asked of the firm's file: its page, its changes, its mark."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from girderply.desk.addresses import Desk, answer, body_of, voice_of
from girderply.desk.firm_page import changed, firm_state, logo_of, logo_taken
from girderply.desk.folder import NotOnDeskError
from girderply.desk.pages import page
from girderply.desk.routes import MOST_NAME, as_page, in_thread

if TYPE_CHECKING:
    from starlette.requests import Request
    from starlette.responses import Response


def firm_routes(desk: Desk) -> list[Any]:
    """Addresses of the firm's file."""
    from starlette.routing import Route

    pages = FirmPages(desk)
    return [
        Route("/firm", pages.firm),
        Route("/firm/change", pages.change, methods=["POST"]),
        Route("/firm/logo", pages.logo),
        Route("/firm/logo", pages.take_logo, methods=["POST"]),
    ]


@dataclass(frozen=True, slots=True)
class FirmPages:
    """What is answered at each address; a method for each."""

    desk: Desk

    def firm(self, request: Request) -> Response:
        """The page of the firm's file."""
        voice = voice_of(request)
        return as_page(page(voice, "firm.html", data={"firm": firm_state(voice, self.desk.folder)}))

    async def change(self, request: Request) -> Response:
        """Change one value; tells what stands there then."""
        voice = voice_of(request)
        body = await body_of(request)
        return await in_thread(
            voice, self._change, request, str(body.get("key")), body.get("value")
        )

    def _change(self, request: Request, key: str, value: Any) -> Response:
        voice = voice_of(request)
        changed(self.desk.folder, key, value)
        return answer(voice, firm_state(voice, self.desk.folder))

    def logo(self, _: Request) -> Response:
        """The firm's mark as a picture."""
        from starlette.responses import Response

        found = logo_of(self.desk.folder)
        if found is None:
            raise NotOnDeskError("there is no logo")
        return Response(found.content, media_type=found.mime)

    async def take_logo(self, request: Request) -> Response:
        """Keep a picture as the firm's mark; tells what stands there then."""
        voice = voice_of(request)
        name = request.query_params.get("file", "")[:MOST_NAME]
        return await in_thread(voice, self._take_logo, request, name, await request.body())

    def _take_logo(self, request: Request, name: str, data: bytes) -> Response:
        voice = voice_of(request)
        logo_taken(self.desk.folder, name, data)
        return answer(voice, firm_state(voice, self.desk.folder))
