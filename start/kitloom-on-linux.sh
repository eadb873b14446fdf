#!/bin/sh
# Double-click this to open kitloom's page in your browser (in the file manager: "Run in terminal").
#
# The first time it makes the environment that kitloom runs in, the folder .venv beside this one;
# that takes some minutes and needs the network. It changes nothing else on this machine.
# Tried on Debian. kitloom-on-macos.command starts this file too; that was not tried on a Mac.

told= # the file that takes what it says where there is no window to show it

fail() {
    printf '\nkitloom is not open. %s\n' "$1"
    if [ -n "$told" ]; then
        xdg-open "$told"
    elif [ -t 0 ]; then
        printf 'Press Enter to close this window. '
        read -r _
    fi
    exit 1
}

cd "$(dirname "$0")/.." || fail "This folder cannot be opened."

# started without a window, nothing that it says would be seen
if [ $# = 0 ] && ! [ -t 1 ] && [ -n "$DISPLAY$WAYLAND_DISPLAY" ]; then
    this="$PWD/start/kitloom-on-linux.sh"
    command -v xdg-terminal-exec >/dev/null && exec xdg-terminal-exec sh "$this" in-a-window
    for window in x-terminal-emulator xterm; do
        command -v "$window" >/dev/null && exec "$window" -e sh "$this" in-a-window
    done
    # no window to be had: if it goes wrong, what it said opens as a text
    if command -v xdg-open >/dev/null && folder=$(mktemp -d); then
        told="$folder/kitloom-is-not-open.txt"
        exec >"$told" 2>&1
    fi
fi

[ -f pyproject.toml ] || fail "Its other files are missing here: unpack the whole folder first."

python=.venv/bin/python

is_ready() {
    "$python" -c 'import kitloom.page.server' 2>/dev/null
}

find_python() {
    for name in python3.14 python3.13 python3.12 python3.11 python3; do
        if "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
            echo "$name"
            return
        fi
    done
    return 1
}

if ! is_ready; then
    found=$(find_python) || fail "It needs Python 3.11 or newer, and there is none here.
Get it at https://www.python.org/downloads/ (on Linux: from your system's own packages, as python3
and python3-venv), then double-click this file again."
    echo "The first start: kitloom makes its environment in $PWD/.venv."
    echo "This takes some minutes and needs the network. Then the page opens in your browser."
    "$found" -m venv .venv || fail "The environment could not be made; the lines above say why.
Is there room on the disk, and may you write in this folder? On Debian and its relatives the package
python3-venv may be missing."
    "$python" -m pip install --quiet --quiet --disable-pip-version-check . ||
        fail "What it needs could not be fetched; the lines above say why.
Are you online? Double-click this file again to go on."
fi

"$python" -m kitloom || fail "The lines above say why."
