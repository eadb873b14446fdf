"""Fetch the packages of the sealed set from their registries, by name, version and digest.

    python -m learning.sealed.fetch FOLDER

In: ``packages.json``, and the registries' own clients (apt-get, npm). Out: one archive a
package in the folder; one whose digest is another is refused. Nothing of it is kept in the
repository.
"""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Package:
    """One archive of a registry ("debian" or "npm"), and the digest of its bytes."""

    registry: str
    name: str
    version: str
    file: str
    licence: str
    sha256: str


def read_packages() -> list[Package]:
    """Return the packages of the sealed set."""
    text = Path(__file__).with_name("packages.json").read_text(encoding="utf-8")
    return [Package(**entry) for entry in json.loads(text)]


def fetch(package: Package, folder: Path) -> Path:
    """Return the archive's path, fetched unless it is there.

    Raises:
        ValueError: its bytes are not those that the set was made of.
    """
    path = folder / package.file
    if not path.exists():
        command = {
            "debian": ["apt-get", "download", f"{package.name}={package.version}"],
            "npm": ["npm", "pack", "--silent", f"{package.name}@{package.version}"],
        }[package.registry]
        subprocess.run(command, cwd=folder, check=True, stdout=subprocess.DEVNULL)
    if sha256(path.read_bytes()).hexdigest() != package.sha256:
        raise ValueError(f"{path}: not the bytes that packages.json names; fetch it anew")
    return path


def main() -> None:
    """Fetch all that is not there."""
    if len(sys.argv) != 2:
        raise SystemExit("python -m learning.sealed.fetch FOLDER")
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    for package in read_packages():
        print(fetch(package, folder).name)


if __name__ == "__main__":
    main()
