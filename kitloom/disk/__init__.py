"""Files and folders of the maker's: which are meant, and writing sets whole or not at all.

In: paths, and bytes by name. Out: lists of files; sets in place. This is the only room that writes.
"""

from kitloom.disk.apart import OutputError, check_apart, real
from kitloom.disk.inputs import (
    artwork_files,
    check_name,
    folder_beside,
    is_recipe,
    positive_length,
    unique_stems,
    unopenable_files,
)
from kitloom.disk.own_folder import own_folder
from kitloom.disk.sample_kits import sample_files
from kitloom.disk.single_files import SINGLE_FILES, SingleFile
from kitloom.disk.whole import folder_made, is_ours
from kitloom.disk.writing import (
    LEFT_BY_A_RUN,
    check_earlier_set,
    check_free,
    check_inputs_apart,
    check_output,
    finish_moves,
    is_full,
    own_files,
    put_right,
    replace_file,
    write_all_into,
    write_file,
    write_into,
    write_set,
)

__all__ = [
    "LEFT_BY_A_RUN",
    "SINGLE_FILES",
    "OutputError",
    "SingleFile",
    "artwork_files",
    "check_apart",
    "check_earlier_set",
    "check_free",
    "check_inputs_apart",
    "check_name",
    "check_output",
    "finish_moves",
    "folder_beside",
    "folder_made",
    "is_full",
    "is_ours",
    "is_recipe",
    "own_files",
    "own_folder",
    "positive_length",
    "put_right",
    "real",
    "replace_file",
    "sample_files",
    "unique_stems",
    "unopenable_files",
    "write_all_into",
    "write_file",
    "write_into",
    "write_set",
]
