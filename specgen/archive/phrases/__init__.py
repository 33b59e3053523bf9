"""Words that several rooms of the archive use: figures in sentences, near misses."""
