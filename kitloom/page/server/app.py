"""The page's addresses: one for each step, each edit, each picture and each file.

In: a bench behind a door. Out: an ASGI application. Handlers that compute are plain functions, so
that they run in threads and the event loop stays free. Every edit answers with the step's page, so
that the page works without its script too; the script only swaps in what changed.
"""

from __future__ import annotations

import io
import json
import re
import uuid
import zipfile
from collections.abc import Callable, Mapping
from functools import partial
from types import MappingProxyType
from typing import Any
from urllib.parse import parse_qsl, urlsplit

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import (
    HTMLResponse,
    JSONResponse,
    PlainTextResponse,
    RedirectResponse,
    Response,
    StreamingResponse,
)
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from kitloom.page.addresses import file_address, picture_address, step_address
from kitloom.page.edits import (
    MAX_FILE_BYTES,
    MAX_PATTERNS,
    READ_ME,
    SUFFIXES,
    Form,
    Incoming,
    NotArtworkError,
    SortedDrop,
    is_archive,
    keep_artwork,
    measure_artwork,
    no_picture,
    not_artwork,
    pictures_in,
    recipe_among,
    room_left,
    save,
    set_text,
    settings_place,
    shown_name,
    sort_drop,
    take_other_artwork,
    take_own_row,
    take_palette,
    take_profile,
    take_recipe,
    take_setting_file,
)
from kitloom.page.edits import table as edits
from kitloom.page.page_error import PageError
from kitloom.page.server.drop_order import DropOrder
from kitloom.page.server.safety import FILE_POLICY, Door, Guard
from kitloom.page.state import Bench, plain_stem
from kitloom.page.views import (
    SLUGS,
    OpenPage,
    Pictures,
    files_view,
    page_view,
    road_text,
)
from kitloom.page.work import REMAKES, Batch, FileMaking, Previews, earlier_files
from kitloom.roads import ROADS
from palette.errors import KitloomError, reason_of, short_line
from patterns.artwork import SUFFIXES as ARTWORK

MAX_FILES = 64
MAX_FIELDS = MAX_PATTERNS + 40  # a form may have a box to tick for each tile
MAX_FIELD_BYTES = 4 * 2**20  # as it is sent; what is too long for a recipe is said in its own words
TOO_MUCH = "That is more at once than the page takes. Nothing was changed; send less.\n"
SHEET_SECONDS = 0.3  # an answer waits so long for the sheet, which then need not be asked for again
ROAD_COOKIE, YEAR_SECONDS = "kitloom-road", 365 * 24 * 3600
ROAD_KEYS = frozenset(road.key for road in ROADS)
NO_ARTWORK = (".toml", ".icc", ".icm", *SUFFIXES)
_TYPES = {
    ".pdf": "application/pdf",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".html": "text/html; charset=utf-8",
    ".json": "application/json",
    ".toml": "application/toml",
}


class Handlers:
    """The handlers, and what they share."""

    def __init__(self, bench: Bench) -> None:
        """Serve one bench."""
        self.bench = bench
        self.making = FileMaking(bench)
        self.previews = Previews(bench)
        self.batch = Batch(bench, self.previews)
        self.pictures = Pictures(bench, self.previews)
        self.refused_at_start: list[KitloomError] = []
        self.order = DropOrder()
        environment = Environment(
            loader=PackageLoader("kitloom"),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        environment.globals |= {
            "step_address": step_address,
            "picture_address": picture_address,
            "file_address": file_address,
        }
        environment.filters["brief"] = short_line  # what was typed may be quoted in it
        self.template = environment.get_template("page/bench.html")

    def page(
        self,
        slug: str,
        query: dict[str, str],
        refusals: tuple[KitloomError, ...] = (),
        status: int = 200,
        sent: Mapping[str, str] = MappingProxyType({}),
    ) -> HTMLResponse:
        """Return a step's page, with what was refused."""
        view = page_view(
            OpenPage(self.bench, self.making, self.batch),
            slug,
            query,
            refusals=refusals,
            sent=sent,
        )
        return HTMLResponse(self.template.render(view), status)

    def refusal(
        self,
        slug: str,
        query: dict[str, str],
        refusals: tuple[KitloomError, ...],
        sent: Mapping[str, str] = MappingProxyType({}),
    ) -> HTMLResponse:
        """Return a step's page as an answer that refuses, with what was sent."""
        return self.page(slug, query, refusals, 422, sent)

    def start(self, request: Request) -> Response:
        """Lead to where the work begins."""
        del request
        slug = "artwork" if self.bench.recipe() is None else "tiles"
        return RedirectResponse(step_address(slug), 303)

    def step(self, request: Request) -> Response:
        """Show one step."""
        slug = request.path_params["slug"]
        if slug not in SLUGS:
            raise HTTPException(404)
        refusals, self.refused_at_start = tuple(self.refused_at_start), []
        query = dict(request.query_params)
        road = query.get("road")
        if slug == "home" and road is None:  # the maker's machine is the same as last time
            query["road"] = request.cookies.get(ROAD_COOKIE, "")
        answer = self.page(slug, query, refusals)
        if slug == "home" and road in ROAD_KEYS:
            answer.set_cookie(
                ROAD_COOKIE,
                road,
                max_age=YEAR_SECONDS,
                httponly=True,
                samesite="strict",
                path=step_address("home"),
            )
        return answer

    async def edit(self, request: Request) -> Response:
        """Make an edit, then show the step again."""
        limits = {"max_fields": MAX_FIELDS, "max_part_size": MAX_FIELD_BYTES}
        async with request.form(max_files=0, **limits) as form:
            fields = {key: value for key, value in form.items() if isinstance(value, str)}
        name = request.path_params["name"]

        def make() -> None:
            if name in {"undo", "redo"}:
                self.bench.undo() if name == "undo" else self.bench.redo()
            elif name == "save":
                save(self.bench, Form(fields))
                self.bench.tell("saved")
            elif name == "text":
                set_text(self.bench, Form(fields))
            elif name in REMAKES:
                REMAKES[name](self.batch, Form(fields))
            else:
                edits.apply(self.bench, name, Form(fields))
            self.bench.wait_drawn(SHEET_SECONDS)

        def back() -> str:
            tile = settings_place(self.bench, Form(fields)) if name == "settings" else None
            return step_address("tiles", *tile) if tile else fields.get("back", "")

        return await self._answer(fields.get("back", ""), make, back, fields)

    async def make_files(self, request: Request) -> Response:
        """Start or stop the making of the files."""
        async with request.form(max_files=0, max_fields=MAX_FIELDS) as form:
            stop, back = form.get("do") == "stop", form.get("back")
            start = partial(self.making.start, listing=form.get("listing") == "yes")
        back = back if isinstance(back, str) else step_address("home")
        return await self._answer(back, self.making.stop if stop else start)

    async def upload(self, request: Request) -> Response:
        """Take in artwork, recipes, profiles and palettes; what cannot be used is refused."""
        limits = {"max_files": MAX_FILES, "max_fields": MAX_FIELDS}
        try:  # a large file waits in the system's temporary folder while it comes
            async with request.form(**limits, max_part_size=1024 * 1024) as form:
                return await self._take_all(form)
        except OSError as error:
            refused = PageError(
                "what was dropped cannot be added",
                where="artwork",
                why=reason_of(error),
                remedy="Make room on the disk, and drop it again.",
            )
            return await run_in_threadpool(self.refusal, "artwork", {}, (refused,))

    async def _take_all(self, form: FormData) -> Response:
        refusals: list[KitloomError] = []
        kept: list[KitloomError] = []
        worn = ""
        if form.get("instead"):
            return await self._exchange(form)
        if form.get("part") or form.get("own-row"):
            return await self._take_for_a_key(form)
        drop, number = _turn(form.get("drop"), form.get("turn"))
        together = drop or uuid.uuid4().hex
        sent = [one for one in form.getlist("files") if isinstance(one, UploadFile)]
        sent = [one for one in sent if one.filename or one.size]
        if len(sent) > 1:
            names = [one.filename or "" for one in sent]
            at = recipe_among(names)
            found, refusals = await self._sort(
                names, sent[at] if at is not None else None, together
            )
            sent = [sent[i] for i in found.come]
        for file in sent:
            if is_archive(file.filename or ""):
                refusals += await self._take_archive(file, together, drop, number)
            else:
                content = await file.read(MAX_FILE_BYTES + 1)
                incoming = Incoming(file.filename or "", content, together)
                palette, refused = await self._take(incoming, drop, number)
                worn = palette or worn
                kept += [_palette_kept(incoming.name, palette)] if palette else []
                refusals += refused
        slug, query = _place(str(form.get("back") or ""))
        if refusals:
            refusals = kept + refusals
            return await run_in_threadpool(self.refusal, slug, query, tuple(refusals))
        if worn and slug == "palette":
            dressed = {"tile": query.get("tile"), "wear": worn}
            return RedirectResponse(step_address(slug, dressed, "part-wear"), 303)
        if kept:
            return await run_in_threadpool(self.page, slug, query, tuple(kept))
        return RedirectResponse(step_address(slug, query), 303)

    async def sort(self, request: Request) -> Response:
        """Tell which files of a drop are to be sent, by their names; open the recipe among them.

        Where there is one, the first answer is its number.
        """
        limits = {"max_files": 1, "max_fields": 4}
        async with request.form(**limits, max_part_size=MAX_FIELD_BYTES) as form:
            try:
                names = [_shown(str(name)) for name in json.loads(str(form.get("names")))]
            except (ValueError, TypeError, RecursionError) as error:
                raise HTTPException(400) from error
            recipe = form.get("recipe")
            recipe = recipe if isinstance(recipe, UploadFile) else None
            at = recipe_among(names)
            if at is not None and recipe is None:  # it is sent, and asked once more
                return JSONResponse({"recipe": at})
            drop = str(form.get("drop") or "")[:40]
            found, told = await self._sort(names, recipe, drop)
        page = await run_in_threadpool(self.page, "artwork", {}, tuple(told))
        return JSONResponse({"come": found.come, "page": bytes(page.body).decode()})

    async def _sort(
        self, names: list[str], recipe: UploadFile | None, drop: str
    ) -> tuple[SortedDrop, list[KitloomError]]:
        """Sort a drop and open its recipe; return what comes, and what is said of the rest."""
        content = await recipe.read(MAX_FILE_BYTES + 1) if recipe is not None else None

        def take() -> SortedDrop:
            found = sort_drop(names, content)
            if found.recipe is not None and content is not None:
                name = names[found.recipe]
                take_recipe(self.bench, Incoming(name, content, drop, found.along(names)))
            return found

        try:
            found = await run_in_threadpool(take)
        except KitloomError as error:
            return SortedDrop(None, (), ()), [error]
        return found, list(found.told)

    async def _take_for_a_key(self, form: FormData) -> Response:
        """Take a file in that a key of the recipe is to name."""
        given = form.get("files")
        file = Incoming("", b"")
        if isinstance(given, UploadFile):
            file = Incoming(given.filename or "", await given.read(MAX_FILE_BYTES + 1))
        part, key, own = (str(form.get(name) or "") for name in ("part", "key", "own-row"))

        def take() -> None:
            if own:
                take_own_row(self.bench, file, own)
            else:
                take_setting_file(self.bench, file, part, key)

        return await self._answer(str(form.get("back") or ""), take)

    async def _exchange(self, form: FormData) -> Response:
        """Give the parts of the kit's tiles to those that were sent."""
        files: list[Incoming] = []
        refusals: list[KitloomError] = []
        try:
            for file in form.getlist("files"):
                if isinstance(file, UploadFile) and is_archive(file.filename or ""):
                    found = pictures_in(file.file, file.filename or "", "", MAX_PATTERNS)
                    while (one := await run_in_threadpool(next, found, None)) is not None:
                        if isinstance(one, Incoming) and _is_picture(one.name):
                            files.append(one)
                        elif isinstance(one, KitloomError):
                            refusals.append(one)
                elif isinstance(file, UploadFile) and file.filename:
                    files.append(Incoming(file.filename, await file.read(MAX_FILE_BYTES + 1)))
            refusals += await run_in_threadpool(take_other_artwork, self.bench, files)
        except KitloomError as error:
            refusals.append(error)
        if refusals:
            return await run_in_threadpool(self.refusal, "artwork", {}, tuple(refusals))
        return RedirectResponse(step_address("artwork"), 303)

    async def _take(self, file: Incoming, drop: str, number: int) -> tuple[str, list[KitloomError]]:
        """Take one file in; return the palette that it is, if it is one, and what was refused."""
        try:
            other = not_artwork(file.name)
            if other is not None:
                return "", [other]
            if not file.name.lower().endswith(NO_ARTWORK):
                if not file.content and not _is_picture(file.name):
                    return "", [no_picture(file.name)]
                study = await run_in_threadpool(measure_artwork, self.bench, file)
                await self.order.wait_for_those_before(drop, number)
                await run_in_threadpool(keep_artwork, self.bench, file, study)
                return "", []
            return await run_in_threadpool(self._take_other, file), []
        except KitloomError as error:
            return "", [error]
        finally:
            self.order.passed(drop, number)

    async def _take_archive(
        self, file: UploadFile, together: str, drop: str, number: int
    ) -> list[KitloomError]:
        """Take in the pictures of an archive one after another; return what was refused."""
        refused: list[KitloomError] = []
        try:
            await self.order.wait_for_those_before(drop, number)
            room = await run_in_threadpool(room_left, self.bench)
            found = pictures_in(file.file, file.filename or "", together, room)
            while (one := await run_in_threadpool(next, found, None)) is not None:
                refused += (
                    [one] if isinstance(one, KitloomError) else (await self._take(one, "", 0))[1]
                )
        except KitloomError as error:
            refused.append(error)
        finally:
            self.order.passed(drop, number)
        return refused

    def _take_other(self, file: Incoming) -> str:
        """Take in what is not artwork; return what a palette is called here."""
        if file.name.lower().endswith(SUFFIXES):
            return take_palette(self.bench, file)
        take = take_recipe if file.name.lower().endswith(".toml") else take_profile
        take(self.bench, file)
        return ""

    async def _answer(
        self,
        back: str,
        do: Callable[[], None],
        after: Callable[[], str] | None = None,
        sent: Mapping[str, str] = MappingProxyType({}),
    ) -> Response:
        """Do something, and show the step that it was done on, or the place ``after`` it."""
        slug, query = _place(back)
        try:
            await run_in_threadpool(do)
        except KitloomError as error:
            return await run_in_threadpool(self.refusal, slug, query, (error,), sent)
        back = after() if after is not None else back
        return RedirectResponse(back if back.startswith("/step/") else "/", 303)

    def picture(self, request: Request) -> Response:
        """Return a picture of a tile or a sheet."""
        kind, query = request.path_params["kind"], dict(request.query_params)
        try:
            if kind == "sheet":
                content = self.pictures.sheet(Form(query).whole("number", 1))
            else:
                content = self.pictures.tile(kind, query)
        except KitloomError as error:
            return PlainTextResponse(f"{error.line()}\n", 404)
        return Response(content, media_type="image/jpeg")

    async def events(self, request: Request) -> Response:
        """Tell a tab what changes, for as long as it listens."""
        del request
        return StreamingResponse(self.bench.signals.stream(), media_type="text/event-stream")

    def recipe(self, request: Request) -> Response:
        """Hand the recipe out."""
        del request
        text = self.bench.workspace.text()
        return _file(self.bench.workspace.recipe.name, text.encode(), save=True)

    def file(self, request: Request) -> Response:
        """Hand out one made file; only names that are in the folder are known."""
        known = {path.name: path for path in earlier_files(self.bench)}
        path = known.get(request.path_params["name"])
        if path is None:
            raise HTTPException(404)
        save = "show" not in request.query_params or path.suffix not in {".html", ".pdf", ".png"}
        return _file(path.name, path.read_bytes(), save=save)

    def everything(self, request: Request) -> Response:
        """Hand out all made files, the recipe and what to do with them as one archive.

        The same bytes every time.
        """
        out, workspace = io.BytesIO(), self.bench.workspace
        paths, recipe = earlier_files(self.bench), self.bench.recipe()
        name = (recipe.kit.name if recipe else "") or workspace.recipe.stem
        entries: list[tuple[str, bytes]] = []
        if recipe is not None:
            text = road_text(request.query_params.get("road", ""), recipe, files_view(paths))
            entries.append((READ_ME, text.encode()))
        entries += [(path.name, path.read_bytes()) for path in paths]
        entries.append((workspace.recipe.name, workspace.text().encode()))
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
            for entry, content in entries:
                archive.writestr(zipfile.ZipInfo(entry), content, zipfile.ZIP_DEFLATED)
        return _file(f"{plain_stem(name, workspace.recipe.stem)}.zip", out.getvalue(), save=True)


def _is_picture(name: str) -> bool:
    return name.lower().endswith(ARTWORK)


def _shown(name: str) -> str:
    return "".join(c if c.isprintable() else "-" for c in name)


def _palette_kept(name: str, called: str) -> KitloomError:
    return NotArtworkError(
        f"is kept as the earlier palette {called}",
        where=shown_name(name),
        remedy='Step 3, Palette, shows your tiles in its colours: see "A colourway" there.',
    )


def _place(back: str) -> tuple[str, dict[str, str]]:
    """Return the step and query of an address within the page."""
    parts = urlsplit(back)
    slug = parts.path.removeprefix("/step/")
    return (slug if slug in SLUGS else SLUGS[0]), dict(parse_qsl(parts.query))


def _turn(drop: object, number: object) -> tuple[str, int]:
    """Return which drop a file is of, and its number there."""
    sound = isinstance(drop, str) and isinstance(number, str) and re.fullmatch(r"\d{1,3}", number)
    return (str(drop)[:40], int(str(number))) if sound else ("", 0)


def _file(name: str, content: bytes, *, save: bool) -> Response:
    suffix = "." + name.rsplit(".", 1)[-1]
    plain = "".join(c if c.isascii() and (c.isalnum() or c in "-_. ") else "-" for c in name)
    kind = "attachment" if save else "inline"
    headers = {"content-disposition": f'{kind}; filename="{plain}"'}
    if suffix != ".pdf":  # a browser's own viewer does not open inside a sandbox
        headers["content-security-policy"] = FILE_POLICY
    media_type = _TYPES.get(suffix, "application/octet-stream")
    return Response(content, media_type=media_type, headers=headers)


def _refusal(request: Request, error: Exception) -> Response:
    del request
    assert isinstance(error, HTTPException)
    # what a form holds too much of is too much, not malformed
    if error.status_code == 400 and any(one in error.detail for one in ("Too many", "exceeded")):
        return PlainTextResponse(TOO_MUCH, 413)
    return PlainTextResponse(f"{error.detail}\n", error.status_code)


def _cut_off(request: Request, error: Exception) -> Response:
    """What came broke off, and nobody is left to read this; nothing of it was taken."""
    del request, error
    return PlainTextResponse("What was sent broke off; send it again\n", 400)


def _breakdown(request: Request, error: Exception) -> Response:
    del request, error
    return PlainTextResponse("Something went wrong; the terminal window says what\n", 500)


def page_app(handlers: Handlers, door: Door, on_entry: Callable[[], None] = lambda: None) -> Any:
    """Return the guarded application.

    Args:
        handlers: what answers, for one bench.
        door: whom it lets in.
        on_entry: called whenever the one-time address was used.
    """
    from importlib.resources import files

    static = StaticFiles(directory=str(files("kitloom") / "static"))
    app = Starlette(
        routes=[
            Route("/", handlers.start),
            Route("/favicon.ico", lambda _: RedirectResponse("/static/icon.svg", 301)),
            Route("/step/{slug}", handlers.step),
            Route("/edit/{name}", handlers.edit, methods=["POST"]),
            Route("/upload", handlers.upload, methods=["POST"]),
            Route("/sorting", handlers.sort, methods=["POST"]),
            Route("/making", handlers.make_files, methods=["POST"]),
            Route("/picture/{kind}", handlers.picture),
            Route("/events", handlers.events),
            Route("/recipe", handlers.recipe),
            Route("/everything", handlers.everything),
            Route("/file/{name}", handlers.file),
            Mount("/static", static),
        ],
        exception_handlers={
            Exception: _breakdown,
            HTTPException: _refusal,
            ClientDisconnect: _cut_off,
        },
    )
    return Guard(app, door, on_entry)
