"""Put the samples into the wheel; all else about the packages stands in ``pyproject.toml``.

They lie beside the packages in the source tree, where a maker finds them, and inside ``kitloom``
once installed; ``kitloom.sample_kits`` looks in both places.
"""

from __future__ import annotations

import shutil
from pathlib import Path

from setuptools import setup
from setuptools.command.build_py import build_py

SAMPLES = Path("samples", "allotment")
WANTED = ("*.toml", "tiles/*.*", "evening/*.*", "faulty/*.*")  # and no kit made of them in a clone


class BuildWithSamples(build_py):
    """Build the packages and copy the samples into the place of ``kitloom``'s own."""

    def run(self) -> None:
        """Build; an editable install reads the samples where they are."""
        super().run()
        if not self.editable_mode:
            place = Path(self.build_lib, "kitloom", "samples")
            for path in (found for one in WANTED for found in sorted(SAMPLES.glob(one))):
                copy = place / path.relative_to(SAMPLES)
                copy.parent.mkdir(parents=True, exist_ok=True)
                shutil.copyfile(path, copy)


setup(cmdclass={"build_py": BuildWithSamples})
