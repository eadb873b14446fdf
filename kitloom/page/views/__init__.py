"""What a page shows: texts and numbers for its templates, and its pictures.

In: the bench, the work under way and what the address asks for. Out: dictionaries and JPEG bytes.

Not done here: nothing is decided or changed here; sentences about findings are those of
``kitloom.findings``, put for somebody who has no terminal open.
"""

from kitloom.page.views.page_pictures import Pictures
from kitloom.page.views.road_view import road_text
from kitloom.page.views.sheet_view import files_view
from kitloom.page.views.steps import SLUGS
from kitloom.page.views.whole_view import IN_ADDRESS, OpenPage, page_view

__all__ = [
    "IN_ADDRESS",
    "SLUGS",
    "OpenPage",
    "Pictures",
    "files_view",
    "page_view",
    "road_text",
]
