"""A crawl of the page in a browser: what it opens is found in the page itself, breadth first.

In: a tab, the server behind it, and whether the page's script runs. Out: complaints, each with the
address and the control that it is about. What is asserted of a page rests on its address and on
what a person sees: the tile, the colour, the sticker and the panel that the address names are the
ones that are shown.
"""

from __future__ import annotations

import shutil
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl, urlencode, urlsplit

from playwright.sync_api import Error
from playwright.sync_api import TimeoutError as NeverCame

from kitloom.page.addresses import step_address
from kitloom.page.views import IN_ADDRESS, SLUGS

from ..conftest import Served
from ..waiting import HANGS_SECONDS, until

READER = (Path(__file__).parent / "crawling.js").read_text()
MOST_STATES = 250  # a page whose addresses never end must end the crawl
LEAVES = ("Leave", "Close")  # what a link that closes its own panel must say
# an edit that answers what a panel asks closes it: which choices are settled then
SETTLED = {
    "/edit/use-mended": {"try"},
    "/edit/looked": {"try"},
    "/edit/use-repaired": {"try"},
    "/edit/use-recoloured": {"swap", "to", "tile"},
    "/edit/use-redressed": {"wear", "tile"},
    "/edit/swap": {"swap", "to", "tile"},
    "/edit/remove-sticker": {"sticker"},
    "/edit/leave-out": {"swap", "to", "tile"},  # the colour that was to be swapped may be gone
    "/edit/move-row": {"row"},  # its number is another row's then
    "/edit/remove-row": {"row"},
    "/upload": {"wear", "swap", "to", "row"},  # the palette that was given is worn
}
TAKES_ROOM = {"/edit/place"}  # what is typed there may be in the way: test_own_places tries it
GONE = "any more"  # how the page says that something is gone
Facts = Mapping[str, Any]


def address_of(url: str) -> str:
    """An address without its origin and its part, its choices in one order."""
    parts = urlsplit(url)
    query = urlencode(sorted(parse_qsl(parts.query, keep_blank_values=True)))
    return parts.path + (f"?{query}" if query else "")


def choices_of(address: str) -> dict[str, str]:
    return dict(parse_qsl(urlsplit(address).query, keep_blank_values=True))


def step_of(address: str) -> str:
    return urlsplit(address).path.removeprefix("/step/")


def of_tile(step: str, choices: Mapping[str, str], facts: Facts) -> list[str]:
    """What says in a step which tile is chosen."""
    if step == "palette":
        worn = [facts["strips"].get("part-wear", "")] if choices.get("wear") else []
        swapped = [facts["strips"].get("part-swap", "")] if choices.get("swap") else []
        return worn + swapped
    head = facts["heads"].get({"tiles": "part-tile", "print": "part-printed"}.get(step, ""), "")
    name = choices["tile"]
    return [facts["strips"].get("part-strip", ""), name if head.startswith(name) else head]


# what a choice in an address must show, by the steps that know it -> what is shown of it
SHOWN: dict[str, Callable[[str, Mapping[str, str], Facts], list[str]]] = {
    "tile": of_tile,
    "swap": lambda _, __, facts: facts["swapped"] or [""],
    "to": lambda _, __, facts: [facts["to"]],
    "wear": lambda _, __, facts: [facts["worn"]],
    "sticker": lambda _, __, facts: [facts["sticker"]],
    "try": lambda _, choices, facts: [choices["try"] if "part-try" in facts["open"] else ""],
    "road": lambda _, __, facts: [facts["road"]],
    "row": lambda _, __, facts: [facts["row"]],
}
STEPS = {
    "tile": {"tiles", "palette", "print"},
    "swap": {"palette"},
    "to": {"palette"},
    "wear": {"palette"},
    "sticker": {"sheet"},
    "try": {"tiles", "print"},
    "road": {"home"},
    "row": {"kit"},
}
assert set(SHOWN) == set(STEPS) == set(IN_ADDRESS), "a new choice: say here how the page shows it"


def not_shown(address: str, facts: Facts) -> list[str]:
    """What an address asks for and its page does not show, nor says that it is gone."""
    step, choices, missing = step_of(address), choices_of(address), []
    for key, value in choices.items():
        if key not in SHOWN or step not in STEPS[key]:
            missing.append(f"{key}={value} means nothing on this step")
        elif not is_gone(key, value, facts["said"]):
            shown = SHOWN[key](step, choices, facts)
            missing += [f"{key}={value}, shown is {one!r}" for one in shown if one != value]
    return missing


def is_gone(key: str, value: str, said: str) -> bool:
    """Whether a page says that this very choice is gone, or all that was chosen."""
    return GONE in said and (value in said or key in {"sticker", "row"} or "What you chose" in said)


@dataclass
class Crawl:
    """One crawl.

    Attributes:
        page: the tab.
        served: the server, whose recipe is compared before and after.
        scripted: whether the page's script runs.
        files: by a file's ending, what is given to a field that takes such files.
        thorough: whether a control is used once for each kind of choice, not once for each step.
        known: the kinds of control that need no use, since another crawl has used them; the kinds
            that this one uses are added.
        most_alike: how many controls of one kind are used in states of one kind.
    """

    page: Any
    served: Served
    scripted: bool
    files: Mapping[str, Path]
    thorough: bool = True
    known: set[tuple[str, ...]] = field(default_factory=set)
    most_alike: int = 1
    complaints: list[str] = field(default_factory=list)
    states: list[str] = field(default_factory=list)
    used: list[str] = field(default_factory=list)
    fetched: list[str] = field(default_factory=list)
    _at: str = ""
    # by address: the panels that must be open there, and the parts that links lead to
    _promised: dict[str, tuple[set[str], set[str]]] = field(default_factory=dict)
    _facts: dict[str, Facts] = field(default_factory=dict)
    _alike: dict[tuple[str, ...], set[str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        page = self.page
        page.on("pageerror", lambda error: self.complain(f"script: {error}"))
        page.on("console", lambda one: self.complain(f"console: {one.type} {one.text}"))
        page.on("request", self._request)
        page.on("response", self._response)
        page.on("requestfailed", self._failure)
        page.on("dialog", lambda one: one.dismiss())

    def complain(self, what: str) -> None:
        said = f"{self._at}: {what}"
        if said not in self.complaints:
            self.complaints.append(said)

    def _request(self, request: Any) -> None:
        if not request.url.startswith((f"{self.served.origin}/", "data:", "blob:")):
            self.complain(f"asks another host for {request.url}")

    def _response(self, response: Any) -> None:
        if response.status >= 400:
            self.complain(f"{response.status} for {response.request.method} {response.url}")

    def _failure(self, request: Any) -> None:
        given_up = ("ERR_ABORTED", "ERR_NETWORK_CHANGED")  # by the browser, as it leaves a page
        if not any(one in (request.failure or "") for one in given_up):
            self.complain(f"{request.failure} for {request.url}")

    def run(self, start: str) -> None:
        """Crawl from an address until nothing new is found."""
        waiting, known = deque([start]), {start}
        while waiting:
            address = waiting.popleft()
            self._at = address
            if len(self.states) >= MOST_STATES:
                self.complain("the crawl found no end")
                return
            self.states.append(address)
            for found in self._visit(address):
                if found not in known:
                    known.add(found)
                    waiting.append(found)
        self._keep_promises()

    def _keep_promises(self) -> None:
        """Hold what links promised against what the states showed."""
        for address, (panels, parts) in self._promised.items():
            self._at, facts = address, self._facts[address]
            for panel in panels - set(facts["open"]):
                self.complain(f"a link within {panel} closed it")
            for part in parts - set(facts["parts"]):
                self.complain(f"a link leads to its part {part}, which is not there")

    def _visit(self, address: str) -> Iterator[str]:
        """Open a state, follow its links, use its controls; yield the states that it leads to."""
        self.open(address)
        if not address.startswith("/step/"):  # a document that was made: it must open, no more
            return
        self._read("unfold()")
        self._facts[address] = self._judge(address)
        if GONE in self._facts[address]["said"]:
            self.complain("a link led to what is gone")
        links = self._read("links()")
        for link in links:
            yield from self._links_to(link)
        for control in self._read("controls()"):
            if control["action"] in TAKES_ROOM and control["kind"]:
                continue
            # what a step offers whatever is chosen is used once with each kind of choice
            choices = sorted(choices_of(address)) if self.thorough else ()
            what = tuple(control[key] for key in ("part", "action", "names", "kind"))
            plain = (step_of(address), *what)
            if plain in self.known and not self.thorough:
                continue
            used = self._alike.setdefault((step_of(address), *choices, *what), set())
            wanted = control["data"] not in used and len(used) < self.most_alike
            if wanted and self._use(address, control):
                used.add(control["data"])
                self.known.add(plain)

    def _links_to(self, link: dict[str, Any]) -> Iterator[str]:
        """Look at one link; yield where it leads, if that is a page."""
        said, to = f"{link['words']!r} to {link['address']}", link["address"]
        if link["fault"]:
            self.complain(f"{said} {link['fault']}")
        if not to.startswith("/"):
            self.complain(f"{said} leads away")
        elif link["saves"]:
            self._fetch(said, to)
        else:
            if to.startswith("/step/"):
                self._promises(said, to, link)
            yield address_of(to)

    def _fetch(self, said: str, to: str) -> None:
        if to in self.fetched:
            return
        self.fetched.append(to)
        answer = self.page.request.get(self.served.origin + to)
        if not answer.ok or "attachment" not in answer.headers["content-disposition"]:
            self.complain(f"{said} is not handed out")

    def _promises(self, said: str, to: str, link: Mapping[str, Any]) -> None:
        """Note what a step must show when a link led to it."""
        unknown = set(choices_of(to)) - set(IN_ADDRESS)
        if unknown:
            self.complain(f"{said} names {', '.join(sorted(unknown))}, which no step knows")
        promise = self._promised.setdefault(address_of(to), (set(), set()))
        if link["within"] and link["here"] and not link["words"].startswith(LEAVES):
            promise[0].add(link["within"])
        if link["part"]:
            promise[1].add(link["part"])

    def _judge(self, address: str) -> Facts:
        """Compare what is shown with what the address asks for."""
        facts: Facts = self._read("shows()")
        for missing in not_shown(address, facts):
            self.complain(f"asked for {missing}")
        if facts["waits"]:
            self.complain("says that it waits, and nothing is under way")
        if facts["wider"] > 0:
            self.complain(f"is {facts['wider']} px wider than the window")
        for dead in self._read("dead()"):
            self.complain(f"{dead} does nothing without a script")
        return facts

    # -- a state, opened and at rest ---------------------------------------------------------------
    def open(self, address: str) -> None:
        """Open an address and wait until all that it begins is done."""
        if not address.startswith("/step/"):
            self.page.goto(self.served.origin + address)
            return
        if not self.scripted:
            self._until_done(address)
        until(lambda: self._goes(self.served.origin + address))
        self._settle()

    def _goes(self, url: str) -> bool:
        """Go there; False where the page was asking for itself again just then."""
        try:
            self.page.goto(url)
        except Error as error:
            if "interrupted by another navigation" in error.message:
                return False
            raise
        return True

    def _settle(self) -> None:
        """Wait until the page shows all that there is to show."""
        if self.scripted:
            until(self._current)
        else:
            address = address_of(self.page.url)
            if address.startswith("/step/") and not done(self.page.content()):
                self._until_done(address)
                shown = self.page.url
                until(lambda: self._goes("about:blank"))  # loaded again, it does not go to its part
                until(lambda: self._goes(shown))
        self.page.evaluate(READER)

    def _current(self) -> bool:
        """Whether the script shows the very page that the server would send now."""
        self.page.evaluate(READER)
        if self.page.locator("body.sending").count():  # the answer may say that something began
            return False
        if not still(self.page.content()):  # costs less than to ask the server
            return False
        address = address_of(self.page.url)
        text = self._text(address)
        if not done(text):
            return False
        return self._read("differs(text)", text) == [] and address == address_of(self.page.url)

    def _until_done(self, address: str) -> None:
        """Wait until a step has nothing under way."""
        until(lambda: done(self._text(address)))

    def _text(self, address: str) -> str:
        return str(self.page.request.get(self.served.origin + address).text())

    def _read(self, call: str, given: Any = None) -> Any:
        name = call.split("(")[1].rstrip(")")
        return self.page.evaluate(f"({name or '_'}) => window.crawling.{call}", given)

    # -- a control, used and undone ----------------------------------------------------------------
    def _use(self, address: str, control: dict[str, Any]) -> bool:
        """Use a control, judge what comes of it, and undo it; False where it cannot be used."""
        self._at = f"{address} [{control['part']} {control['action']} {control['words']!r}]"
        if control["fault"]:
            self.complain(control["fault"])
        if address_of(self.page.url) != address:
            self.open(address)
        self._read("unfold()")
        before, recipe = self._read("shows()"), self._recipe()
        try:
            if not self._send(control):
                return False
        except NeverCame as error:
            self.complain(f"nothing comes of it: {error.message.splitlines()[0]}")
            self.page.goto("about:blank")
        self.used.append(self._at)
        after_url = self.page.url
        now = address_of(after_url)
        if not now.startswith("/step/"):
            self.complain(f"ends at {now}")
            self.open(address)
        else:
            self._judge_answer(address, now, control, before)
        while self._recipe() != recipe:
            self.page.evaluate(READER)
            back = self.page.locator("#redo" if control["action"] == "/edit/undo" else "#undo")
            if not (back.count() and back.is_enabled()):
                self.complain("cannot be undone")
                (self.served.folder / "kit.toml").write_bytes(recipe)
                break
            self._pressing(back.click)
        if control["action"] == "/edit/save":  # no step of the recipe, so nothing undoes it
            save_pieces(self.served.settings)
            self.open(address)
        self._at = address
        if address_of(self.page.url) != address:
            self.open(address)
        return True

    def _judge_answer(self, address: str, now: str, control: Mapping[str, Any], was: Facts) -> None:
        settled = SETTLED.get(control["action"], set())
        if step_of(now) != step_of(address):
            self.complain(f"leads to another step, {now}")
            return
        facts = self._judge(now)
        asked, kept = choices_of(address), choices_of(now)
        for key in set(asked) - settled:
            if kept.get(key) != asked[key] and control["method"] == "post":
                self.complain(f"{key}={asked[key]} is forgotten at {now}")
        if not settled and not facts["said"]:
            for panel in set(was["open"]) - set(facts["open"]):
                self.complain(f"{panel} is closed at {now}")
        fold = control["action"] != "/upload" and control["fold"]
        if fold and not facts["folds"].get(fold, True):
            self.complain(f"{fold!r} is folded again at {now}")

    def _send(self, control: dict[str, Any]) -> bool:
        """Use a control as a maker would; False where there is nothing to choose."""
        pair = self.page.evaluate_handle("one => window.crawling.element(one)", control)
        found, button = (pair.get_property(str(i)).as_element() for i in (0, 1))
        if found is not None and control["kind"].endswith(" file"):
            path = next((self.files[e] for e in control["accept"].split(",") if e in self.files), 0)
            if not path:
                self.complain(f"wants a file of {control['accept']}, and the crawl has none")
                return False
            if button is None:  # the script sends it at once
                self._pressing(lambda: found.set_input_files(path))
                return True
            self._act_on(control, "0", lambda field: _give(field, path))
        elif found is not None:
            if not self._choose(found, control):
                return False
            if button is None:
                return True
        self._pressing(lambda: self._act_on(control, "1", lambda button: button.click()))
        return True

    def _act_on(self, control: Mapping[str, Any], which: str, use: Callable[[Any], object]) -> None:
        """Use a control's field ("0") or button ("1"), again if it was swapped in between."""

        def used() -> bool:
            pair = self.page.evaluate_handle("one => window.crawling.element(one)", control)
            try:
                use(pair.get_property(which).as_element())
            except Error as error:
                if "not attached" in error.message:
                    return False
                raise
            return True

        until(used)

    def _choose(self, found: Any, control: Mapping[str, Any]) -> bool:
        """Choose or type another value; with the script, that sends it."""
        value, kind = found.evaluate("field => window.crawling.other(field)"), control["kind"]
        if found.is_checked() if kind == "INPUT radio" else value is None:
            return False

        def choose(field: Any) -> None:
            if kind == "INPUT radio":
                field.click()  # check() would ask again, of a field that is gone by then
            elif kind.startswith("SELECT"):
                field.select_option(value)
            elif kind == "INPUT range":
                field.evaluate(
                    """(field, value) => { field.value = value;
                    for (const kind of ["input", "change"])
                      field.dispatchEvent(new Event(kind, {bubbles: true})); }""",
                    value,
                )
            else:
                field.fill(value)
                field.press("Tab")

        if self.scripted:
            self._pressing(lambda: self._act_on(control, "0", choose))
        else:
            self._act_on(control, "0", choose)
        return True

    def _pressing(self, press: Callable[[], object]) -> None:
        """Do what sends something, and wait for what comes of it."""
        if self.scripted:

            def sent(request: Any) -> bool:
                return request.method == "POST" or request.is_navigation_request()

            with self.page.expect_response(lambda answer: sent(answer.request)):
                press()
        else:
            with self.page.expect_navigation():
                press()
        self.page.wait_for_load_state()
        self._settle()

    def _recipe(self) -> bytes:
        path = self.served.folder / "kit.toml"
        return path.read_bytes() if path.exists() else b""


def _give(field: Any, path: Path) -> None:
    """Choose a file, in a field that is still on the page afterwards."""
    field.set_input_files(path)
    if not field.evaluate("field => field.isConnected"):
        raise Error("the field is not attached any more")


def save_pieces(settings: Path) -> None:
    """Save a planner, a paper and a machine, and nothing else."""
    shutil.rmtree(settings, ignore_errors=True)
    pieces = {
        "planners/Mine": '[planner]\nbox = "36mm x 42mm"\n',
        "papers/Mine": '[sheet]\npaper = "A4"\n',
        "machines/Mine": '[sheet]\nmargin = "9mm"\n',
    }
    for name, piece in pieces.items():
        path = settings / "kitloom" / f"{name}.toml"
        path.parent.mkdir(parents=True)
        path.write_text(piece)


def done(text: str) -> bool:
    """Whether a page says that nothing is under way, and shows its sheets as fine as they get."""
    return still(text) and 'http-equiv="refresh"' not in text


def still(text: str) -> bool:
    """The same of a page in a browser, whose head stays as it came."""
    coarse = "data-sheet" in text and "-fine" not in text
    return not coarse and "<progress" not in text and "Drawing the sheet …" not in text


NO_KIT = ("My broken kit", "My empty kit")  # of which the page shows its first step alone


def crawl_kit(
    kit: Served,
    chromium: Any,
    files: Mapping[str, Path],
    wide: int,
    *,
    scripted: bool,
    thorough: bool = False,
    known: Iterable[tuple[str, ...]] = (),
) -> Crawl:
    """Crawl a kit in a window so many pixels wide, and fail with all that is not as asked for.

    Every state is opened and judged, and each kind of control used that is not among ``known``.
    """
    context = chromium.new_context(
        viewport={"width": wide, "height": 900}, java_script_enabled=scripted
    )
    context.add_cookies(made_ready(kit, chromium))
    page = context.new_page()
    page.set_default_timeout(HANGS_SECONDS * 1000)
    crawl = Crawl(page, kit, scripted, files, thorough, set(known))
    crawl.run(step_address("artwork"))
    context.close()
    assert crawl.complaints == [], "\n".join(crawl.complaints)
    steps = {step_of(one) for one in crawl.states}
    reached = {"artwork"} if kit.folder.name in NO_KIT else set(SLUGS)
    assert reached <= steps, "the crawl did not get to every step"
    return crawl


def made_ready(kit: Served, chromium: Any) -> Any:
    """Make the files of a kit once, where they can be; return what the one-time address gave."""
    context = chromium.new_context()
    page = context.new_page()
    page.set_default_timeout(HANGS_SECONDS * 1000)
    page.goto(kit.url)
    page.wait_for_url("**/step/*")
    if any(kit.folder.glob("*.png")):  # artwork in a folder is measured before there is a recipe
        until((kit.folder / "kit.toml").exists)
    until(lambda: done(page.request.get(f"{kit.origin}/step/home").text()))
    if (kit.folder / "kit.toml").exists():
        page.goto(f"{kit.origin}/step/kit")
        paper = page.locator("#paper")
        if paper.count() and paper.input_value() != "A5":  # a small sheet is drawn sooner
            with page.expect_response(lambda answer: answer.request.method == "POST"):
                paper.select_option("A5")
            until(lambda: done(page.request.get(f"{kit.origin}/step/home").text()))
        page.goto(f"{kit.origin}/step/home")
        if page.locator("#make").count():
            page.click("#make")
            page.wait_for_selector("#everything, #part-making .stop")
    held = context.cookies()
    context.close()
    return held
