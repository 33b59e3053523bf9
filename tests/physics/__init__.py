"""Tests of the physics: published figures, worked examples, properties."""
