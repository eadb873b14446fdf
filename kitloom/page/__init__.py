"""The local page: the whole job in the browser, with the same engine and the same findings.

In: a folder or a recipe. Out: a page in the maker's own browser, on this machine alone. Its state
is a recipe, a plain file in the maker's folder; every control edits that file, and what it makes is
what ``kitloom make`` makes of it. Its rooms, each of which imports only those before it::

    state    the folder, the recipe's text, what was measured, the sheet as it is drawn
    edits    every change of the recipe, and what is dropped
    work     what takes long: previews of tiles, making the files
    views    what the templates show, and the pictures
    server   the door, the start and the end

All of them take from here how an address is written (``addresses``), and what a refusal is
(``page_error``).

Not done here: measuring, judging, mending, making; and queueing long work (``kitloom.jobs``).
"""
