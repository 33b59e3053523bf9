"""Proofs that take minutes or hours; the suite keeps a small sample of each."""
