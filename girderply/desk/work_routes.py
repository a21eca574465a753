"""What is asked of a girder besides its state: plates, loads, fasteners, papers, records."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from girderply.desk import papers
from girderply.desk.addresses import (
    BadRequestError,
    Desk,
    Plain,
    answer,
    body_of,
    voice_of,
)
from girderply.desk.amend import Edit
from girderply.desk.comparing import Candidate, candidate, others
from girderply.desk.firm import read_firm
from girderply.desk.hanging import read_loads
from girderply.desk.inspections import inspections, result_file, take_record
from girderply.desk.on_desk import OnDesk
from girderply.desk.plate_readings import plate_edits
from girderply.desk.routes import in_thread, state_answer
from girderply.desk.said_values import examples
from girderply.desk.tasks import NoScheduleError, other_scene
from girderply.wording import Voice, said

if TYPE_CHECKING:
    from starlette.requests import Request
    from starlette.responses import Response

Work = Callable[[Voice, "WorkPages", OnDesk, Plain], Any]
MOST_NAME = 200


def work_routes(desk: Desk) -> list[Any]:
    """Addresses of what is asked of one girder."""
    from starlette.routing import Route

    pages, home = WorkPages(desk), "/girder/{name}"
    return [
        Route(f"{home}/plate", pages.plate, methods=["POST"]),
        Route(f"{home}/loads", pages.loads, methods=["POST"]),
        Route(f"{home}/others", pages.others),
        Route(f"{home}/other", pages.other),
        Route(f"{home}/adopt", pages.adopt, methods=["POST"]),
        Route(f"{home}/papers", pages.papers),
        Route(f"{home}/pages/{{sheet}}", pages.pages),
        Route(f"{home}/pages/{{sheet}}/{{n:int}}", pages.picture),
        Route(f"{home}/file/{{what}}", pages.file),
        Route(f"{home}/issue", pages.issue, methods=["POST"]),
        Route(f"{home}/inspections", pages.inspections),
        Route(f"{home}/record", pages.record, methods=["POST"]),
        Route(f"{home}/result/{{piece}}/{{what}}", pages.result),
    ]


@dataclass(frozen=True, slots=True)
class WorkPages:
    """What is answered at each address; a method for each."""

    desk: Desk

    def _girder(self, request: Request) -> OnDesk:
        return self.desk.girder(request.path_params["name"])

    async def _posted(self, request: Request, work: Work) -> Response:
        """Do what was posted, in the language of the page, beside the loop."""
        voice = voice_of(request)
        body = await body_of(request)

        def done() -> Response:
            girder = self._girder(request)
            found = work(voice, self, girder, body)
            return state_answer(request, girder) if found is None else answer(voice, found)

        return await in_thread(voice, done)

    async def plate(self, request: Request) -> Response:
        """Put a plate into the file as it was read off; tells the new state."""
        return await self._posted(request, _plate)

    async def loads(self, request: Request) -> Response:
        """Read loads; with `keep` they are hung, and the new state is told."""
        return await self._posted(request, _loads)

    async def adopt(self, request: Request) -> Response:
        """Take other fasteners; tells the new state."""
        return await self._posted(request, _adopt)

    async def issue(self, request: Request) -> Response:
        """Issue the girder; tells what went out."""
        return await self._posted(request, _issue)

    def others(self, request: Request) -> Response:
        """How far the comparison of fasteners is."""
        voice = voice_of(request)
        firm = read_firm(self.desk.folder)
        return answer(voice, others(voice, self._girder(request), firm, self.desk.workers))

    def other(self, request: Request) -> Response:
        """The drawing with other fasteners."""
        voice = voice_of(request)
        girder = self._girder(request)
        one = self.candidate(girder, request.query_params.get("id"))
        drawn = other_scene(voice, girder.text, str(girder.folder.root), one.edits())
        return answer(voice, {"version": girder.version, "scene": drawn})

    def candidate(self, girder: OnDesk, said: Any) -> Candidate:
        """What a page names, of what this firm has and this job declares.

        Raises:
            BadRequestError: it is none of these.
        """
        firm = read_firm(self.desk.folder)
        try:
            return candidate(said, girder.first(), firm)
        except ValueError:
            raise BadRequestError("no such fastener") from None

    def papers(self, request: Request) -> Response:
        """The sheets of a girder, and what went out."""
        voice = voice_of(request)
        girder = self._girder(request)
        out = papers.issued(girder.folder, girder.name)
        said = papers.said_back(voice, girder)
        return answer(voice, {"sheets": papers.sheets(voice, girder), "issued": out, "said": said})

    def pages(self, request: Request) -> Response:
        """Whether the pages of a sheet are made."""
        voice = voice_of(request)
        density = _number(request.query_params.get("density"), 110.0)
        sheet = request.path_params["sheet"]
        workers = self.desk.workers
        return answer(voice, papers.page_state(self._girder(request), workers, sheet, density))

    def picture(self, request: Request) -> Response:
        """One page as a picture."""
        from starlette.responses import Response

        sheet, n = request.path_params["sheet"], request.path_params["n"]
        density = _number(request.query_params.get("density"), 110.0)
        girder = self._girder(request)
        data = papers.page_picture(girder, self.desk.workers, sheet, density, n)
        return Response(data, media_type="image/png")

    def file(self, request: Request) -> Response:
        """A file to take along."""
        what = request.path_params["what"]
        if what not in papers.FILES:
            raise BadRequestError("no such file")
        girder = self._girder(request)
        data = papers.file_to_take(girder, self.desk.workers, what)
        job = girder.first().job
        name = papers.file_name(job, what) if job else what
        return taken_along(data, name, papers.FILES[what])

    def inspections(self, request: Request) -> Response:
        """What the inspections of a girder came to."""
        voice = voice_of(request)
        return answer(voice, inspections(voice, self._girder(request)))

    async def record(self, request: Request) -> Response:
        """Judge a record that was dropped onto the page."""
        voice = voice_of(request)
        data = await request.body()
        name = request.query_params.get("file", "")[:MOST_NAME]

        def done() -> Response:
            return answer(voice, take_record(voice, self._girder(request), name, data))

        return await in_thread(voice, done)

    def result(self, request: Request) -> Response:
        """The result of a piece on paper, or the page of its next visit."""
        piece, what = request.path_params["piece"], request.path_params["what"]
        if what not in ("pdf", "html"):
            raise BadRequestError("no such file")
        data = result_file(self._girder(request), piece, what)
        kind = "application/pdf" if what == "pdf" else "text/html"
        return taken_along(data, f"inspection-{piece}.{what}", kind)


def taken_along(data: bytes, name: str, kind: str) -> Response:
    """A file that is kept and never opened on the desk's own address."""
    from urllib.parse import quote

    from starlette.responses import Response

    heads = {"content-disposition": f"attachment; filename*=UTF-8''{quote(name, safe='')}"}
    return Response(data, media_type=kind, headers=heads)


def _plate(_voice: Voice, _: WorkPages, girder: OnDesk, body: Plain) -> None:
    girder.amend(plate_edits(girder.first(), body))


def _loads(voice: Voice, _: WorkPages, girder: OnDesk, body: Plain) -> Plain | None:
    job = girder.first().job
    if job is None:
        raise NoScheduleError(said("desk.mend_first"))
    found = read_loads(voice, str(body.get("text", "")), job, str(body.get("chord", "BC1")))
    if body.get("keep") and found.entries and not found.faults:
        gone = examples(girder.first().data) if body.get("instead") else []
        drops = [Edit(("loads", n), "drop") for n in reversed(gone)]
        girder.amend([*drops, *(Edit(("loads",), "add", entry) for entry in found.entries)])
        return None
    return {"entries": found.entries, "faults": found.faults}


def _adopt(_voice: Voice, pages: WorkPages, girder: OnDesk, body: Plain) -> None:
    girder.amend(pages.candidate(girder, body.get("id")).edits())


def _issue(_voice: Voice, pages: WorkPages, girder: OnDesk, _: Plain) -> Plain:
    if pages.desk.deliver is None:
        raise BadRequestError("nothing can be issued here")
    lines = papers.issue(girder, pages.desk.deliver)
    where = Path("issued") / papers.issue_folder(girder.folder, girder.name).name
    return {
        "lines": lines,
        "where": str(where),
        "issued": papers.issued(girder.folder, girder.name),
    }


def _number(said: str | None, usual: float) -> float:
    try:
        return float(said) if said is not None else usual
    except ValueError:
        return usual
