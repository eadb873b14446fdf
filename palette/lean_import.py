"""scikit-learn's k-means and scipy's ndimage without the rest: a fraction of the time.

``from sklearn.cluster import KMeans`` runs the bodies of every clusterer, of all metrics, of linear
models and support vectors, and all of ``scipy.stats``. Here those packages' bodies are put off:
each is entered in ``sys.modules`` empty, finds its submodules as always, and runs its body as soon
as anyone asks it for a name (PEP 562). Two names are known to lie in a submodule and are taken from
there. So the class is scikit-learn's own, and whoever uses the rest later gets all of it then.
scipy besides rewrites the documentation of its functions while it is loaded, which is a
fifth of that time; here they keep what they have.

Only with versions whose layout is known, where nothing that kitloom does makes a body run: a body
that ran in one thread while another imports could leave each waiting for the other. All other
versions, and whatever does not fit this picture, get the ordinary import. Not done here: anything
to packages that are loaded already.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, nullcontext
from functools import cache
from importlib import import_module
from importlib.util import find_spec, module_from_spec
from pathlib import Path
from threading import Lock, RLock
from types import ModuleType
from typing import Any

# package: names that need not its body, and the submodule where each is
_PUT_OFF: dict[str, dict[str, str]] = {
    "numpy.f2py": {},
    "numpy.ma": {},
    "numpy.polynomial": {},
    "numpy.testing": {},
    "scipy.spatial.transform": {},
    "scipy.special": {},
    "scipy.stats": {},
    "sklearn.cluster": {"KMeans": "_kmeans"},
    "sklearn.metrics": {},
    "sklearn.preprocessing": {"normalize": "_data"},
}
_OF_THE_BODY = {"__all__", "__version__"}
_KNOWN = {"scikit-learn": ("1.9.",), "scipy": ("1.16.", "1.17."), "numpy": ("2.3.", "2.4.", "2.5.")}
_NDIMAGE = ("numpy.f2py", "numpy.ma", "numpy.polynomial", "numpy.testing", "scipy.special")
_importing = Lock()


@cache
def kmeans_class() -> Any:
    """Return ``sklearn.cluster.KMeans``."""
    with _importing:
        known = all(_is_known(name) for name in _KNOWN)
        if known and "sklearn.cluster" not in sys.modules:
            with _documentation_as_it_is():  # scikit-learn's own body runs here already
                _put_off_all(_PUT_OFF)
    try:
        with _documentation_as_it_is() if known else nullcontext():
            from sklearn.cluster import KMeans
    except (ImportError, AttributeError):
        for name in _PUT_OFF:
            _run(sys.modules.get(name))
        from sklearn.cluster import KMeans
    return KMeans


def load_ndimage() -> None:
    """Import ``scipy.ndimage``."""
    with _importing:
        if "scipy.ndimage" in sys.modules:
            return
        if all(_is_known(name) for name in ("scipy", "numpy")):
            _put_off_all(_NDIMAGE)
            with _documentation_as_it_is():
                import scipy.ndimage
    import scipy.ndimage  # noqa: F401


class _AsItIs(dict[str, list[str]]):
    """A function's documentation where scipy expects to find it parsed, for adding a note."""

    def __init__(self, function: Any) -> None:
        super().__init__(Notes=[])
        self._text = function.__doc__ or ""

    def __str__(self) -> str:
        return "\n" + self._text


@contextmanager
def _documentation_as_it_is() -> Iterator[None]:
    try:
        array_api = import_module("scipy._lib._array_api")
        parsed = array_api.FunctionDoc
    except (ImportError, AttributeError):
        yield
        return
    setattr(array_api, "FunctionDoc", _AsItIs)  # noqa: B010  unknown to its types
    try:
        yield
    finally:
        setattr(array_api, "FunctionDoc", parsed)  # noqa: B010


def _is_known(name: str) -> bool:
    """Whether an installer has put one of the known versions of a package where it is found.

    Looked up by name of its folder: ``importlib.metadata`` takes as long as numpy to load.
    """
    spec = find_spec({"scikit-learn": "sklearn"}.get(name, name))
    if spec is None or spec.origin is None:
        return False
    beside = Path(spec.origin).parent.parent.glob(f"{name.replace('-', '_')}-*.dist-info")
    versions = [folder.name.split("-")[1] for folder in beside]
    return len(versions) == 1 and versions[0].startswith(_KNOWN[name])


def _put_off_all(names: Iterable[str]) -> None:
    for name in names:
        elsewhere = _PUT_OFF[name]
        package = name.partition(".")[0]
        if name in sys.modules or find_spec(package) is None:
            continue
        import_module(package)
        if name not in sys.modules:
            _put_off(name, elsewhere)


def _put_off(name: str, elsewhere: dict[str, str]) -> None:
    """Enter a package whose body runs when a name is missed that lies in no known submodule."""
    spec = find_spec(name)
    if spec is None or spec.loader is None:
        return
    module, guard = module_from_spec(spec), RLock()

    def missed(attribute: str) -> Any:
        if attribute.startswith("__") and attribute not in _OF_THE_BODY:
            raise AttributeError(attribute)  # who only looks round among modules needs no body
        if attribute in elsewhere and not module.__dict__.get("_kitloom_begun"):
            found = getattr(import_module(f"{name}.{elsewhere[attribute]}"), attribute)
            return module.__dict__.setdefault(attribute, found)
        with guard:  # another thread waits; the body itself, asking for what is not there, does not
            _run(module)
        try:
            return module.__dict__[attribute]
        except KeyError:
            raise AttributeError(f"module {name!r} has no attribute {attribute!r}") from None

    module.__dict__["__getattr__"] = missed
    module.__dict__["_kitloom_begun"] = False
    sys.modules[name] = module
    parent, _, child = name.rpartition(".")
    setattr(sys.modules[parent], child, module)  # as every import does


def _run(module: ModuleType | None) -> None:
    """Run a body that was put off, once."""
    if module is None or module.__dict__.get("_kitloom_begun", True):
        return
    module.__dict__["_kitloom_begun"] = True
    spec = module.__spec__
    assert spec is not None
    assert spec.loader is not None
    spec.loader.exec_module(module)
