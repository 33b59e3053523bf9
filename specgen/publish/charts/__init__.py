"""Charts: plain series in, drawings with words out."""
