"""The page in a real browser: the whole job, by mouse and by keyboard, in two tabs, after a kill.

Accessibility is checked with axe-core (Deque, MPL-2.0, as carried by axe-playwright-python) against
its rules for WCAG 2.0 to 2.2, A and AA.
"""

from __future__ import annotations

import io
import os
import re
import zipfile
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from .conftest import ROOT, Served, command_makes, cropped_tile, drawn, drop, neon_tile, tile_file
from .processes import alive, halted
from .waiting import until

SAMPLES = ROOT / "samples" / "allotment"
WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
COLOUR_RULES = ["color-contrast", "link-in-text-block"]
STEPS = ("artwork", "tiles", "palette", "print", "kit", "sheet", "home")


@pytest.fixture
def tiles(tmp_path: Path) -> list[Path]:
    names = ("waves", "ripples", "bands")
    return [tile_file(tmp_path / "art" / f"{n}.png", i) for i, n in enumerate(names)]


def make(page: Any, served: Served) -> dict[str, bytes]:
    """Make the files and return the downloaded archive's content."""
    drawn(page, served, "home")
    page.click("#make")
    page.wait_for_selector("#everything")
    with page.expect_download() as waiting:
        page.click("#everything")
    archive = zipfile.ZipFile(io.BytesIO(Path(waiting.value.path()).read_bytes()))
    return {name: archive.read(name) for name in archive.namelist()}


@pytest.mark.slow
def test_a_file_that_was_chosen_stays_chosen_when_the_step_is_shown_anew(
    tab: Any, served: Served, tiles: list[Path]
) -> None:
    """A maker is choosing a palette when the sheet gets ready: the choice must not be lost."""
    drop(tab, tiles, 3)
    drawn(tab, served, "palette")
    tab.set_input_files("#palette-file", SAMPLES / "kit.toml")
    left = tab.evaluate("""async () => {
        const before = document.querySelector("main");
        const { take } = await import("/static/exchange.js");
        const fresh = document.cloneNode(true);
        fresh.body.dataset.seen = 1e6;  // newer than what is shown
        for (const field of fresh.querySelectorAll("input[type=file]")) field.value = "";
        fresh.querySelector("main [data-part]").remove();  // so that the whole step is taken anew
        take(fresh);
        const field = document.querySelector("#palette-file");
        return [before.isConnected, field.files.length];
    }""")
    assert left == [False, 1]


def test_from_drop_to_files_as_the_command_makes_them(
    tab: Any, served: Served, tiles: list[Path], tmp_path: Path
) -> None:
    drop(tab, tiles[:1], 1)
    drop(tab, tiles[1:], 3)
    tab.click("#next")
    tab.wait_for_url("**/step/tiles")
    tab.fill("#repeat", "1.5in")
    tab.press("#repeat", "Tab")
    until(lambda: 'repeat = "1.5in"' in (served.folder / "kit.toml").read_text())
    drawn(tab, served, "palette")
    tab.locator("[id^=keep-]").first.click()
    until(lambda: "pinned" in (served.folder / "kit.toml").read_text())
    drawn(tab, served, "kit")
    tab.fill("#count-0", "2")
    tab.press("#count-0", "Tab")
    until(lambda: '"full box"\ncount = 2\n' in (served.folder / "kit.toml").read_text())
    tab.select_option("#add-kind", "label")
    tab.click("#add")
    until(lambda: 'sticker = "label"' in (served.folder / "kit.toml").read_text())
    drawn(tab, served, "sheet")
    tab.locator("#sticker-1").click()
    tab.wait_for_selector("#across")
    tab.fill("#across", "3.5")
    tab.press("#across", "Tab")
    until(lambda: 'offset = ["auto", "3.5mm x' in (served.folder / "kit.toml").read_text())
    taken = make(tab, served)
    made = command_makes(served.folder / "kit.toml", tmp_path / "by-command")
    assert b"sheet-1.svg" in taken.pop("how-to-print-and-cut.txt")
    assert taken.pop("kit.toml") == (served.folder / "kit.toml").read_bytes()
    assert sorted(taken) == sorted(made)
    assert [name for name in made if taken[name] != made[name]] == []
    assert taken["sheet-1.pdf"].startswith(b"%PDF")


@pytest.mark.slow
def test_every_step_passes_axe_in_light_and_dark_wide_and_narrow(
    tab: Any, served: Served, tiles: list[Path], tmp_path: Path
) -> None:
    axe = (files("axe_playwright_python") / "axe.min.js").read_text()
    tab.emulate_media(reduced_motion="reduce")  # no fading between
    assert faults_at_all_sizes(tab, axe) == []
    neon, cropped = neon_tile(tmp_path / "neon.png"), cropped_tile(tmp_path / "cropped.png")
    drop(tab, [*tiles[:2], neon, cropped], 4)
    drawn(tab, served, "palette")
    first = tab.locator("a[id^=swap-]").first.get_attribute("href").split("#")[0]
    worn = tab.locator("#wear-0").get_attribute("href").split("#")[0]
    for place in (
        *STEPS,
        "tiles?tile=cropped&try=mend",
        first.removeprefix("/step/"),
        worn.removeprefix("/step/"),
        "print?tile=neon&try=repair",
        "kit?row=0",
        "sheet?sticker=0",
    ):
        drawn(tab, served, place)
        tab.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
        if "try=" in place:
            tab.wait_for_selector("#part-try figure")
        if "wear=" in place:
            tab.wait_for_selector("#part-wear figure")
        assert faults_at_all_sizes(tab, axe) == [], place


def faults_at_all_sizes(page: Any, axe: str) -> list[str]:
    """Run axe on a laptop and on a tablet; in the dark only the rules that look at colours."""
    page.evaluate(axe)  # in the page's own context: past its policy, which forbids what is not its
    found = []
    for wide in (1280, 768):
        page.set_viewport_size({"width": wide, "height": 1000})
        for scheme, rules in (("light", WCAG), ("dark", {"type": "rule", "values": COLOUR_RULES})):
            page.emulate_media(color_scheme=scheme)
            found += [f"{wide} {scheme} {one}" for one in faults(page, rules)]
        if page.evaluate("document.documentElement.scrollWidth") > wide:
            found.append(f"{wide}: wider than the window")
    return found


def faults(page: Any, rules: Any) -> list[str]:
    found = page.evaluate("rules => axe.run(document, {runOnly: rules})", rules)
    return [
        f"{one['id']}: {node['html'][:120]} {node['failureSummary'][:160]}"
        for one in found["violations"]
        for node in one["nodes"]
    ]


@pytest.mark.slow
def test_the_keyboard_alone_reaches_every_control(
    tab: Any, served: Served, tiles: list[Path]
) -> None:
    drop(tab, tiles, 3)
    for step in STEPS:
        drawn(tab, served, step)
        wanted = tab.evaluate(
            """() => [...document.querySelectorAll('a[href], button, input, select, summary')]
            .filter(e => !e.disabled && e.type !== 'hidden' && e.checkVisibility())
            .filter(e => e.type !== 'radio' || e.checked).length"""
        )
        reached = set()
        tab.evaluate("document.body.focus()")
        for _ in range(wanted + 8):
            tab.keyboard.press("Tab")
            reached.add(
                tab.evaluate(
                    """() => { const e = document.activeElement; e.seen ??= Math.random();
                    return e === document.body ? 0 : e.seen }"""
                )
            )
        assert len(reached - {0}) >= wanted, step


@pytest.mark.slow
def test_a_kit_is_made_without_a_mouse(tab: Any, served: Served, tiles: list[Path]) -> None:
    drop(tab, tiles, 3)
    tab.focus("#next")
    tab.keyboard.press("Enter")
    tab.wait_for_url("**/step/tiles")
    tab.focus("#repeat-slide")
    tab.keyboard.press("ArrowRight")
    until(lambda: "Undo: repeat of" in tab.inner_text("#undo"))
    assert tab.evaluate("document.activeElement.id") == "repeat-slide"
    drawn(tab, served, "sheet")
    tab.focus("#sticker-2")
    tab.keyboard.press("Enter")
    tab.wait_for_selector("#sticker-2[aria-current]:focus")  # its keys still move and size it
    tab.keyboard.press("Enter")
    tab.wait_for_selector("#part-sticker:focus")
    tab.keyboard.press("Escape")
    tab.wait_for_selector("#sticker-2:focus")
    tab.focus("#sticker-fill")
    last = "fill => fill.selectedIndex === fill.options.length - 1"
    tab.keyboard.press("ArrowUp" if tab.locator("#sticker-fill").evaluate(last) else "ArrowDown")
    until(lambda: re.search(r"Undo: .* 3 in", tab.inner_text("#undo")) is not None)
    tab.focus("#undo")
    tab.keyboard.press("Enter")
    until(lambda: "Undo: repeat of" in tab.inner_text("#undo"))
    drawn(tab, served, "home")
    tab.focus("#make")
    tab.keyboard.press("Enter")
    tab.wait_for_selector("#everything")


@pytest.mark.slow
def test_a_moved_slider_moves_the_cloth_in_the_same_frame(
    tab: Any, served: Served, tiles: list[Path]
) -> None:
    drop(tab, tiles, 3)
    drawn(tab, served, "tiles")
    frames = tab.evaluate(
        """async () => {
        const slide = document.querySelector('#repeat-slide'), cloth = document.querySelector('.cloth');
        const frames = [];
        for (let i = 1; i <= 9; i++) {
          const before = cloth.style.backgroundSize;
          slide.value = +slide.min + i; slide.dispatchEvent(new Event('input', {bubbles: true}));
          let frame = 0;
          do { await new Promise(requestAnimationFrame); frame++; }
          while (cloth.style.backgroundSize === before && frame < 100);
          frames.push(frame);
        }
        return frames;
        }"""  # noqa: E501
    )
    assert frames == [1] * 9
    slide = tab.locator("#repeat-slide")
    slide.evaluate("slide => slide.dispatchEvent(new Event('change', {bubbles: true}))")
    tab.wait_for_selector(".exact:not([hidden])")  # the exact picture comes after


@pytest.mark.slow
def test_two_tabs_show_the_same_kit_and_undo_nothing_of_each_other(
    tab: Any, served: Served, tiles: list[Path]
) -> None:
    drop(tab, tiles, 3)
    drawn(tab, served, "kit")
    other = tab.context.new_page()
    other.goto(f"{served.origin}/step/kit")
    other.fill("#count-1", "1")
    other.press("#count-1", "Tab")
    until(lambda: tab.input_value("#count-1") == "1")
    tab.fill("#box-wide", "44")
    tab.press("#box-wide", "Tab")
    until(lambda: other.input_value("#box-wide") == "44 mm")
    text = (served.folder / "kit.toml").read_text()
    assert 'box = "44mm x 52mm"' in text
    assert other.input_value("#count-1") == "1"
    rows = tab.locator("[id^=out-]")
    before = rows.count()
    other.click("#out-3")
    until(lambda: rows.count() == before - 1)


@pytest.mark.slow
def test_a_killed_server_loses_nothing(tab: Any, served: Served, tiles: list[Path]) -> None:
    drop(tab, tiles, 3)
    drawn(tab, served, "kit")
    tab.fill("#count-0", "1")
    tab.press("#count-0", "Tab")
    until(lambda: '"full box"\ncount = 1\n' in (served.folder / "kit.toml").read_text())
    before = (served.folder / "kit.toml").read_bytes()
    drawn(tab, served, "home")
    with halted(served.below()):
        os.utime(served.folder / "artwork" / "waves.png", (0, 0))  # has to be measured again
        tab.click("#make")
        tab.wait_for_selector("#progress")
        served.kill()  # in the middle of making
    tab.click("#undo")
    assert "does not answer" in tab.locator(".gone").inner_text()
    tab.goto("about:blank")
    tab.complaints.clear()  # of a server that was gone
    served.start()
    assert (served.folder / "kit.toml").read_bytes() == before
    tab.goto(served.url)
    tab.wait_for_url("**/step/*")
    assert tab.locator(".strip li").count() == 3
    taken = make(tab, served)
    assert taken["kit.toml"] == before
    tab.click("#undo")
    until(lambda: (served.folder / "kit.toml").read_bytes() != before)
    assert [p.name for p in served.folder.iterdir() if ".new-" in p.name] == []


@pytest.mark.slow
def test_twelve_tiles_at_once(tab: Any, served: Served, tmp_path: Path) -> None:
    many = [tile_file(tmp_path / "art" / f"tile {i:02}.png", i, 240) for i in range(12)]
    drop(tab, many, 12)
    assert (served.folder / "kit.toml").read_text().count("[[patterns]]") == 12
    assert tab.locator(".card .mark.good").count() == 12
    drawn(tab, served, "sheet")
    assert tab.locator(".stickers a").count() > 10


@pytest.mark.slow
def test_faulty_artwork_is_told_mended_and_refused(
    tab: Any, served: Served, tiles: list[Path]
) -> None:
    faulty = SAMPLES / "faulty"
    drop(tab, [tiles[0], faulty / "doubled-row.png"], 2)
    tab.set_input_files("#files", [str(ROOT / "README.md")])
    assert "README.md is a text, not artwork" in tab.locator("#arriving .noted").inner_text()
    assert tab.locator(".card .mark.stop").count() == 1
    drawn(tab, served, "sheet")
    tab.locator("#part-findings >> text=Mend it, and show me first").first.click()
    tab.wait_for_selector("#use-mended")
    tab.click("#use-mended")
    until(lambda: tab.locator("#part-tile h3 .mark.good").count() == 1)
    assert (served.folder / "artwork" / "doubled-row-mended.png").is_file()
    assert (served.folder / "artwork" / "doubled-row.png").is_file()
    tab.click("#undo")
    until(lambda: tab.locator("#part-tile h3 .mark.stop").count() == 1)


@pytest.mark.slow
def test_a_remedy_button_mends_what_it_says(tab: Any, served: Served, tiles: list[Path]) -> None:
    drop(tab, tiles, 3)
    drawn(tab, served, "kit")
    tab.click("#machine summary")
    tab.fill("#set-bleed", "0.2")
    tab.press("#set-bleed", "Tab")
    button = tab.locator("button", has_text="Set bleed to")
    button.wait_for()
    button.click()
    until(lambda: "bleed too small" not in tab.inner_text("#part-sheets"))
    assert tab.locator("details#machine[open]").count() == 1


@pytest.mark.slow
def test_artwork_dragged_under_its_outline_is_pinned(
    tab: Any, served: Served, tiles: list[Path]
) -> None:
    drop(tab, tiles, 3)
    drawn(tab, served, "sheet?sticker=0")
    x = float(tab.input_value("#across"))
    place = tab.locator("[data-drag]")
    place.scroll_into_view_if_needed()
    box = place.bounding_box()
    tab.mouse.move(box["x"] + 90, box["y"] + 90)
    tab.mouse.down()
    tab.mouse.move(box["x"] + 60, box["y"] + 90, steps=4)
    tab.mouse.up()
    until(lambda: "Held" in tab.inner_text("#part-sticker"))
    assert float(tab.input_value("#across")) != x
    drawn(tab, served, "sheet?sticker=0")
    assert "offset = [" in (served.folder / "kit.toml").read_text()


@pytest.mark.slow
def test_a_recipe_made_elsewhere_waits_for_its_tiles(
    tab: Any, served: Served, tmp_path: Path
) -> None:
    recipe = (SAMPLES / "kit.toml").read_text()
    short = recipe.split("[[patterns]]")
    text = short[0] + "".join(f"[[patterns]]{part}" for part in short[1:3])
    text += '[[rows]]\nsticker = "half box"\ncount = 4\n'
    (tmp_path / "elsewhere.toml").write_text(text)
    tab.set_input_files("#files", [str(tmp_path / "elsewhere.toml")])
    until(lambda: tab.locator(".card .mark.stop").count() == 2)
    drop(tab, [tile_file(tmp_path / f"{name}.png") for name in ("pods", "marigolds")], 2)
    until(lambda: tab.locator(".card .mark.good").count() == 2)
    assert 'repeat = "1.6in"' in (served.folder / "kit.toml").read_text()
    assert "# what printer or cutter cannot reach" in (served.folder / "kit.toml").read_text()


@pytest.mark.slow
def test_all_tiles_wear_an_earlier_palette_and_undo_it(
    tab: Any, served: Served, tmp_path: Path
) -> None:
    small = [tile_file(tmp_path / "art" / f"{name}.png", i) for i, name in enumerate("ab")]
    (tmp_path / "autumn.csv").write_text(
        "name,hex\ncream,#f4e7cf\nrust,#8c2f1b\nochre,#d98c2b\nmoss,#4a4a1f\n"
    )
    drop(tab, small, 2)
    drawn(tab, served, "palette")
    before = (served.folder / "kit.toml").read_bytes()
    tab.set_input_files("#palette-file", str(tmp_path / "autumn.csv"))
    tab.click("#give-palette")
    tab.wait_for_selector("#part-wear figure:nth-of-type(2) img")
    assert "wear=autumn.csv" in tab.url
    tab.click("#use-all-redressed")
    until(lambda: "Undo: recoloured all 2 tiles in autumn.csv" in tab.inner_text("#undo"))
    assert (served.folder / "artwork" / "b-redressed.png").is_file()
    tab.click("#undo")
    until(lambda: (served.folder / "kit.toml").read_bytes() == before)


@pytest.mark.slow
def test_a_try_is_stopped_in_the_browser(
    tab: Any, served: Served, tiles: list[Path], tmp_path: Path
) -> None:
    drop(tab, [tiles[0], cropped_tile(tmp_path / "cropped.png")], 2)
    drawn(tab, served, "tiles")
    measuring = served.below()
    tab.goto(f"{served.origin}/step/tiles?tile=cropped&try=mend")
    tab.wait_for_selector("#use-mended")
    mending = served.below() - measuring  # waits for more to mend
    assert len(mending) == 1
    with halted(mending):
        tab.goto(f"{served.origin}/step/tiles?tile=waves&try=mend")
        tab.click("#stop-try")
        until(lambda: "Stopped. Nothing was changed." in tab.inner_text("#part-try"))
        until(lambda: not any(alive(one) for one in mending))
    tab.click("#part-try >> text=Leave it as it is")
    until(lambda: "try=" not in tab.url)
