"""What is said of a plan, whoever says it: words, terminal text, data, its picture."""
