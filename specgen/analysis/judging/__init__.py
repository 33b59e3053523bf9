"""What is judged from a build's rows: the ladder, limits, diagnoses, repeats, what compares."""
