"""The physics of engines with crank-driven blowers: pure functions, SI units in and out.

Every function takes floats or numpy arrays and gives back the same kind. Pressures are absolute
pascals unless the name says otherwise, temperatures kelvins, humidity a fraction from 0 to 1,
angles radians, and rotational speeds revolutions per second (ISO 80000: rotational frequency).
Nothing here reads or writes a file, and nothing here imports the rest of specgen.

A value that is not a number stands for a gap in a measured curve: it passes through as a gap.
Any other value outside the physical domain is refused with `Unphysical`, a `ValueError` whose text
is a plain sentence; nothing here raises another kind.
"""

from specgen.physics._domain import Unphysical

__all__ = ["Unphysical"]
