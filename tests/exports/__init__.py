"""Exports as dyno computers write them, composed by chance, to prove the import with.

`tongues`, `engine`, `layout` and `compose` share no word and no code with the importer: they import
nothing of it. Only `judging` knows both sides. Workshops, dynos and figures are invented.
"""
