"""Tests of the local page; a package, so that they share their tiles and servers."""
