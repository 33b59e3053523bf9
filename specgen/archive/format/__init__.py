"""The format: schemas, what departs from them in words, and objects made from what holds."""
