"""The tables of rules, one a subject or a topic."""
