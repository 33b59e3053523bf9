"""Taking exports in: what is understood, written, and taken back."""
