"""The local page: the whole job by hand and eye, with the same engine and the same findings.

Its state is a recipe, a plain file in the maker's folder; every control edits that file, and what
it makes is what ``kitloom make`` makes of it. ``workspace`` keeps the folder, ``recipe_text`` edits
the text, ``bench`` holds what was measured, ``jobs`` works in the background, ``safety`` guards the
door, ``views`` shape what the templates show, and ``app`` routes.
"""
