"""A dyno's exports into an archive: what a file says, what of it is taken, and how it is written.

Nothing is guessed. What a file leaves open is a question, which a flag, a dyno of the settings or
somebody at a terminal answers; what nobody answers is left out or written as not recorded.
"""
