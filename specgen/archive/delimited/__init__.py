"""A table in a text that some program exported: letters, lines, cells, numbers, heads.

What lies here turns a file's bytes into columns with what each of them may be. It knows the
trade's words and the spellings of units, but no file of an archive: curve files written by hand
and a dyno's own exports are both read with it.
"""
