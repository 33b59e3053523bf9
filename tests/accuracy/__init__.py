"""The public accuracy test: invented builds, measured with noise, predicted, and set against truth.

`python -m tests.accuracy` draws builds with hidden figures from the simulator, writes what a
workshop would know of them as an archive, has the product read it and predict a pulley that
nobody measured, and counts how far off it was. Nothing here is fitted to the product, and the
product has never seen the hidden figures.
"""
