"""How long things take, as ratios measured in one run: printed, never asserted.

A time alone says as much of the machine as of the program, so each stands beside a yardstick that
was measured a moment before on the same machine: one plain estimate, one plain parse, one plain
site build.
"""
