"""How many small deliberate faults in a part do the part's own tests notice?

``python tools/mutation_score.py PART ...`` prints one line a part and every fault that passed.
``pip install -e '.[test,tools]'`` first. The faults are mutmut's. It works on a copy of the tree in
the system's temporary folder, which stays: ``--again`` tries only what passed last time there,
with today's tests. ``--sample 5`` tries each fifth fault.

mutmut leaves out what stands outside functions (tables, limits) and functions with a decorator;
those faults, made by the same operators, are tried one by one in processes of their own, which
takes seconds each: ``--inside`` leaves them out.

A fault that changes nothing that anybody could see is in ``mutants_equivalent.toml`` with the
reason, and is not counted; what passed is printed in that file's form. A fault under which the
tests never end counts as noticed.
"""

from __future__ import annotations

import argparse
import ast
import difflib
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Callable, Iterable, Iterator
from contextlib import chdir
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
EQUIVALENT = Path(__file__).with_name("mutants_equivalent.toml")
PACKAGES = ("palette", "patterns", "kit", "kitloom")
PYTEST = [
    *("-p", "no:randomly", "-p", "no:xdist", "-p", "no:cacheprovider"),
    *("-o", "addopts=--strict-markers --import-mode=importlib"),
    *("-m", "not slow"),
]
NOTICED = 1  # pytest: tests failed
NO_TEST = 33  # mutmut: no test runs this function
PATIENCE_S = 180


@dataclass(frozen=True)
class Part:
    """What is mutated (patterns of files), and the tests that guard it, the likeliest first."""

    modules: tuple[str, ...]
    tests: tuple[str, ...]


PARTS = {
    "bleed": Part(
        (
            "kit/registration/*.py",
            "kit/shapes/geometry.py",
            "kit/shapes/rings.py",
            "kit/shapes/marching.py",
        ),
        (
            "tests/kit/test_bleed.py",
            "tests/kit/test_geometry.py",
            "tests/kit/test_combs.py",
            "tests/kit/test_habit.py",
            "tests/kit/test_rings.py",
            "tests/kit/test_bleed_shape.py",
            "tests/kit/test_tolerance.py",
        ),
    ),
    "layout": Part(
        (
            "kit/layout/arrangement.py",
            "kit/layout/by_hand.py",
            "kit/layout/ground.py",
            "kit/layout/holding.py",
            "kit/layout/packing.py",
            "kit/layout/place.py",
            "kit/layout/rows.py",
        ),
        (
            "tests/kit/test_places.py",
            "tests/kit/test_layout.py",
            "tests/kit/test_arrange.py",
            "tests/kit/test_by_hand.py",
            "tests/kit/test_own_places.py",
            "tests/kit/test_marks_in_place.py",
            *(
                f"tests/kit/test_rulers.py::test_{name}"
                for name in (
                    "rulers_are_as_long_as_the_reachable_area_lets_them",
                    "the_ruler_down_takes_the_free_side_and_no_stickers_place",
                    "a_reading_of_another_ruler_is_refused",
                    "a_reading_up_to_three_percent_off_is_believed",
                )
            ),
            *(
                f"tests/kit/test_holding.py::test_{name}"
                for name in (
                    "the_sheet_is_held_where_the_recipe_says",
                    "a_corner_mark_is_where_its_lines_meet",
                    "an_offset_larger_than_the_margin_is_refused",
                    "a_sheet_without_margins_may_leave_its_cut_where_it_is",
                )
            ),
        ),
    ),
    "fills": Part(
        ("kit/fills/*.py",),
        ("tests/kit/test_fills.py", "tests/kit/test_windows.py", "tests/kit/test_offsets.py"),
    ),
    "cut": Part(
        ("kit/cut/*.py", "kit/layout/through_cut.py"),
        (
            "tests/kit/test_nesting.py",
            "tests/kit/test_cut_order.py",
            "tests/kit/test_through_cut.py",
        ),
    ),
    "panels": Part(
        ("kit/kinds/*.py", "kit/stickers/*.py", "kit/sheet/*.py"),
        (
            "tests/kit/test_marks.py",
            "tests/kit/test_stickers.py",
            "tests/kit/test_kinds.py",
            "tests/kit/test_pins.py",
            "tests/kit/test_lists.py",
            "tests/kit/test_even_borders.py",
            "tests/kit/test_motif_stickers.py",
        ),
    ),
    "roles": Part(
        ("palette/choose/roles.py", "palette/pairs/*.py", "palette/space/legibility.py"),
        ("tests/palette/test_colour_limits.py", "tests/palette/test_plots.py"),
    ),
    "proof": Part(
        ("palette/proof/*.py", "palette/press/protocol.py", "palette/press/register.py"),
        (
            "tests/palette/test_proof_limits.py",
            "tests/palette/test_detail.py",
            "tests/palette/test_ink.py",
            "tests/palette/test_proof.py",
            "tests/palette/test_repair.py",
        ),
    ),
    "verdict": Part(
        (
            "patterns/seams/check.py",
            "patterns/seams/inner_repeat.py",
            "patterns/seams/stripes.py",
            "patterns/seams/values.py",
            "patterns/seams/verdict.py",
        ),
        (
            "tests/patterns/test_verdict.py",
            "tests/patterns/test_stripes.py",
            "tests/patterns/test_inner_repeat.py",
        ),
    ),
    "sets": Part(
        ("kitloom/disk/apart.py", "kitloom/disk/whole.py", "kitloom/disk/writing.py"),
        (
            "tests/kitloom/test_writing.py",
            "tests/kitloom/test_files.py::"
            "test_what_a_set_writes_is_replaced_and_what_a_maker_names_alike_stays",
        ),
    ),
}


@dataclass(frozen=True)
class Fault:
    """One mutant: where, what was there and what is there instead."""

    file: str
    line: int
    was: str
    now: str

    @property
    def key(self) -> tuple[str, str, str]:
        """What it is known by: not the line, which moves with every edit above it."""
        return self.file, self.was, self.now


@dataclass(frozen=True)
class Outcome:
    """A fault, mutmut's name for it, and whether a test noticed it."""

    fault: Fault
    name: str
    noticed: bool


Chooser = Callable[[Iterable[Fault]], list[bool]]


def main() -> None:
    """Print the score of each part that is named."""
    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("part", nargs="+", choices=list(PARTS))
    parser.add_argument("--again", action="store_true", help="only what passed last time")
    parser.add_argument("--sample", type=int, default=1, metavar="N", help="only each Nth fault")
    parser.add_argument("--inside", action="store_true", help="only faults inside functions")
    parser.add_argument("--only", default="", metavar="TEXT", help="only files with this in them")
    parser.add_argument("--children", type=int, default=os.cpu_count() or 1)
    options = parser.parse_args()
    for name in options.part:
        _score(name, options)


def _score(name: str, options: argparse.Namespace) -> None:
    part = PARTS[name]
    home = Path(tempfile.gettempdir()) / "kitloom-mutation" / name
    store = home.with_suffix(".json")
    files = sorted(
        str(path.relative_to(ROOT))
        for pattern in part.modules
        for path in ROOT.glob(pattern)
        if path.name != "__init__.py"
    )
    known = json.loads(store.read_text("utf-8")) if store.exists() else {}
    passed = {key for key, noticed in known.items() if not noticed} if options.again else None
    chosen = [file for file in files if options.only in file]
    if passed is not None:
        chosen = [file for file in chosen if any(json.loads(key)[0] == file for key in passed)]
    _copy_tree(home)
    _configure(home, part, chosen)

    def wanted(faults: Iterable[Fault]) -> list[bool]:
        """Choose by place in the file, so that two runs of one tree try the same ones."""
        return [
            (passed is None or json.dumps(fault.key) in passed) and i % options.sample == 0
            for i, fault in enumerate(faults)
        ]

    outcomes = []
    if chosen:
        with chdir(home):  # where mutmut looks for its settings and for what it made
            outcomes += _inside_functions(home, chosen, wanted, options.children)
            if not options.inside:
                outcomes += _outside_functions(home, part, chosen, wanted)
    if not options.again:
        known = {}
    known |= {json.dumps(outcome.fault.key): outcome.noticed for outcome in outcomes}
    store.write_text(json.dumps(known, indent=0), "utf-8")
    _print_score(name, known, outcomes)


def _copy_tree(home: Path) -> None:
    listed = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard", "-z"],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    ).stdout
    shutil.rmtree(home, ignore_errors=True)
    for name in filter(None, listed.split("\0")):
        if (ROOT / name).is_file():
            (home / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, home / name)


def _configure(home: Path, part: Part, files: list[str]) -> None:
    """Write mutmut's settings, which it reads from where it runs."""

    def lines(values: Iterable[str]) -> str:
        return "".join(f"\n    {value}" for value in values)

    others = sorted(p.name for p in home.iterdir() if p.name not in {*PACKAGES, "setup.cfg"})
    (home / "setup.cfg").write_text(
        "[mutmut]\n"
        f"source_paths={lines(PACKAGES)}\n"
        f"only_mutate={lines(files)}\n"
        f"also_copy={lines(others)}\n"
        f"pytest_add_cli_args={lines(PYTEST)}\n"
        f"pytest_add_cli_args_test_selection={lines(part.tests)}\n"
        # a server that has only collected the tests: no result of an earlier run lies in a cache
        "process_isolation=forkserver\n"
        "timeout_constant=5\n"  # seconds, times 15: slow is not endless
        "track_dependencies=false\n"
        "use_git_change_detection=false\n",
        "utf-8",
    )


# ---- inside functions: mutmut's own run


def _inside_functions(
    home: Path, files: Iterable[str], wanted: Chooser, children: int
) -> list[Outcome]:
    """Let mutmut try the faults that it makes; return an outcome for each."""
    mutmut = [sys.executable, "-m", "mutmut"]
    # one that does not exist: mutmut makes all faults and tries none
    subprocess.run([*mutmut, "run", "none.such"], cwd=home, check=False, capture_output=True)
    faults = dict(_made(home, files))
    keep = wanted(faults.values())
    names = [name for name, kept in zip(faults, keep, strict=True) if kept]
    if not names:
        return []
    every = names if len(names) < len(faults) else []
    run = subprocess.run(
        [*mutmut, "run", f"--max-children={children}", *every],
        cwd=home,
        check=False,
        capture_output=True,
        text=True,
    )
    codes = _exit_codes(home, files)
    untried = [name for name in names if codes.get(name) is None]
    if untried:
        sys.exit(
            f"mutmut left out {len(untried)} faults, {untried[0]} first:\n{run.stdout[-3000:]}"
        )
    return [Outcome(faults[name], name, codes[name] not in {0, NO_TEST}) for name in names]


def _exit_codes(home: Path, files: Iterable[str]) -> dict[str, int | None]:
    codes: dict[str, int | None] = {}
    for file in files:
        meta = home / "mutants" / f"{file}.meta"
        if meta.exists():
            codes |= json.loads(meta.read_text("utf-8"))["exit_code_by_key"]
    return codes


def _made(home: Path, files: Iterable[str]) -> Iterator[tuple[str, Fault]]:
    from mutmut.mutation.diff_apply import get_diff_for_mutant  # needs the extra

    for file in files:
        starts = _starts(home / file)
        for name in _exit_codes(home, [file]):
            diff = get_diff_for_mutant(name, path=file)
            yield name, _fault(file, diff, starts.get(_function(name), 1))


def _function(name: str) -> str:
    """Return what mutmut names after it: ``kit.cut.order.x_cut_tour__mutmut_3`` -> cut_tour."""
    stem = name.rpartition(".")[2].rpartition("__mutmut_")[0]
    if stem.startswith("xǁ"):
        return ".".join(stem.split("ǁ")[1:])
    return stem.removeprefix("x_")


def _starts(path: Path) -> dict[str, int]:
    starts: dict[str, int] = {}
    for node in ast.parse(path.read_text("utf-8")).body:
        if isinstance(node, ast.FunctionDef):
            starts[node.name] = node.lineno
        elif isinstance(node, ast.ClassDef):
            starts |= {f"{node.name}.{n.name}": n.lineno for n in node.body if hasattr(n, "name")}
    return starts


def _fault(file: str, diff: str, start: int) -> Fault:
    """Read a unified diff: the lines that differ, and where the first of them stands."""
    line, first, was, now, above = 0, 0, [], [], 0
    for row in diff.splitlines()[2:]:
        if row.startswith("@@"):
            line = int(row.split()[1].lstrip("-").split(",")[0])
            continue
        if row.startswith("#") or (line <= 1 and row.strip().startswith("#")):
            above += 1  # comments over the function
        if row.startswith(("-", "+")):
            first = first or line
            (was if row.startswith("-") else now).append(row[1:].strip())
        if not row.startswith("+"):
            line += 1
    return Fault(file, start + first - 1 - above, "\n".join(was), "\n".join(now))


# ---- outside functions: by the same operators, each in a process of its own


def _outside_functions(
    home: Path, part: Part, files: Iterable[str], wanted: Chooser
) -> list[Outcome]:
    """Try the faults that mutmut makes but does not try; return an outcome for each."""
    outcomes = []
    for file in files:
        path = home / file
        source = path.read_text("utf-8")
        faults = dict(_made_outside(file, source))
        keep = wanted(faults)
        for fault, kept in zip(faults, keep, strict=True):
            if not kept:
                continue
            path.write_text(faults[fault], "utf-8")
            noticed = _tests_fail(home, part.tests)
            outcomes.append(Outcome(fault, "", noticed))
        path.write_text(source, "utf-8")
    return outcomes


def _made_outside(file: str, source: str) -> Iterator[tuple[Fault, str]]:
    from libcst import FunctionDef
    from mutmut.mutation.file_mutation import create_mutations  # needs the extra

    # mutmut skips functions with a decorator: hide it while the faults are made
    hidden = re.sub(r"^( *)@(property|(?:lru_)?cache\b.*)$", r"\1#@\2", source, flags=re.MULTILINE)
    module, mutations, _, _ = create_mutations(file, hidden)
    for mutation in mutations:
        function = mutation.contained_by_top_level_function
        if isinstance(function, FunctionDef) and not any(
            row.comment is not None and row.comment.value.startswith("#@")
            for row in function.leading_lines
        ):
            continue
        changed = module.deep_replace(mutation.original_node, mutation.mutated_node).code
        changed = re.sub(r"^( *)#@", r"\1@", changed, flags=re.MULTILINE)
        diff = "\n".join(
            difflib.unified_diff(source.splitlines(), changed.splitlines(), lineterm="", n=0)
        )
        if diff and "Literal[" not in diff:  # types say nothing while the program runs
            yield _fault(file, diff, 1), changed


def _tests_fail(home: Path, tests: Iterable[str]) -> bool:
    server = get_context("forkserver")  # loads the heavy libraries once
    server.set_forkserver_preload(["numpy", "PIL.Image", "pydantic", "pytest", "scipy.fft"])
    run = server.Process(target=_run_tests, args=(home, tuple(tests)))
    run.start()
    run.join(PATIENCE_S)
    if run.is_alive():
        run.kill()
        run.join()
    return run.exitcode != 0


def _run_tests(home: Path, tests: tuple[str, ...]) -> None:
    import pytest

    os.chdir(home)
    sys.path.insert(0, str(home))
    sys.dont_write_bytecode = True  # two faults of one length in one second look alike
    with Path(os.devnull).open("w") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        os.dup2(nowhere.fileno(), 2)
    sys.exit(pytest.main(["-x", "-q", *PYTEST, *tests]))


# ---- what is printed


def _print_score(name: str, known: dict[str, bool], outcomes: list[Outcome]) -> None:
    equivalent = _equivalent(known)
    for outcome in outcomes:
        if outcome.noticed or json.dumps(outcome.fault.key) in equivalent:
            continue
        fault = outcome.fault
        print(f"\n# {fault.file}:{fault.line} {outcome.name}\n[[mutant]]")
        for key in ("file", "was", "now"):
            print(f"{key} = {json.dumps(getattr(fault, key), ensure_ascii=False)}")
    spared = [key for key, noticed in known.items() if not noticed and key in equivalent]
    counted = len(known) - len(spared)
    killed = sum(known.values())
    print(
        f"\n{name}: {len(known)} mutants, {killed} killed, {counted - killed} survived, "
        f"{len(spared)} equivalent: {killed / max(counted, 1):.1%}"
    )


def _equivalent(keys: Iterable[str]) -> set[str]:
    """Return those of the keys that the kept file names, or whose change it names for all files."""
    with EQUIVALENT.open("rb") as file:
        kept = tomllib.load(file)
    named = {json.dumps((row["file"], row["was"], row["now"])) for row in kept.get("mutant", [])}
    found = set()
    for key in keys:
        _, was, now = json.loads(key)
        if key in named or any(
            re.sub(rule["but_for"], "", was) == re.sub(rule["but_for"], "", now)
            for rule in kept.get("everywhere", [])
        ):
            found.add(key)
    return found


if __name__ == "__main__":
    main()
