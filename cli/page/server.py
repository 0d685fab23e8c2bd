"""The application: what the page can ask for.

Every body is a pydantic type, so the OpenAPI description is true.
"""

from __future__ import annotations

from http import HTTPStatus
from typing import Annotated, Any, Literal

from fastapi import FastAPI, Path, Query, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.exceptions import RequestValidationError
from pydantic import BaseModel, ConfigDict, Field

from cli.errors import CliError
from cli.page.desk import Desk
from cli.page.edits import AnyEdit, Whole
from cli.page.errors import (
    ChangedOnDiskError,
    EditError,
    NothingToShowError,
    StaleError,
    UploadError,
)
from cli.page.exports import EXPORTS, ExportKind, SheetStyle, export
from cli.page.files import page_files
from cli.page.pictures import LARGEST_UPLOAD
from cli.page.state import Preview, Pulse, Refusal, State
from cli.page.steps import Sections, Walk, sections_of, walk_of
from cli.page.strength import prediction_of
from cli.page.strength_types import Prediction
from solver import SolverError
from vision import VisionError

__all__ = ["create_app"]

Revision = Annotated[Whole, Field(description="The revision that the person saw.")]


class EditRequest(BaseModel):
    """An edit and what it was made on."""

    model_config = ConfigDict(extra="forbid")

    revision: Revision
    edit: AnyEdit


class StepRequest(BaseModel):
    """An undo or redo and what it was asked on."""

    model_config = ConfigDict(extra="forbid")

    revision: Revision


class DiskChoice(BaseModel):
    """What to do about a file that another program changed."""

    model_config = ConfigDict(extra="forbid")

    choice: Literal["take the file", "keep mine"]


REFUSALS: dict[int | str, dict[str, Any]] = {
    status: {"model": Refusal, "description": words}
    for status, words in {
        403: "not from the page",
        404: "there is nothing yet",
        409: "cannot be done to the model as it is now; the message says why",
        422: "not understood, or no picture that can be used",
    }.items()
}
UPLOAD_REFUSALS: dict[int | str, dict[str, Any]] = {
    **REFUSALS,
    413: {"model": Refusal, "description": "too large"},
}
BINARY_BODY = {
    "requestBody": {
        "required": True,
        "content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}},
    }
}
KINDS: dict[type[Exception], tuple[int, str]] = {
    StaleError: (409, "stale"),
    ChangedOnDiskError: (409, "disk"),
    NothingToShowError: (404, "empty"),
    UploadError: (422, "upload"),
    EditError: (409, "edit"),
}


def create_app(desk: Desk) -> FastAPI:
    """Return the application of one desk; `Guard` stands in front of it when it is served."""
    # No interactive documentation: its pages would come from elsewhere, and no request leaves this machine.
    app = FastAPI(title="panelpoint confirm page", docs_url=None, redoc_url=None, responses=REFUSALS)
    _add_refusals(app)
    _add_page(app)
    _add_state(app, desk)
    _add_changes(app, desk)
    _add_pictures(app, desk)
    return app


def _add_refusals(app: FastAPI) -> None:
    """Turn every error of the house into a sentence with its status."""

    @app.exception_handler(CliError)
    @app.exception_handler(VisionError)
    @app.exception_handler(SolverError)
    def refuse(_: Request, error: Exception) -> Response:
        status, kind = next(
            (found for known, found in KINDS.items() if isinstance(error, known)), (409, "answer")
        )
        return _refusal(status, kind, str(error))

    @app.exception_handler(RequestValidationError)
    def not_understood(_: Request, error: RequestValidationError) -> Response:
        where = ", ".join(".".join(str(part) for part in fault["loc"]) for fault in error.errors()[:3])
        return _refusal(422, "request", f"The request was not understood ({where}).")


def _add_page(app: FastAPI) -> None:
    """Serve the page itself."""
    files = page_files()

    @app.get("/", include_in_schema=False)
    def front() -> Response:
        return Response(files["index.html"].content, media_type=files["index.html"].media_type)

    @app.get("/app/{name}", include_in_schema=False)
    def part(name: str) -> Response:
        # Looked up among what was read at the start: no name from outside reaches the file system.
        if name not in files:
            return _refusal(404, "empty", "There is no such part of the page.")
        return Response(files[name].content, media_type=files[name].media_type)


def _add_state(app: FastAPI, desk: Desk) -> None:
    """Serve what only looks."""

    @app.get("/api/state", response_model=State)
    def state() -> Response:
        """Return everything that the page shows."""
        return _send(desk.state())

    @app.get("/api/pulse")
    def pulse() -> Pulse:
        """Tell whether anything happened elsewhere."""
        return desk.pulse()

    @app.get("/api/steps", response_model=Walk)
    def steps() -> Response:
        """Return the worked solution, step by step."""
        return _send(walk_of(desk.document.now()))

    @app.get("/api/sections", response_model=Sections)
    def sections() -> Response:
        """Return the sections that check member forces."""
        return _send(sections_of(desk.document.now()))

    @app.get("/api/prediction", response_model=Prediction)
    def prediction() -> Response:
        """Return what lets go first, with how sure that is."""
        return _send(prediction_of(desk.document.now()))

    @app.post("/api/preview", response_model=Preview)
    def preview(request: EditRequest) -> Response:
        """Return the answer to an edit that is not made."""
        return _send(desk.preview(request.edit, request.revision))


def _add_changes(app: FastAPI, desk: Desk) -> None:
    """Serve what changes the model."""

    @app.post("/api/edit", response_model=State)
    def edit(request: EditRequest) -> Response:
        """Make an edit and save."""
        return _send(desk.edit(request.edit, request.revision))

    @app.post("/api/undo", response_model=State)
    def undo(request: StepRequest) -> Response:
        """Take the last change back."""
        return _send(desk.undo(request.revision))

    @app.post("/api/redo", response_model=State)
    def redo(request: StepRequest) -> Response:
        """Make the change again that was taken back last."""
        return _send(desk.redo(request.revision))

    @app.post("/api/disk", response_model=State)
    def disk(request: DiskChoice) -> Response:
        """Settle a file that another program changed."""
        return _send(desk.take_disk() if request.choice == "take the file" else desk.keep_mine())


def _add_pictures(app: FastAPI, desk: Desk) -> None:
    """Serve pictures in and out."""

    @app.get("/api/picture", responses={200: {"content": {"image/jpeg": {}}}}, response_class=Response)
    def picture() -> Response:
        """Return the photograph, upright."""
        return Response(desk.picture(), media_type="image/jpeg")

    @app.post("/api/photo", responses=UPLOAD_REFUSALS, response_model=State, openapi_extra=BINARY_BODY)
    async def photo(request: Request) -> Response:
        """Store and read a picture that was dropped on the page."""
        data = await _body(request)
        if data is None:
            return _refusal(413, "upload", f"A picture may have {LARGEST_UPLOAD // 1_000_000} MB at most.")
        return _send(await run_in_threadpool(desk.take_upload, data))

    @app.get(
        "/api/export/{kind}",
        responses={200: {"content": {kind.media_type: {} for kind in EXPORTS.values()}}},
        response_class=Response,
    )
    def exported(
        kind: Annotated[ExportKind, Path()],
        paper: Annotated[Literal["a4", "letter"], Query(description="Of a sheet.")] = "a4",
        language: Annotated[Literal["en", "de"], Query(description="Of a sheet.")] = "en",
    ) -> Response:
        """Return a file to keep: the overlay, the model, the member table, a sheet for the class."""
        document = desk.document
        name, content = export(
            document.path, document.now().model, kind, SheetStyle(paper=paper, language=language)
        )
        headers = {"content-disposition": f'attachment; filename="{name}"'}
        return Response(content, media_type=EXPORTS[kind].media_type, headers=headers)


def _send(body: BaseModel) -> Response:
    """Write an answer as JSON at once: checking it a second time would cost more than solving the truss."""
    text = body.model_dump_json(by_alias=True, exclude_none=True)
    return Response(text, media_type="application/json")


def _refusal(status: int, kind: str, message: str) -> Response:
    refusal = Refusal.model_validate({"kind": kind, "message": message})
    return Response(refusal.model_dump_json(), status_code=HTTPStatus(status), media_type="application/json")


async def _body(request: Request) -> bytes | None:
    """Return the body, None as soon as it is too large."""
    parts: list[bytes] = []
    size = 0
    async for part in request.stream():
        size += len(part)
        if size > LARGEST_UPLOAD:
            return None
        parts.append(part)
    return b"".join(parts)
