#!/bin/sh
# Double-click this to open kitloom's page in your browser. If macOS says that it cannot check the
# file, open it with a right click and "Open". Not tried on a Mac yet, only with Linux's shell.
exec sh "$(dirname "$0")/kitloom-on-linux.sh" in-a-window
